"""What a figure can be when something it needs is unknown."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import inf


@dataclass(frozen=True, slots=True, eq=False)
class Range:  # noqa: PLW1641 - nothing keys by a range
    """A figure known only within bounds, with the names of what is missing.

    Attributes:
        low: Lowest value it can have; minus infinity where there is no lower bound.
        high: Highest value it can have; infinity where there is no upper bound.
        unknown: Names (places and fields) of the values that are missing.
    """

    low: float
    high: float
    unknown: frozenset[str]

    def __eq__(self, other: object) -> bool:
        """Compare bounds and missing names, whatever else a range may carry."""
        if not isinstance(other, Range):
            return NotImplemented
        return (self.low, self.high, self.unknown) == (other.low, other.high, other.unknown)


Value = float | Range | None
"""A float is exact; a Range is bounded; None says that nothing is known."""


def at_least(low: float, unknown: frozenset[str]) -> Range:
    """Return a figure of which only the lowest value is known."""
    return Range(low, inf, unknown)


def at_most(high: float, unknown: frozenset[str]) -> Range:
    """Return a figure that is never negative and of which only the highest value is known."""
    return Range(0.0, high, unknown)


def exceeds(measured: Value, limit: Value) -> bool | None:
    """Tell whether a figure is above its limit; None where the unknown part decides.

    Args:
        measured: The figure, in the unit of the limit.
        limit: The limit it is held against.
    """
    if measured is None or limit is None:
        return None
    measured_low, measured_high = ends(measured)
    limit_low, limit_high = ends(limit)
    if measured_low > limit_high:
        return True
    if measured_high <= limit_low:
        return False
    return None


def ends(value: float | Range) -> tuple[float, float]:
    """Return the lowest and the highest value that a figure can have."""
    if isinstance(value, Range):
        return value.low, value.high
    return value, value


def is_bounded(value: Value) -> bool:
    """Tell whether it is known how high a figure can be at most."""
    return value is not None and ends(value)[1] != inf


def unknown_names(*values: Value | Mapping[str, Value]) -> frozenset[str]:
    """Collect the names of everything missing in the given figures."""
    names: set[str] = set()
    for value in values:
        if isinstance(value, Range):
            names |= value.unknown
        elif isinstance(value, Mapping):
            names |= unknown_names(*value.values())
    return frozenset(names)
