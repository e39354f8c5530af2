"""Where the tables of a sheet are: headers over one or two rows, headings between rows, sums and notes around them."""

import re
from collections.abc import Callable, Iterable, Sequence
from typing import NamedTuple

from bomtui.storage.tabular.header import word_of
from bomtui.storage.tabular.record import Merge, Record, Sheet
from bomtui.storage.tabular.words import TOTAL_WORDS

Recognise = Callable[[str], bool]
"""Tells whether a cell could be a header."""

_LEAST_HEADERS = 2
_LEAST_WIDTH = 3
_NUMBER = re.compile(r"[\s\d.,'%-]*\d[\s\d.,'%-]*")


class Table(NamedTuple):
    """One table of a sheet.

    Attributes:
        line: Line of its header.
        header: Header texts, those over two rows joined by ` / `.
        records: Rows below it, without repeated headers, headings and sums.
        headings: Text of the heading above a row, by the row's line; rows without one are absent.
        left_out: What was left out, one sentence each with its line.
        fault: What is wrong with the header row; empty where nothing is.
        sums: Rows of sums, which are left out.
    """

    line: int
    header: tuple[str, ...]
    records: tuple[Record, ...]
    headings: dict[int, str]
    left_out: tuple[str, ...] = ()
    fault: str = ""
    sums: tuple[Record, ...] = ()


def find_tables(sheet: Sheet, recognise: Recognise, header_row: int | None = None) -> tuple[Table, ...]:
    """Find the tables of a sheet.

    Args:
        sheet: The sheet.
        recognise: Tells whether a cell could be a header.
        header_row: Line of the header, where a person has named it.

    Returns:
        Every table whose header holds two recognised cells and more, in their order; where there is none, the whole
        sheet below its first row; nothing for a row that was named and is not there.
    """
    records = sheet.records
    if header_row is not None:
        starts = [number for number, record in enumerate(records) if record.line == header_row]
        if not starts:
            return ()
        after = [place for place in _header_places(records, recognise) if place > starts[0]]
        return (_table(sheet, starts[0], after[0] if after else len(records), recognise),)
    found = list(_header_places(records, recognise)) or ([0] if records else [])
    places = [place for place in found if place - 1 not in found or not _is_second(sheet, place, recognise)]
    places = [place - 1 if _is_below_another(sheet, place, recognise) else place for place in places]
    tables: list[Table] = []
    for number, place in enumerate(places):
        end = places[number + 1] if number + 1 < len(places) else len(records)
        tables.append(_table(sheet, place, end, recognise))
    return _without_repeats(records, tables)


def _header_places(records: Sequence[Record], recognise: Recognise) -> Iterable[int]:
    for place, record in enumerate(records):
        filled = [cell for cell in record.cells if cell.strip()]
        if record.fault or any(_NUMBER.fullmatch(cell) for cell in filled):
            continue
        known = sum(map(recognise, filled))
        if known >= _LEAST_HEADERS and 2 * known >= len(filled):
            yield place


def _is_below_another(sheet: Sheet, place: int, recognise: Recognise) -> bool:
    """Tell the lower one of two rows of headers: a header stands above one of its empty cells."""
    if not place or sheet.records[place - 1].fault or not _is_second(sheet, place, recognise):
        return False
    upper, lower = sheet.records[place - 1].cells, sheet.records[place].cells
    cells = [*lower, *[""] * (len(upper) - len(lower))]
    filled = sum(bool(cell.strip()) for cell in upper)
    return filled >= _LEAST_HEADERS and any(
        recognise(cell) for cell, below in zip(upper, cells, strict=False) if cell.strip() and not below.strip()
    )


def _is_second(sheet: Sheet, place: int, recognise: Recognise) -> bool:
    top, following = sheet.records[place - 1], sheet.records[place]
    return _is_second_header(_spread(top, sheet.merges), following, recognise)


def _without_repeats(records: Sequence[Record], tables: list[Table]) -> tuple[Table, ...]:
    """Join a table to the one before where its header only repeats that one's, with no gap between them."""
    lines = [record.line for record in records]
    joined: list[Table] = []
    for table in tables:
        last = joined[-1] if joined else None
        before = lines.index(table.line) - 1
        is_close = before >= 0 and lines[before] + 1 == table.line
        if last is None or last.header != table.header or not is_close:
            joined.append(table)
            continue
        joined[-1] = last._replace(
            records=last.records + table.records,
            headings=last.headings | table.headings,
            sums=last.sums + table.sums,
            left_out=(*last.left_out, f"line {table.line}: the header row again", *table.left_out),
        )
    return tuple(joined)


