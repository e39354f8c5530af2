"""Columns of a sheet and which of them fit: plain data, no widget.

A column is shown whole or not at all: half a number is a wrong number.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from bomtui.tui.text import Align

CURSOR_WIDTH = 2
"""Cells in front of every row: the cursor mark and a space."""
GAPS = (2, 1)
"""Blank cells between two columns: the first number, or the second where it shows more columns."""
SHORTEST_NAME = 8
"""Cells of a name that always stay."""
MORE_WIDTH = 1
"""Cell behind the moving columns: the sign that there are more of them."""


@dataclass(frozen=True, slots=True)
class Column:
    """One column.

    Attributes:
        title: Title.
        unit: Unit of all its numbers, shown once, in the header.
        align: Numbers stand right, words left.
        min_width: Cells it never falls below.
        max_width: Cells a column of words never exceeds, longer texts being cut; 0 for no limit.
    """

    title: str
    unit: str = ""
    align: Align = "left"
    min_width: int = 3
    max_width: int = 0

    @property
    def heading(self) -> str:
        """Title and unit."""
        return f"{self.title} {self.unit}".rstrip()


@dataclass(frozen=True, slots=True)
class Layout:
    """What a width has room for.

    Attributes:
        name_width: Cells of the first column.
        state_width: Cells of the state; 0 where there is none.
        shown: Index and cells of the moving columns that are shown.
        hidden_left: How many columns are hidden left of them.
        hidden_right: How many columns are hidden right of them.
        gap: Blank cells in front of each column but the first.
    """

    name_width: int
    state_width: int
    shown: tuple[tuple[int, int], ...]
    hidden_left: int
    hidden_right: int
    gap: int


def _that_fit(widths: Sequence[int], first: int, room: int, gap: int) -> int:
    """How many columns from the first on fit into the room; one at least, so that each can be reached."""
    count = used = 0
    for width in widths[first:]:
        used += gap + width
        if used > room and count:
            break
        count += 1
    return count


def _last_first(widths: Sequence[int], room: int, gap: int) -> int:
    """The smallest first column from which on everything to the last one fits."""
    used = 0
    for index in range(len(widths) - 1, -1, -1):
        used += gap + widths[index]
        if used > room:
            return min(index + 1, len(widths) - 1)
    return 0


def lay_out(natural: Sequence[int], state_width: int, width: int, first: int, min_name_width: int) -> Layout:
    """Share a width between the columns.

    Args:
        natural: Cells that each column would like, the name first.
        state_width: Cells of the state; 0 where there is none.
        width: Cells of the sheet.
        first: Which of the moving columns is the first one shown.
        min_name_width: Cells of the name below which columns are hidden instead.
    """
    layouts = [_lay_out_with(gap, natural, state_width, width, first, min_name_width) for gap in GAPS]
    return max(layouts, key=lambda layout: len(layout.shown))


def _lay_out_with(
    gap: int, natural: Sequence[int], state_width: int, width: int, first: int, min_name_width: int
) -> Layout:
    name, *moving = natural
    room = max(2, width - CURSOR_WIDTH - (gap + state_width if state_width else 0) - MORE_WIDTH)
    total = sum(moving) + gap * len(moving)
    name_width = min(name, max(min_name_width, room - total))
    if moving:
        # The widest column can be reached as long as a stub of the name is left.
        name_width = max(min(name, SHORTEST_NAME), min(name_width, room - max(moving) - gap))
    name_width = max(1, min(name_width, room))
    room -= name_width
    first = min(first, _last_first(moving, room, gap))
    count = _that_fit(moving, first, room, gap)
    shown = tuple((index + 1, max(1, min(moving[index], room - gap))) for index in range(first, first + count))
    # What the columns leave over is the name's.
    name_width += min(name - name_width, max(0, room - sum(gap + cells for _, cells in shown)))
    return Layout(name_width, state_width, shown, first, len(moving) - first - count, gap)
