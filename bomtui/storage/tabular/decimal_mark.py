"""The decimal mark of a sheet, found in the cells that can be read in one way only."""

import re
from collections.abc import Iterable
from typing import NamedTuple

# A comma that can only be a decimal mark, and a point that can only be one.
_COMMA = re.compile(r"(?<![\d.,])\d{1,3}(?:\.\d{3})+,\d+|(?<![\d.,])(?:\d+,(?:\d{1,2}|\d{4,})|0,\d+)(?![\d.,])")
_POINT = re.compile(r"(?<![\d.,])\d{1,3}(?:,\d{3})+\.\d+|(?<![\d.,])(?:\d+\.(?:\d{1,2}|\d{4,})|0\.\d+)(?![\d.,])")


class FoundMark(NamedTuple):
    """How many cells can have a comma, and how many a point, for their decimal mark only."""

    commas: int
    points: int

    @property
    def mark(self) -> str | None:
        """What most of them have; None where none tells."""
        if not self.commas and not self.points:
            return None
        return "," if self.commas > self.points else "."

    @property
    def notice(self) -> str:
        """What was taken, in one sentence; empty where there are no commas."""
        if not self.commas:
            return ""
        name = "comma" if self.mark == "," else "point"
        return f"decimal {name} taken: {self.commas} cells have a comma for it, {self.points} a point"


def find_decimal_mark(cells: Iterable[str]) -> FoundMark:
    """Find the decimal mark of the numbers of a sheet.

    One sheet has one decimal mark: as soon as some cells can be read in one way only, they decide for all.
    """
    commas = points = 0
    for cell in cells:
        if "," in cell and _COMMA.search(cell):
            commas += 1
        if "." in cell and _POINT.search(cell):
            points += 1
    return FoundMark(commas, points)
