"""Wires that burn before their fuse opens."""

from collections.abc import Iterator

from bomtui.model.bound import exceeds
from bomtui.model.finding import Verdict
from bomtui.model.rollup import FeedResult
from bomtui.rules.context import Context, Rule, failed, passed, undecided


def ask(context: Context) -> Iterator[Verdict]:
    """The fuse of a feed is larger than what its wire carries.

    What it asks:
        For every feed: is the rated current of its fuse, or the highest current at which the channel in its place lets
        go, at most what its wires carry for ever, in the hottest zone they run to and in their bundle? It cannot tell
        where fuse, channel, area or air is not known, or where the area is below all sizes.

    Why it matters:
        What protects a wire is a current that its insulation stands. A fuse above it lets an overload set fire to the
        loom.

    Failing example:
        A fuse of 20 A on a wire of 1 mm2 in a bundle of four at 65 degC, which carries about 5 A.

    Passing example:
        The same fuse on 10 mm2.

    Source:
        Heat balance in still air, common practice, no source; resistance by IEC 60228 or ASTM B258; grouping by BS
        7671:2008 appendix 4, seen second-hand.
    """
    for own in context.rollup.feeds.values():
        yield _verdict(own)


def _verdict(own: FeedResult) -> Verdict:
    place = f"feeds.{own.id}"
    over = exceeds(own.protection_a, own.ampacity_a)
    if over is None:
        return undecided(place, own.protection_a, own.ampacity_a, "A")
    if over:
        return failed(place, own.protection_a, own.ampacity_a, "A")
    return passed(place, own.protection_a, own.ampacity_a, "A")


RULE = Rule(
    name="fuse.wire",
    severity="error",
    failed="the fuse or channel of {place} lets {measured} pass, its wire carries {limit}",
    undecided="the fuse or channel of {place} lets {measured} pass, its wire carries {limit}: whether it is protected"
    " is unknown",
    remedy="Give {place} a thicker wire or one for higher temperature, or a smaller fuse.",
    ask=ask,
)
