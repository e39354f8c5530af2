"""Text with separated cells to records, each with its line; what is not lawful is reported and the rest is kept.

Quoting: RFC 4180, clause 2 (a quote inside a quoted cell is written twice; a quoted cell may hold line ends).
"""

import csv
import io
import re
from collections import Counter
from collections.abc import Iterator

from bomtui.storage.tabular.record import Record

SEPARATORS = {",": "comma", ";": "semicolon", "\t": "tab", "|": "bar"}
"""Separators that are looked for, with their names for messages."""

_SEPARATOR_LINE = re.compile(r'"?sep=(?P<separator>[,;\t|])"?\n', re.IGNORECASE)
_QUOTED = re.compile(r'"(?P<text>[^"]*(?:""[^"]*)*)"')
_ROWS_LOOKED_AT = 40


def split(text: str, separator: str | None = None) -> tuple[str, tuple[Record, ...]]:
    """Take a text with LF line ends apart.

    Args:
        text: The text.
        separator: One of `SEPARATORS`, where a person has named it.

    Returns:
        The separator, and the rows without the blank ones. Unless it is told, in a first line `sep=;` or otherwise, it
        is the one that gives most rows of one width; the comma where none gives rows of two cells and more.
    """
    told = _SEPARATOR_LINE.match(text)
    start, line = (told.end(), 2) if told else (0, 1)
    if separator is None:
        found = told["separator"] if told else None
        separator = found or max(SEPARATORS, key=lambda candidate: _agreement(text, candidate))
    lawful = _lawful_records(text[start:], separator, line)
    return separator, tuple(_records(text, separator, start, line)) if lawful is None else lawful


def _agreement(text: str, separator: str) -> tuple[int, int]:
    """How many of the first rows have the commonest width, and how wide that is; rows of one cell agree on nothing."""
    widths: Counter[int] = Counter()
    for record in _records(text, separator):
        if not record.fault and len(record.cells) > 1:
            widths[len(record.cells)] += 1
        if record.line > _ROWS_LOOKED_AT:
            break
    return max(((count, width) for width, count in widths.items()), default=(0, 0))


def _lawful_records(text: str, separator: str, line: int) -> tuple[Record, ...] | None:
    """Read a text whose quotes are all lawful, at the speed of the library; None for any other."""
    reader = csv.reader(io.StringIO(text), delimiter=separator, strict=True)
    records = []
    before = line - 1
    next_line = line
    try:
        for cells in reader:
            if any(map(str.strip, cells)):
                records.append(Record(next_line, tuple(cells)))
            next_line = before + reader.line_num + 1
    except csv.Error:
        return None
    return tuple(records)


def _records(text: str, separator: str, position: int = 0, line: int = 1) -> Iterator[Record]:
    plain = re.compile(rf"[^{re.escape(separator)}\n]*")
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
