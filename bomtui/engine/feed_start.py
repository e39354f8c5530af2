"""What the starts of loads do to the fuse of their feed, or to the channel in its place."""

from collections.abc import Iterator
from dataclasses import dataclass

from bomtui.engine.electrics import Electrics
from bomtui.engine.feed_current import PLUS_ELSEWHERE, feeds_of_loads
from bomtui.engine.feeds import switching_part
from bomtui.engine.fuse import pulse_a2s, survived_a, survived_ratio, usable_melting_a2s
from bomtui.model.bound import Value, ends, exceeds
from bomtui.model.rollup import FeedResult


@dataclass(frozen=True, slots=True)
class FeedStart:
    """A load, or a group of loads, that starts while everything else of its feed is on.

    Attributes:
        loads: What starts.
        mode: Mode in which it does.
        peak_a: Current of the feed then.
        measured: What is held against the limit: the current, or the square of it over its time.
        limit: What fuse or channel stands.
        unit: Unit of both: A or A2s.
        over: Whether it is too much; None where something unknown decides.
    """

    loads: str
    mode: str
    peak_a: Value
    measured: Value
    limit: Value
    unit: str
    over: bool | None


def feed_starts(electrics: Electrics, result: FeedResult) -> Iterator[FeedStart]:
    """Yield every start on a feed.

    Args:
        electrics: Figures beyond the rollup.
        result: The feed, as computed with the same gate.
    """
    current_of = {mode.mode: mode.current_a.max for mode in result.modes}
    for module_id in result.modules:
        inputs = electrics.inputs(module_id)
        feed_of = feeds_of_loads(inputs)
        for mode in electrics.awake:
            groups: dict[str, list[tuple[str, Value, float | None]]] = {}
            each = electrics.load_stages[module_id].sums[mode].each
            for load_id, inrush in zip(each.ids, each.inrush_a, strict=True):
                load = electrics.proposal.loads[load_id]
                if feed_of[load_id] not in {"", result.id} or load.drive in PLUS_ELSEWHERE or inrush == 0:
                    continue
                name = f"together group {load.together_group}" if load.together_group else load_id
                groups.setdefault(name, []).append((load_id, inrush, load.peak_time_s))
            for name, members in groups.items():
                inrush = electrics.calc.total([own for own, _, _ in members], [value for _, value, _ in members])
                peak = electrics.calc.total(("everything on", "inrush"), (current_of[mode], inrush))
                times = [time for _, _, time in members]
                yield _start(electrics, result, name, mode, peak, _longest(times))


def worst_start(electrics: Electrics, result: FeedResult) -> FeedStart | None:
    """Return the start that decides about a feed; None where nothing starts on it.

    Args:
        electrics: Figures beyond the rollup.
        result: The feed, as computed with the same gate.
    """
    starts = list(feed_starts(electrics, result))
    return max(starts, key=_badness) if starts else None


def _badness(own: FeedStart) -> tuple[int, float]:
    low = -1.0 if own.peak_a is None else ends(own.peak_a)[0]
    return (1 if own.over is None else 2 if own.over else 0), low


def _longest(times: list[float | None]) -> float | None:
    known = [time for time in times if time is not None]
    return max(known) if len(known) == len(times) else None


def _start(
    electrics: Electrics, result: FeedResult, name: str, mode: str, peak_a: Value, time_s: float | None
) -> FeedStart:
    calc, feed, limits = electrics.calc, electrics.variant.feeds[result.id], electrics.proposal.settings.limits
    if feed.switch:
        part = switching_part(electrics.variant, electrics.snapshot.parts, feed)
        trip = None if part is None else part.current_limit_a.lower
        return FeedStart(name, mode, peak_a, peak_a, trip, "A", exceeds(peak_a, trip))
    if exceeds(peak_a, feed.fuse_current_a) is False:
        return FeedStart(name, mode, peak_a, peak_a, feed.fuse_current_a, "A", over=False)
    if time_s is None:
        return FeedStart(name, mode, peak_a, peak_a, None, "A", over=None)
    if time_s <= limits.fuse_pulse_s:
        pulse = calc(pulse_a2s, peak_a=peak_a, peak_time_s=time_s)
        melting = calc(usable_melting_a2s, melting_a2s=feed.fuse_melting_a2s, melting_ratio=limits.fuse_melting_ratio)
        return FeedStart(name, mode, peak_a, pulse, melting, "A2s", exceeds(pulse, melting))
    stood = calc(survived_a, fuse_current_a=feed.fuse_current_a, stood_ratio=survived_ratio(calc, time_s))
    return FeedStart(name, mode, peak_a, peak_a, stood, "A", exceeds(peak_a, stood))
