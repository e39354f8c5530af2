"""Feeds whose current at low voltage is more than their fuse carries."""

from collections.abc import Iterator

from bomtui.engine.feed_low import low_currents
from bomtui.model.bound import exceeds
from bomtui.model.finding import Verdict
from bomtui.rules.context import Context, Rule, failed, not_applicable, passed, undecided


def ask(context: Context) -> Iterator[Verdict]:
    """At the lowest voltage a feed carries more than its fuse does for ever.

    What it asks:
        For every feed: at the lowest voltage at which everything still works (levels of the supply, settings), is its
        steady current at most what its fuse, or the channel in its place, carries for ever? Loads and converters of
        constant power draw most there. It cannot tell where that voltage, the current or the fuse is not known; a feed
        of no module is not asked.

    Why it matters:
        `P / V` grows as the battery falls: a fuse chosen at 13.5 V opens in the cold with a weak battery, when it is
        needed.

    Failing example:
        108 W of displays at 9 V, 12 A, on a fuse that carries 10 A for ever.

    Passing example:
        The same at 12 V in a net that never falls below it.

    Source:
        9 V and 16 V: common practice, no source; the current is P = V I at constant power.
    """
    currents = low_currents(context.electrics)
    for own in context.rollup.feeds.values():
        place, current = f"feeds.{own.id}", currents[own.id]
        over = exceeds(current, own.usable_a)
        if not own.modules:
            yield not_applicable(place)
        elif over is None:
            yield undecided(place, current, own.usable_a, "A")
        elif over:
            yield failed(place, current, own.usable_a, "A")
        else:
            yield passed(place, current, own.usable_a, "A")


RULE = Rule(
    name="feed.low",
    severity="warning",
    failed="{place} carries {measured} at the lowest voltage, its fuse or channel carries {limit} for ever",
    undecided="{place} carries {measured} at the lowest voltage, its fuse or channel carries {limit} for ever: whether"
    " that suffices is unknown",
    remedy="Choose fuse and wire of {place} for the lowest voltage, or shed loads before it is reached.",
    ask=ask,
)
