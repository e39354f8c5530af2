"""Contacts of a module that carry too much of its feed or ground."""

from collections.abc import Iterator, Mapping

from bomtui.engine.feed_contacts import fed_through
from bomtui.model.bound import Value
from bomtui.model.finding import Verdict
from bomtui.rules.comparing import worst_of
from bomtui.rules.context import Context, Rule, failed, passed, undecided


def ask(context: Context) -> Iterator[Verdict]:
    """The current of a module is more than its contacts for feed or ground carry.

    What it asks:
        For every module and each of its feeds, in every mode: is the steady current of the module at most what the
        contacts of that feed stand together, derated where many ways of their connector are in use (settings)? And is
        what returns through it at most what the contacts of the ground stand: its electronics, low-side loads and all
        loads with a wire back? It cannot tell where a current or the contacts are not known.

    Why it matters:
        Two pins of a signal header that carry a whole module melt their housing, long before the fuse opens.

    Failing example:
        15 A through two contacts of 7 A.

    Passing example:
        8 A through the same two.

    Source:
        Common practice, no source: 70 % where more than 60 % of the ways are in use; currents are data of the parts.
    """
    protections: Mapping[str, Value] = {feed_id: own.protection_a for feed_id, own in context.rollup.feeds.items()}
    for own in fed_through(context.electrics, context.results, protections):
        facts = {"feed": own.feed, "part": own.part or "its connector"}
        yield _verdict(own.module, "feed", own.supply_a, own.supply_limit_a, facts)
        yield _verdict(own.module, "ground", own.ground_a, own.ground_limit_a, facts)


def _verdict(place: str, way: str, currents: Mapping[str, Value], limit: Value, facts: Mapping[str, str]) -> Verdict:
    worst = worst_of(currents, limit)
    if worst.over is None:
        return undecided(place, worst.value, limit, "A", way=way, **facts)
    if worst.over:
        return failed(place, worst.value, limit, "A", way=way, mode=worst.mode, **facts)
    return passed(place, worst.value, limit, "A")


RULE = Rule(
    name="contact.feed",
    severity="error",
    failed="the contacts of {place} ({part}) for the {way} of {feed} carry {measured} in {mode}, {limit} is allowed",
    undecided="the contacts of {place} ({part}) for the {way} of {feed} carry {measured}, they stand {limit}: whether"
    " that suffices is unknown",
    remedy="Give {feed} more ways or power contacts at {place}, or divide what hangs on it.",
    ask=ask,
)
