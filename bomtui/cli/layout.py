"""Plain text in columns, by the width that characters take in a terminal, within 80 columns."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from bomtui.cli.arguments import WIDTH
from bomtui.model.plain_text import clean, columns_of

GAP = 2
CUT = ".."
LEAST_TEXT = 8
"""Columns below which a column of words is not cut."""


@dataclass(frozen=True, slots=True)
class Column:
    """A column.

    Attributes:
        header: Its header.
        numeric: Whether it holds numbers, which stand at its right end and are never cut.
        whole: Whether its words are never cut either, because half of one names something else.
    """

    header: str
    numeric: bool = False
    whole: bool = False

    @property
    def can_be_cut(self) -> bool:
        """Whether the column may be made narrower than what stands in it."""
        return not (self.numeric or self.whole)


def cut(text: str, width: int) -> str:
    """Return a text that takes no more columns than given, its end replaced by two dots where it is longer."""
    if columns_of(text) <= width:
        return text
    kept = ""
    for sign in text:
        if columns_of(kept + sign) > width - len(CUT):
            break
        kept += sign
    return kept + CUT


def padded(text: str, width: int, *, numeric: bool = False) -> str:
    """Return a text filled up with spaces to a width."""
    fill = " " * max(width - columns_of(text), 0)
    return fill + text if numeric else text + fill


def table(columns: Sequence[Column], rows: Iterable[Sequence[str]], indent: int = GAP) -> list[str]:
    """Write a table; words are cut where it would not fit, numbers never."""
    cells = [[clean(cell) for cell in row] for row in rows]
    widths = [
        max([columns_of(column.header), *(columns_of(row[number]) for row in cells)])
        for number, column in enumerate(columns)
    ]
    _shrink(columns, widths, WIDTH - indent - GAP * (len(columns) - 1))
    return [_line(columns, row, widths, indent) for row in ([column.header for column in columns], *cells)]


def wrapped(text: str, indent: int = 0, hang: int | None = None) -> list[str]:
    """Break a text into lines between words.

    Args:
        text: One paragraph; cleaned here.
        indent: Spaces before the first line.
        hang: Spaces before the others; as before the first where None.
    """
    hang = indent if hang is None else hang
    lines: list[str] = []
    line = ""
    # Two spaces in a row stay: they keep what is known apart from how much is unknown.
    for word in clean(text).split(" "):
        start = " " * (hang if lines else indent)
        if line and columns_of(start) + columns_of(line) + 1 + columns_of(word) > WIDTH:
            lines.append(start + line.rstrip())
            line = word
        else:
            line = f"{line} {word}" if line else word
    return [*lines, " " * (hang if lines else indent) + line] if line else lines


def _shrink(columns: Sequence[Column], widths: list[int], room: int) -> None:
    while sum(widths) > room:
        words = [number for number, column in enumerate(columns) if column.can_be_cut and widths[number] > LEAST_TEXT]
        if not words:
            return
        widths[max(words, key=lambda number: widths[number])] -= 1


def _line(columns: Sequence[Column], row: Sequence[str], widths: Sequence[int], indent: int) -> str:
    cells = [
        padded(cut(cell, width) if column.can_be_cut else cell, width, numeric=column.numeric)
        for column, cell, width in zip(columns, row, widths, strict=True)
    ]
    return (" " * indent + (" " * GAP).join(cells)).rstrip()
