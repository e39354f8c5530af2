"""Bars of signs for steps and amounts, on any terminal."""

from collections.abc import Mapping, Sequence
from decimal import Decimal

from bomtui.model.money import exact_sum

MORE, LESS = "+", "-"
"""Signs of a step that adds and of one that takes away; the number beside it says the same."""


def step_bars(amounts: Mapping[str, Decimal], width: int) -> dict[str, str]:
    """Return one bar per amount, the longest as wide as there is room; what is not nothing has one sign at least."""
    most = max((abs(amount) for amount in amounts.values()), default=Decimal(0))
    return {
        key: (MORE if amount > 0 else LESS) * max(1, _cells(abs(amount), most, width)) if amount else ""
        for key, amount in amounts.items()
    }


def waterfall(steps: Sequence[Decimal], start: Decimal, width: int) -> tuple[str, list[str], str]:
    """Return bars that lead from a start to its sum with all steps, each beginning where the one before it ends.

    The scale begins at the lowest and ends at the highest level that is reached, not at nothing.

    Args:
        steps: Steps in order.
        start: Level before the first one.
        width: Room.

    Returns:
        A mark at the start, a bar per step, and a mark at the end.
    """
    levels = [start]
    for step in steps:
        levels.append(exact_sum((levels[-1], step)))
    lowest, span = min(levels), max(levels) - min(levels)
    columns = [_cells(level - lowest, span, width - 1) for level in levels]
    bars = []
    for step, before, after in zip(steps, columns, columns[1:], strict=False):
        sign = MORE if step > 0 else LESS
        bars.append(" " * min(before, after) + sign * max(1, abs(after - before)))
    return " " * columns[0] + "|", bars, " " * columns[-1] + "|"


def _cells(part: Decimal, whole: Decimal, width: int) -> int:
    return int((part * width / whole).to_integral_value()) if whole else 0
