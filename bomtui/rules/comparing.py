"""Figures held against limits: which mode is the worst, and what is said of it."""

from collections.abc import Mapping
from typing import NamedTuple

from bomtui.model.bound import Value, ends, exceeds


class Worst(NamedTuple):
    """The mode that decides.

    Attributes:
        mode: Id of the mode; empty where there is none.
        value: The figure in it.
        over: Whether it is above the limit; None where something unknown decides.
    """

    mode: str
    value: Value
    over: bool | None


def worst_of(values: Mapping[str, Value], limit: Value) -> Worst:
    """Return the mode in which a figure is worst: above its limit, else undecided, else the largest.

    Args:
        values: Figure per mode.
        limit: What each of them is held against.
    """
    found = [Worst(mode, value, exceeds(value, limit)) for mode, value in values.items()]
    return max(found, key=_badness, default=Worst("", None, None))


def low_end(value: Value) -> float:
    """Return the lowest value that a figure can have, for sorting; below any figure where nothing is known."""
    if value is None:
        return -1.0
    low, _ = ends(value)
    return low


def _badness(own: Worst) -> tuple[int, float, float]:
    rank = {True: 2, None: 1, False: 0}[own.over]
    if own.value is None:
        return rank, 0.0, 0.0
    low, high = ends(own.value)
    # Of modes in which a figure may be anything, the one says most in which it is at least the most.
    return (rank, low, high) if own.over else (rank, high, low)
