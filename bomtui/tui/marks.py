"""States that the screen can show: plain data, no screen library."""

from collections.abc import Iterable
from typing import Literal

Mark = Literal["", "ok", "check", "over", "unknown", "note"]
MARKS: tuple[Mark, ...] = ("over", "check", "unknown", "note", "ok", "")
"""Worst first."""


def worst(marks: Iterable[Mark]) -> Mark:
    """The worst of the marks; no mark at all where there is none."""
    return min(marks, key=MARKS.index, default="")
