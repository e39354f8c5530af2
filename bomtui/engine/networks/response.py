"""Worst response times of messages on CAN, whose frames are not interrupted once they are sent.

Source of all recurrences: Davis, Burns, Bril, Lukkien 2007, Real-Time Systems 35:239-272, which looks at every instance
of a message in its longest busy period. Where a window ends within a rounding error of a period one more frame may be
counted; none is lost.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final, cast

from bomtui.engine.calc import Gate, formula
from bomtui.model.bound import Value

FULLEST_RATIO: Final = 0.99
"""Load from which on a bus counts as never free: the recurrences then end late or not at all. Common practice, no
source."""
MOST_INSTANCES: Final = 1000
"""Instances of a busy period that are looked at. Common practice, no source."""
STEPS_OF_A_FULL_BUS: Final = 50
"""How far the queue of a bus that is never free is followed. Common practice, no source."""


@formula(
    "-(-(window_s + jitter_s + bit_s) // period_s) * frame_s",
    "s",
    "Davis, Burns, Bril, Lukkien 2007, Real-Time Systems 35:239-272, queueing delay",
)
def ahead_s(window_s: float, jitter_s: float, bit_s: float, period_s: float, frame_s: float) -> float:
    """Time that frames of one message of higher priority take before another one starts.

    Args:
        window_s: Time for which the other one has waited [s].
        jitter_s: Jitter of the message ahead [s].
        bit_s: One bit [s].
        period_s: Period of the message ahead [s], above 0.
        frame_s: Its longest frame [s].

    Source: Davis, Burns, Bril, Lukkien 2007, Real-Time Systems 35:239-272, queueing delay.
    """
    return -(-(window_s + jitter_s + bit_s) // period_s) * frame_s


@formula(
    "-(-(window_s + jitter_s) // period_s) * frame_s",
    "s",
    "Davis, Burns, Bril, Lukkien 2007, Real-Time Systems 35:239-272, busy period",
)
def queued_s(window_s: float, jitter_s: float, period_s: float, frame_s: float) -> float:
    """Time that all frames of one message take that are due in a window.

    Args:
        window_s: The window [s].
        jitter_s: Jitter of the message [s].
        period_s: Its period [s], above 0.
        frame_s: Its longest frame [s].

    Source: Davis, Burns, Bril, Lukkien 2007, Real-Time Systems 35:239-272, busy period.
    """
    return -(-(window_s + jitter_s) // period_s) * frame_s


@formula(
    "-(-(busy_s + jitter_s) // period_s)",
    "",
    "Davis, Burns, Bril, Lukkien 2007, Real-Time Systems 35:239-272, instances in the busy period",
)
def instances(busy_s: float, jitter_s: float, period_s: float) -> float:
    """How many instances of a message become due in its busy period.

    Args:
        busy_s: The busy period [s].
        jitter_s: Jitter of the message [s].
        period_s: Its period [s], above 0.

    Source: Davis, Burns, Bril, Lukkien 2007, Real-Time Systems 35:239-272, instances in the busy period.
    """
    return -(-(busy_s + jitter_s) // period_s)


@formula("instance * frame_s", "s", "frames of the same message that were due before")
def earlier_s(instance: int, frame_s: float) -> float:
    """Time that the earlier instances of a message take.

    Args:
        instance: Number of the instance, 0 for the first.
        frame_s: Longest frame [s].

    Source: Davis, Burns, Bril, Lukkien 2007, Real-Time Systems 35:239-272, queueing delay.
    """
    return instance * frame_s


@formula(
    "jitter_s + window_s - instance * period_s + frame_s",
    "s",
    "Davis, Burns, Bril, Lukkien 2007, Real-Time Systems 35:239-272, response of one instance",
)
def instance_response_s(jitter_s: float, window_s: float, instance: int, period_s: float, frame_s: float) -> float:
    """Time from the event that an instance of a message reports to the end of its frame.

    Args:
        jitter_s: Jitter of the message [s].
        window_s: Time from the start of the busy period to the start of the frame [s].
        instance: Number of the instance, 0 for the first.
        period_s: Period of the message [s].
        frame_s: Its longest frame [s].

    Source: Davis, Burns, Bril, Lukkien 2007, Real-Time Systems 35:239-272, response of one instance.
    """
    return jitter_s + window_s - instance * period_s + frame_s


@dataclass(frozen=True, slots=True)
class Timed:
    """A message as the recurrences see it.

    Attributes:
        id: Its name.
        priority: Sort key; the lowest goes first. None where unknown.
        frame_s: Its longest frame.
        period_s: Its period.
        jitter_s: Its jitter.
    """

    id: str
    priority: tuple[int, int] | None
    frame_s: Value
    period_s: Value
    jitter_s: Value


@dataclass(frozen=True, slots=True)
class _Sure:
    """A message of which everything is known."""

    id: str
    frame_s: float
    period_s: float
    jitter_s: float


def worst_response_s(calc: Gate, own: Timed, others: Sequence[Timed], bit_s: Value) -> Value:
    """Return the longest time from the event that a message reports to the end of its frame.

    Args:
        calc: Gate.
        own: The message.
        others: All other messages of the network, each with a priority of its own.
        bit_s: One bit.

    Returns:
        A lower bound where something of a message that matters is unknown, or where the bus is never free for it; None
        where nothing is known of its own frame.
    """
    sure = _sure(own)
    if sure is None or own.priority is None or not isinstance(bit_s, float):
        return None if own.frame_s is None else calc.total(("frame", own.id), (own.frame_s, None))
    ahead: list[_Sure] = []
    behind: list[Timed] = []
    missing: list[str] = []
    for other in others:
        if other.priority is None:
            missing.append(other.id)
        elif other.priority > own.priority:
            behind.append(other)
        else:
            known = _sure(other)
            if known is None:
                missing.append(other.id)
            else:
                ahead.append(known)
    missing += [other.id for other in behind if not isinstance(other.frame_s, float)]
    frames = {other.id: other.frame_s for other in behind if isinstance(other.frame_s, float)}
    blocking = cast("float", calc.largest([*frames], [*frames.values()]))
    worst, is_all = _Queue(calc, sure, ahead, blocking, bit_s).worst()
    if not is_all:
        missing.append("a bus that is never free")
    if missing:
        return calc.total(("known messages", *missing), (worst, *[None] * len(missing)))
    return worst


def _sure(own: Timed) -> _Sure | None:
    frame_s, period_s, jitter_s = own.frame_s, own.period_s, own.jitter_s
    if not isinstance(frame_s, float) or not isinstance(period_s, float) or not isinstance(jitter_s, float):
        return None
    # What a file may hold and no bus can carry is as good as unknown.
    return _Sure(own.id, frame_s, period_s, jitter_s) if frame_s > 0 and period_s > 0 and jitter_s >= 0 else None


@dataclass(frozen=True, slots=True)
class _Queue:
    """One message behind all that goes before it."""

    calc: Gate
    own: _Sure
    ahead: Sequence[_Sure]
    blocking_s: float
    bit_s: float

    def worst(self) -> tuple[Value, bool]:
        """Return the longest response of all instances looked at, and whether these are all there are."""
        if not self._ends((*self.ahead, self.own)):
            return self._response(0), False
        number = self.calc(instances, busy_s=self._busy_s(), jitter_s=self.own.jitter_s, period_s=self.own.period_s)
        due = int(cast("float", number))
        found = [self._response(instance) for instance in range(min(due, MOST_INSTANCES))]
        return self.calc.largest([f"instance {row}" for row in range(len(found))], found), due <= MOST_INSTANCES

    def _ends(self, queue: Sequence[_Sure]) -> bool:
        """Tell whether the queue of some messages is empty now and then."""
        return sum(other.frame_s / other.period_s for other in queue) <= FULLEST_RATIO

    def _busy_s(self) -> float:
        queue = (*self.ahead, self.own)
        keys = ("blocking", *[other.id for other in queue])

        def grown(window_s: float) -> float:
            due = [
                self.calc(
                    queued_s,
                    window_s=window_s,
                    jitter_s=other.jitter_s,
                    period_s=other.period_s,
                    frame_s=other.frame_s,
                )
                for other in queue
            ]
            return self._sum(keys, [self.blocking_s, *due])

        return _fixed_point(self._sum(("blocking", self.own.id), [self.blocking_s, self.own.frame_s]), grown)

    def _response(self, instance: int) -> Value:
        number = self.calc.given(instance, "instance of the message in its busy period")
        earlier = self.calc(earlier_s, instance=number, frame_s=self.own.frame_s)
        keys = ("blocking", "earlier instances", *[other.id for other in self.ahead])

        def grown(window_s: float) -> float:
            before = [
                self.calc(
                    ahead_s,
                    window_s=window_s,
                    jitter_s=other.jitter_s,
                    bit_s=self.bit_s,
                    period_s=other.period_s,
                    frame_s=other.frame_s,
                )
                for other in self.ahead
            ]
            return self._sum(keys, [self.blocking_s, earlier, *before])

        window = self._sum(keys[:2], [self.blocking_s, earlier])
        window = _fixed_point(window, grown) if self._ends(self.ahead) else self._followed(window, grown)
        return self.calc(
            instance_response_s,
            jitter_s=self.own.jitter_s,
            window_s=window,
            instance=number,
            period_s=self.own.period_s,
            frame_s=self.own.frame_s,
        )

    def _followed(self, window_s: float, grown: Callable[[float], float]) -> float:
        """Follow a queue that never ends for a while; the frame starts no earlier than that."""
        for _ in range(STEPS_OF_A_FULL_BUS):
            window_s = grown(window_s)
        return window_s

    def _sum(self, keys: Sequence[str], values: Sequence[Value]) -> float:
        return cast("float", self.calc.total(keys, values))


def _fixed_point(window_s: float, grown: Callable[[float], float]) -> float:
    """Grow a window until it holds all that is due in it."""
    while (following := grown(window_s)) != window_s:
        window_s = following
    return window_s
