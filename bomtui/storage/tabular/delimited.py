"""Text with separated cells to records, each with its line; what is not lawful is reported and the rest is kept.

Quoting: RFC 4180, clause 2 (a quote inside a quoted cell is written twice; a quoted cell may hold line ends).
"""

import re
from collections import Counter
from collections.abc import Iterator
from typing import NamedTuple

SEPARATORS = {",": "comma", ";": "semicolon", "\t": "tab"}
"""Separators that are looked for, with their names for messages."""

_SEPARATOR_LINE = re.compile(r'"?sep=(?P<separator>[,;\t])"?\n', re.IGNORECASE)
_QUOTED = re.compile(r'"(?P<text>[^"]*(?:""[^"]*)*)"')
_ROWS_LOOKED_AT = 20


class Record(NamedTuple):
    """One row.

    Attributes:
        line: Line of its first character, 1 for the first.
        cells: Its cells without their quotes.
        fault: What is wrong with its quotes; empty where nothing is, otherwise the cells are not to be used.
    """

    line: int
    cells: tuple[str, ...]
    fault: str = ""


class Sheet(NamedTuple):
    """A text taken apart: the separator that was found, and its rows without the blank ones."""

    separator: str
    records: tuple[Record, ...]


def split(text: str) -> Sheet:
    """Take a text with LF line ends apart; the separator is the one that gives rows of one width.

    Returns:
        The sheet; the comma where no separator gives rows of two cells and more.
    """
    told = _SEPARATOR_LINE.match(text)
    if told:
        return Sheet(told["separator"], tuple(_records(text, told["separator"], told.end(), 2)))
    separator = max(SEPARATORS, key=lambda candidate: _agreement(text, candidate))
    return Sheet(separator, tuple(_records(text, separator)))


def _agreement(text: str, separator: str) -> tuple[int, int]:
    """How many of the first rows are as wide as the first, and how wide; rows of one cell agree on nothing."""
    widths: list[int] = []
    for record in _records(text, separator):
        if not record.fault:
            widths.append(len(record.cells))
        if len(widths) == _ROWS_LOOKED_AT:
            break
    if not widths or widths[0] == 1:
        return 0, 0
    return Counter(widths)[widths[0]], widths[0]


def _records(text: str, separator: str, position: int = 0, line: int = 1) -> Iterator[Record]:
    plain = re.compile(rf"[^{separator}\n]*")
    while position < len(text):
        cells, after, fault = _record(text, separator, plain, position)
        if fault or any(cell.strip() for cell in cells):
            yield Record(line, tuple(cells), fault)
        line += text.count("\n", position, after)
        position = after


def _record(text: str, separator: str, plain: re.Pattern[str], start: int) -> tuple[list[str], int, str]:
    """Return the cells of the record at a position, the position after it, and what is wrong with its quotes.

    After a fault the reading goes on with the next line, so that one quote too many costs one row and not the rest.
    """
    cells: list[str] = []
    position = start
    while True:
        if text.startswith('"', position):
            match = _QUOTED.match(text, position)
            if match is None:
                return [], _next_line(text, start), "a quote that is opened and never closed"
            cells.append(match["text"].replace('""', '"'))
        else:
            match = plain.match(text, position)
            cells.append(match[0] if match else "")
        position = match.end() if match else position
        if position >= len(text):
            return cells, position, ""
        if text[position] == "\n":
            return cells, position + 1, ""
        if text[position] != separator:
            return [], _next_line(text, start), "text after the closing quote of a cell"
        position += 1


def _next_line(text: str, position: int) -> int:
    end = text.find("\n", position)
    return len(text) if end < 0 else end + 1