def _table(sheet: Sheet, place: int, end: int, recognise: Recognise) -> Table:
    records = sheet.records
    top = records[place]
    header = list(_spread(top, sheet.merges))
    following = records[place + 1] if place + 1 < end else None
    first = place + 1
    if following is not None and _is_second_header(header, following, recognise):
        header = _joined(_groups_spread(header, following), _spread(following, sheet.merges))
        first += 1
        return _with_rows(top, tuple(header), records[first:end], f"line {following.line}: the second row of headers")
    return _with_rows(top, tuple(header), records[first:end])


def _with_rows(top: Record, header: tuple[str, ...], records: Iterable[Record], second: str = "") -> Table:
    rows: list[Record] = []
    sums: list[Record] = []
    headings: dict[int, str] = {}
    left_out = [second] if second else []
    heading = ""
    for record in records:
        filled = [cell.strip() for cell in record.cells if cell.strip()]
        if any(cell.rstrip(" :.").casefold() in TOTAL_WORDS for cell in filled):
            left_out.append(f"line {record.line}: a row of sums ({', '.join(filled)})")
            sums.append(record)
        elif not record.fault and not record.marks and len(header) >= _LEAST_WIDTH and _is_heading(record, filled):
            heading = filled[0]
            left_out.append(f"line {record.line}: a row of one cell ({heading})")
        else:
            rows.append(record)
            if heading:
                headings[record.line] = heading
    return Table(top.line, header, tuple(rows), headings, tuple(left_out), top.fault, tuple(sums))


def _is_heading(record: Record, filled: Sequence[str]) -> bool:
    """Tell a heading or note from a row of which only the id is filled: it has a space, or no digit."""
    stands_first = bool(record.cells[0].strip()) and len(filled) == 1
    return stands_first and (" " in filled[0] or not any(map(str.isdigit, filled[0])))


def _is_second_header(header: Sequence[str], following: Record, recognise: Recognise) -> bool:
    """Tell a second header row: it fills only columns that the first row leaves empty, repeats or merges."""
    if following.fault:
        return False
    cells = [*following.cells, *[""] * (len(header) - len(following.cells))]
    names = [*(word_of(name) for name in header), *[""] * (len(cells) - len(header))]
    own = [place for place, cell in enumerate(cells) if cell.strip() and word_of(cell) != names[place]]
    if len(own) < _LEAST_HEADERS or any(_NUMBER.fullmatch(cells[place].strip()) for place in own):
        return False
    repeated = [bool(names[place]) and names.count(names[place]) > 1 for place in own]
    opens = [place + 1 < len(names) and not names[place + 1] for place in own]
    shared = all(one or two or not names[place] for one, two, place in zip(repeated, opens, own, strict=True))
    known = all(repeated) and all(recognise(header[place]) for place in own)
    return shared and (known or any(recognise(cells[place]) for place in own))


def _groups_spread(header: Sequence[str], following: Record) -> list[str]:
    """Give the name of a group to the empty header cells right of it that the second row fills."""
    cells = [*following.cells, *[""] * (len(header) - len(following.cells))]
    spread = list(header)
    for place in range(1, len(spread)):
        if not spread[place] and cells[place].strip() and cells[place - 1].strip():
            spread[place] = spread[place - 1]
    return spread


def _spread(record: Record, merges: Iterable[Merge]) -> list[str]:
    """Return the cells of a header row, each cell merged over columns in all of them."""
    cells = [" ".join(cell.split()) for cell in record.cells]
    for merge in merges:
        if merge.first_line <= record.line <= merge.last_line and merge.first_column < len(cells):
            for place in range(merge.first_column + 1, min(merge.last_column + 1, len(cells))):
                cells[place] = cells[merge.first_column]
    return cells


def _joined(upper: Sequence[str], lower: Sequence[str]) -> list[str]:
    """Join the names of two header rows; what both rows say is said once."""
    width = max(len(upper), len(lower))
    pairs = zip([*upper, *[""] * (width - len(upper))], [*lower, *[""] * (width - len(lower))], strict=True)
    return [" / ".join(dict.fromkeys(part for part in pair if part)) for pair in pairs]
