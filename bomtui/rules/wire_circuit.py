"""Wires of loads that nothing protects, or of which nothing is known."""

from collections.abc import Iterator

from bomtui.engine.circuits import LoadCircuit, load_circuits
from bomtui.model.bound import Value, exceeds
from bomtui.model.finding import Verdict
from bomtui.rules.context import Context, Rule, failed, passed, undecided


def ask(context: Context) -> Iterator[Verdict]:
    """Neither channel nor fuse protects the wire of a load.

    What it asks:
        For every load of whose wire the area is given: does its wire carry for ever the highest current at which its
        channels let go, or that at which its feed is cut off? It cannot tell where these, or the air, are not known.
        Where no area is given nothing can be told: one answer for the loads of each module.

    Why it matters:
        A short circuit in the loom must be ended by something that knows no more than the wire stands.

    Failing example:
        A wire of 0.5 mm2 on a channel that lets go at 60 A, behind a fuse of 30 A.

    Passing example:
        The same wire behind a fuse of 3 A.

    Source:
        Common practice, no source: an electronic switch replaces a fuse only where it trips below what the wire stands.
    """
    feeds = {feed_id: own.protection_a for feed_id, own in context.rollup.feeds.items()}
    unknown: dict[str, list[str]] = {}
    for own in load_circuits(context.electrics, context.results):
        if own.wired:
            yield _verdict(own, feeds.get(own.feed))
        else:
            unknown.setdefault(own.module, []).append(own.load_id)
    for module_id, loads in unknown.items():
        yield undecided(module_id, what=f"no wire is given for {len(loads)} of its loads ({loads[0]} is the first)")


def _verdict(own: LoadCircuit, fuse_a: Value) -> Verdict:
    trips, blows = exceeds(own.trip_a, own.ampacity_a), exceeds(fuse_a, own.ampacity_a)
    by_fuse = blows is False or (own.trip_a is None and fuse_a is not None)
    measured = fuse_a if by_fuse else own.trip_a
    if trips is False or blows is False:
        return passed(own.load_id, measured, own.ampacity_a, "A")
    if trips is None or blows is None:
        what = "what protects its wire, or what that carries, is not given"
        return undecided(own.load_id, measured, own.ampacity_a, "A", what=what)
    return failed(own.load_id, measured, own.ampacity_a, "A")


RULE = Rule(
    name="wire.circuit",
    severity="warning",
    failed="the channels of {place} let go at {measured} and its feed no earlier than its wire stands, {limit}",
    undecided="whether wires at {place} are protected is unknown: {what}",
    remedy="Give the wires of {place} an area that carries what channel or fuse lets pass, or choose a channel that"
    " trips earlier.",
    ask=ask,
)
