"""Stand-ins that share a feed or a ground point with the load that they stand in for."""

from collections.abc import Iterator

from bomtui.engine.pair_causes import pair_causes
from bomtui.model.failure import CommonCauses
from bomtui.model.finding import Verdict
from bomtui.model.ids import natural_key
from bomtui.rules.context import Context, Rule, failed, not_applicable, passed, undecided, warned
from bomtui.rules.wording import listed

LIMIT = "no common feed or ground point"
KINDS = ("feed", "ground")
LAMP_KINDS = frozenset(("filament", "led_lamp", "led_string"))


def ask(context: Context) -> Iterator[Verdict]:
    """A load and its stand-in hang on one feed or return to one ground point.

    What it asks:
        For every pair of a load and its stand-in: do the feeds behind the devices that serve, command and supply the
        one, and the ground points to which these feeds return, have nothing in common with those of the other? An error
        for two lamps, a warning for anything else. It cannot tell where a module names no feed, where it names several
        and a device none of them, or where a feed names no ground point. A pair that is needed together is not asked:
        either load ends its function.

    Why it matters:
        A fuse that blows or a ground bolt that corrodes takes both. And a pair that passes is electrically possible;
        type approval is not checked.

    Failing example:
        Tail lamp and dimmed stop lamp in one module with one fuse.

    Passing example:
        Front beacon fed by the cab module and its fuse, rear beacon by the rear module and another one, each with its
        own ground point.

    Source:
        Common practice, no source; common cause failures as ISO 26262-9 clause 7 asks for (value from memory).
    """
    known = {own.pair: own for own in pair_causes(context.snapshot, context.variant_id)}
    for pair_id in sorted(context.proposal.pairs, key=natural_key):
        pair = context.proposal.pairs[pair_id]
        facts = {"primary": pair.primary, "stand_in": pair.stand_in}
        if pair_id not in known:
            absent = [load_id for load_id in (pair.primary, pair.stand_in) if load_id not in context.addresses]
            yield undecided(pair_id, None, LIMIT, **facts, why=f"no module serves {listed(absent)}")
        elif known[pair_id].is_together:
            yield not_applicable(pair_id)
        else:
            yield _verdict(context, known[pair_id], facts)


def _verdict(context: Context, own: CommonCauses, facts: dict[str, str]) -> Verdict:
    shared = [cause.name for cause in own.shared if cause.kind in KINDS]
    possible = [cause.name for cause in own.possible if cause.kind in KINDS]
    unnamed = [kind for kind in KINDS if kind in own.open_kinds]
    if shared:
        are_lamps = all(context.loads[load_id].kind in LAMP_KINDS for load_id in (own.primary, own.stand_in))
        return (failed if are_lamps else warned)(own.pair, listed(shared), LIMIT, **facts)
    if unnamed:
        return undecided(own.pair, None, LIMIT, **facts, why=f"{_without(context, own)} {listed(unnamed)} is not named")
    if possible:
        why = f"nothing says whether both hang on {listed(possible)}"
        return undecided(own.pair, None, LIMIT, **facts, why=why)
    return passed(own.pair, LIMIT, LIMIT)


def _without(context: Context, own: CommonCauses) -> str:
    """Return the modules of the pair of which something is not named."""
    modules = dict.fromkeys(context.serving.module_of[load_id] for load_id in (own.primary, own.stand_in))
    return f"of {listed(list(modules))} a"


RULE = Rule(
    name="standin.feed",
    severity="error",
    failed="{stand_in} stands in for {primary}, and both hang on {measured}",
    undecided="{stand_in} stands in for {primary}; whether they share a feed or ground point is unknown: {why}",
    remedy=(
        "Feed {stand_in} and {primary} over fuses and ground points of their own; that makes the pair electrically "
        "possible, type approval is not checked."
    ),
    ask=ask,
)
