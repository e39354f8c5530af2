"""Text of exact width in a terminal, measured in cells."""

import re
from typing import Literal

from rich.cells import cell_len, chop_cells, set_cell_size

from bomtui.model.plain_text import STACKED_MARKS, clean

Align = Literal["left", "right"]

LONGEST_CELL = 400
"""Characters of a text that are looked at for one cell of a sheet; wider than any terminal line."""


WIDEST_LABEL_SHARE = 0.75
"""Share of the width in which a label and the gap behind it must end for later lines to stand below its text."""
_LABEL = re.compile(r" *\S+(?: \S+)* {2,}(?=\S)")
_WORD = re.compile(r"( *)([^ ]+)")


def cell(text: str) -> str:
    """A text from outside as one harmless line of bounded length."""
    return clean(text if len(text) <= LONGEST_CELL else text[:LONGEST_CELL] + "...")


def width_of(text: str) -> int:
    """Cells that a text takes once it is harmless."""
    return width_of_clean(cell(text))


def fit(text: str, width: int, align: Align = "left", ellipsis: str = "") -> str:
    """The text, harmless and exactly so many cells wide; a wide character is never split.

    Args:
        text: Any text.
        width: Cells.
        align: Where the blanks go.
        ellipsis: Ends a text that had to be cut; stands alone for a number, for half a number is a wrong number.
    """
    text = cell(text)
    used = width_of_clean(text)
    if used > width and ellipsis and align == "right":
        return ellipsis[:width].rjust(width)
    if used > width:
        return set_cell_size(text, max(0, width - len(ellipsis))) + ellipsis[:width]
    blanks = " " * (width - used)
    return text + blanks if align == "left" else blanks + text


def wrap(text: str, width: int, hang: int = 2) -> list[str]:
    """The harmless text in lines of at most so many cells, broken at spaces, later lines indented by the hang more.

    Where a label and a gap of two blanks or more begin the text, later lines stand below what follows the gap.

    Args:
        text: One line of text; blanks in front of it are kept in front of all its lines.
        width: Cells.
        hang: Cells by which the second and all later lines are moved in; with 0 a label is not looked for either.
    """
    text = clean(text).rstrip()
    if width_of_clean(text) <= width:
        return [text]
    indent = min(len(text) - len(text.lstrip(" ")), max(0, width - 12))
    label = _LABEL.match(text[: int(width * WIDEST_LABEL_SHARE)]) if hang else None
    later = " " * min(width_of_clean(label.group()) if label else indent + hang, max(0, width - 10))
    lines: list[str] = []
    line, used, is_empty = " " * indent, indent, True
    for found in _WORD.finditer(text):
        gap, whole = found.groups()
        word, cells = whole, width_of_clean(whole)
        if not is_empty and used + len(gap) + cells > width:
            lines.append(line)
            line, used, is_empty = later, len(later), True
        if not is_empty:
            line, used = line + gap, used + len(gap)
        while used + cells > width:
            head = _head(word, max(2, width - used))
            lines.append(line + head)
            word, cells = word[len(head) :], cells - width_of_clean(head)
            line, used = later, len(later)
        line, used, is_empty = line + word, used + cells, False
    return [*lines, line]


def width_of_clean(text: str) -> int:
    """Cells that a harmless text takes, however long it is."""
    return len(text) if text.isascii() else cell_len(text)


def _head(word: str, width: int) -> str:
    """As much of a word as fits into the width; only the beginning of the word is looked at."""
    return chop_cells(word[: width * (STACKED_MARKS + 1)], width)[0]
