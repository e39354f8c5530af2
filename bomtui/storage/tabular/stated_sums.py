"""Sums that a list states of its columns, held against its rows: where they differ, a row may be missing."""

from collections.abc import Iterator, Sequence
from decimal import Decimal

from bomtui import units
from bomtui.storage.field_text import shown
from bomtui.storage.tabular.record import Record


def sums_that_differ(
    header_texts: Sequence[str], records: Sequence[Record], sums: Sequence[Record], decimal_mark: str | None
) -> Iterator[str]:
    """Yield a sentence for each stated sum that is neither that of all rows above it nor that of its section.

    Args:
        header_texts: Headers of the columns.
        records: The rows.
        sums: The rows of sums.
        decimal_mark: Decimal mark of the list; None where no cell decides it.
    """
    before = 0
    for own in sums:
        for place, text in enumerate(header_texts):
            stated = _number(own, place, decimal_mark)
            if not text or stated is None:
                continue
            added = [_added(records, place, decimal_mark, start, own.line) for start in (0, before)]
            known = [value for value in added if value is not None]
            if known and stated not in known:
                yield (
                    f"line {own.line}: the stated sum of {shown(text)} is {_text(stated)}, the rows add up to "
                    f"{_text(known[0])}"
                )
        before = own.line


def _added(records: Sequence[Record], place: int, decimal_mark: str | None, start: int, end: int) -> Decimal | None:
    """Return the sum of a column between two lines; None where a cell is no plain number, or none is filled."""
    cells = [own for own in records if start < own.line < end and place < len(own.cells) and own.cells[place].strip()]
    values = [_number(own, place, decimal_mark) for own in cells]
    known = [value for value in values if value is not None]
    return sum(known, Decimal(0)) if known and len(known) == len(values) else None


def _number(record: Record, place: int, decimal_mark: str | None) -> Decimal | None:
    text = record.cells[place].strip() if place < len(record.cells) else ""
    mark = record.marks.get(place)
    own_mark = "." if mark is not None and mark.kind == "number" else decimal_mark
    try:
        return units.parse_number(text, decimal_mark=own_mark)
    except units.QuantityError:
        return None


def _text(number: Decimal) -> str:
    return f"{number.normalize():f}"
