"""Stand-ins that hang on the controller of the load that they stand in for."""

from collections.abc import Iterator

from bomtui.engine.pair_causes import pair_causes
from bomtui.model.finding import Verdict
from bomtui.model.ids import natural_key
from bomtui.rules.context import Context, Rule, passed, undecided, warned
from bomtui.rules.wording import listed

LIMIT = "another controller, or a limp path"


def ask(context: Context) -> Iterator[Verdict]:
    """A load and its stand-in hang on one controller, and no fail-safe output keeps either of them on.

    What it asks:
        For every pair of a load and its stand-in: does the loss of no controller take both? A load whose placement
        names a fail-safe output (a limp path) stays on without its controller, as long as the device with that output
        lives. It cannot tell where a module has several controllers and nothing says which one commands, or whether the
        part has such an output.

    Why it matters:
        A controller that stops takes the lamp and the lamp that should have replaced it. A fail-safe output with a
        watchdog keeps low beam, tail lamp and wiper on.

    Failing example:
        Tail lamp and dimmed stop lamp, both commanded by ZREA.U8.

    Passing example:
        The same, with the tail lamp on the fail-safe output of a system-basis chip.

    Source:
        Common practice, no source.
    """
    known = {own.pair: own for own in pair_causes(context.snapshot, context.variant_id)}
    for pair_id in sorted(context.proposal.pairs, key=natural_key):
        pair = context.proposal.pairs[pair_id]
        facts = {"primary": pair.primary, "stand_in": pair.stand_in}
        if pair_id not in known:
            absent = [load_id for load_id in (pair.primary, pair.stand_in) if load_id not in context.addresses]
            yield undecided(pair_id, None, LIMIT, **facts, why=f"no module serves {listed(absent)}")
            continue
        own = known[pair_id]
        shared = [cause.id for cause in own.shared if cause.kind == "controller"]
        possible = [cause.id for cause in own.possible if cause.kind == "controller"]
        if shared:
            yield warned(pair_id, listed(shared), LIMIT, **facts)
        elif possible:
            why = f"nothing says whether both are lost with {listed(possible)}"
            yield undecided(pair_id, None, LIMIT, **facts, why=why)
        else:
            yield passed(pair_id, LIMIT, LIMIT)


RULE = Rule(
    name="standin.command",
    severity="warning",
    failed="{stand_in} stands in for {primary}, and both are lost with the controller {measured}",
    undecided="{stand_in} stands in for {primary}; whether one controller takes both is unknown: {why}",
    remedy=(
        "Command {stand_in} or {primary} by another controller, or give one of them a limp path in hardware; that makes"
        " the pair electrically possible, type approval is not checked."
    ),
    ask=ask,
)
