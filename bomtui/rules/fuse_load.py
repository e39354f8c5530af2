"""Fuses, and channels in their place, that carry more than they can for ever."""

from collections.abc import Iterator

from bomtui.model.bound import exceeds
from bomtui.model.finding import Verdict
from bomtui.model.rollup import FeedResult
from bomtui.rules.comparing import worst_of
from bomtui.rules.context import Context, Rule, failed, not_applicable, passed, undecided


def ask(context: Context) -> Iterator[Verdict]:
    """The steady current of a feed is more than its fuse carries for ever.

    What it asks:
        For every feed, in every mode: is the steady current that heats as that of all its modules does at most the
        share of its fuse that may be used in the air of its zone (settings), or the continuous current of the channel
        that stands in for a fuse? Everything on the feed counts as on, groups of loads as the customer gives them; PWM
        and short on-times count by their heat. Loads of low-side channels take their plus elsewhere and are not in it.
        It cannot tell where the current, the fuse or the air is not known. A feed of no module is not asked.

    Why it matters:
        A fuse that runs close to its rating opens after months, on a hot day, and takes all of its modules with it.

    Failing example:
        8 A on a fuse of 10 A at 23 degC: 7.5 A is what it carries for ever.

    Passing example:
        The same on a fuse of 15 A.

    Source:
        Common practice, no source: 75 % at 23 degC and 65 % at 80 degC.
    """
    for own in context.rollup.feeds.values():
        yield _verdict(own) if own.modules else not_applicable(f"feeds.{own.id}")


def _verdict(own: FeedResult) -> Verdict:
    place = f"feeds.{own.id}"
    worst = worst_of({mode.mode: mode.heating_a for mode in own.modes}, own.usable_a)
    over = exceeds(worst.value, own.usable_a)
    if over is None:
        return undecided(place, worst.value, own.usable_a, "A")
    if over:
        return failed(place, worst.value, own.usable_a, "A", mode=worst.mode)
    return passed(place, worst.value, own.usable_a, "A")


RULE = Rule(
    name="fuse.load",
    severity="error",
    failed="{place} carries {measured} in {mode}, its fuse or channel carries {limit} for ever",
    undecided="{place} carries {measured}, its fuse or channel carries {limit} for ever: whether that suffices is"
    " unknown",
    remedy="Give {place} a larger fuse and the wire for it, or divide what hangs on it.",
    ask=ask,
)
