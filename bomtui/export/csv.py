"""The parts list as CSV: one table that spreadsheets open and programs read back.

Text cells stand in quotes and numbers do not, so that a part number stays text and a number stays a number. The first
row holds the headers, each numeric one with its unit. A row whose `line` is a number is a line of the list; below the
last line follow one row `total` and the rows `about`, which a reader leaves out by that cell. A text that a spreadsheet
would run as a formula begins with an apostrophe, which a reader takes away again. An unknown is an empty cell.
Quotes, separators and line ends otherwise as in RFC 4180, with LF.
"""

from collections.abc import Iterable, Sequence

from bomtui.export.facts import heading_facts
from bomtui.export.parts_list_record import LineRecord, PartsListRecord
from bomtui.model.lists import parts_list_columns
from bomtui.model.plain_text import clean, defused

TOTAL = "total"
ABOUT = "about"


class Numeral(str):
    """The text of a number, which stands in a cell as it is."""

    __slots__ = ()


Cell = str | int | float | Numeral | None


def parts_list_csv(record: PartsListRecord) -> bytes:
    """Write a parts list as CSV in UTF-8."""
    columns = parts_list_columns(record.currency)
    keys = [column.key for column in columns]
    rows: list[Sequence[Cell]] = [[column.header for column in columns]]
    rows.extend(_row(keys, line_cells(line)) for line in record.lines)
    rows.append(_row(keys, total_cells(record)))
    rows.extend(_row(keys, {"line": ABOUT, "description": f"{label}: {text}"}) for label, text in heading_facts(record))
    return csv_bytes(rows)


def csv_bytes(rows: Iterable[Sequence[Cell]]) -> bytes:
    """Write rows of cells."""
    return "".join(",".join(map(cell_text, row)) + "\n" for row in rows).encode()


def cell_text(cell: Cell) -> str:
    """Write one cell: nothing for an unknown or an empty text, numbers as they are, text defused and in quotes."""
    if cell is None or cell == "":
        return ""
    if not isinstance(cell, str) or isinstance(cell, Numeral):
        return str(cell)
    return '"' + defused(clean(cell)).replace('"', '""') + '"'


def line_cells(line: LineRecord) -> dict[str, Cell]:
    """Return the cells of a line by column key."""
    return {
        "line": line.line,
        "part": line.part,
        "kind": line.kind,
        "maker": line.maker,
        "mpn": line.mpn,
        "description": line.description,
        "modules": line.modules,
        "quantity": line.quantity,
        "sale_unit": line.sale_unit,
        "need": line.need,
        "order_base": line.order_base,
        "order": line.order,
        "moq": line.moq,
        "multiple": line.multiple,
        "rung": line.rung,
        "unit_price": _numeral(line.unit_price),
        "price_date": None if line.price_date is None else line.price_date.isoformat(),
        "line_price": _numeral(line.line_price),
        "excess_per_year": _numeral(line.excess_per_year),
        "life_cycle": line.life_cycle,
        "lead_time": line.lead_weeks,
        "alternates": " ".join(line.alternates),
        "note": line.note,
    }


def total_note(record: PartsListRecord) -> str:
    """Say how much is missing in the totals."""
    counts = (("line_price", record.unknown), ("excess_per_year", record.excess_per_year_unknown))
    return "; ".join(f"{key}: at least, {count} unknown" if count else f"{key}: exact" for key, count in counts)


def total_cells(record: PartsListRecord) -> dict[str, Cell]:
    """Return the cells of the row of totals by column key."""
    return {
        "line": TOTAL,
        "line_price": Numeral(record.total),
        "excess_per_year": Numeral(record.excess_per_year),
        "note": total_note(record),
    }


def _row(keys: Sequence[str], cells: dict[str, Cell]) -> list[Cell]:
    return [cells.get(key) for key in keys]


def _numeral(amount: str | None) -> Numeral | None:
    return None if amount is None else Numeral(amount)
