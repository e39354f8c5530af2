"""Starts of loads that melt the fuse of their feed, or trip the channel in its place."""

from collections.abc import Iterator

from bomtui.engine.feed_start import FeedStart, worst_start
from bomtui.model.finding import Verdict
from bomtui.rules.context import Context, Rule, failed, not_applicable, passed, undecided


def ask(context: Context) -> Iterator[Verdict]:
    """A load that starts may melt the fuse of its feed.

    What it asks:
        For every feed, in every mode, with everything else on: does each load, or together group, start within what the
        fuse stands? A pulse that is no longer than the melting integral counts (settings) may use a share of it; a
        longer one may be a multiple of the rated current, by its time: 3.5 up to 40 ms, 2 up to 150 ms, 1.35 up to
        750 ms, 1 above. A channel in place of a fuse must not limit below it. It cannot tell where the peak, its time,
        the fuse or its melting integral is not known; a peak below the rated current needs neither of the last two.
        A feed on which nothing starts is not asked.

    Why it matters:
        A fuse that is too quick for a cold lamp or a motor opens for no fault, or ages with every start.

    Failing example:
        40 A for 10 ms, 16 A2s, on a fuse with a melting integral of 30 A2s, of which 15 A2s may be used.

    Passing example:
        The same on a fuse of 50 A2s.

    Source:
        Share of the melting integral: common practice, no source. Multiples: ISO 8820-3, values from memory.
    """
    for own in context.rollup.feeds.values():
        worst = worst_start(context.electrics, own)
        yield not_applicable(f"feeds.{own.id}") if worst is None else _verdict(f"feeds.{own.id}", worst)


def _verdict(place: str, worst: FeedStart) -> Verdict:
    facts = {"loads": worst.loads, "mode": worst.mode}
    if worst.over is None:
        return undecided(place, worst.measured, worst.limit, worst.unit, **facts)
    if worst.over:
        return failed(place, worst.measured, worst.limit, worst.unit, **facts)
    return passed(place, worst.measured, worst.limit, worst.unit)


RULE = Rule(
    name="fuse.inrush",
    severity="error",
    failed="{loads} starts in {mode} with {measured} on {place}, of which the fuse or channel stands {limit}",
    undecided="{loads} starts in {mode} with {measured} on {place}, of which the fuse or channel stands {limit}:"
    " whether that suffices is unknown",
    remedy="Give {place} a slower or larger fuse and the wire for it, or let {loads} start softly.",
    ask=ask,
)
