"""The costed parts list as a workbook that recomputes: volume, attrition, minimums, multiples and prices are cells.

Another volume moves need, order quantity, rung, unit price, line and total. An emptied cell makes everything that needs
it empty, and the total says that it is at least as much.
"""

from collections.abc import Mapping, Sequence
from decimal import Decimal

from xlsxwriter.utility import xl_rowcol_to_cell
from xlsxwriter.worksheet import Worksheet

from bomtui.export.csv import Numeral, total_note
from bomtui.export.notation import PLAIN_NOTATION, Notation
from bomtui.export.package.others import PARTS_LIST, parts_list_table
from bomtui.export.package.xlsx import Book, Paper, set_widths, write_cell, write_text
from bomtui.export.parts_list_record import LineRecord, PartsListRecord
from bomtui.export.table import Cell, Table
from bomtui.model.money import LINE_DIGITS
from bomtui.model.part import Part, PriceBreak

PRICES = "prices"
VALUE_COLUMN = 4
VOLUME_ROW, ATTRITION_ROW, UNSERVED_ROW = 4, 5, 6
HEADER_ROW = 8
FIRST_ROW = HEADER_ROW + 1
# A product of a few decimals is exact to this many digits in a binary number; what is beyond is no part of it.
_GUARD_DIGITS = 8
_QUANTITIES = 3
"""First column of the rungs on the sheet of prices."""


def parts_list_xlsx(
    record: PartsListRecord,
    parts: Mapping[str, Part],
    worth: Mapping[str, Decimal],
    attrition_ratio: float,
    notation: Notation = PLAIN_NOTATION,
    paper: Paper = "A4",
) -> bytes:
    """Write a parts list as a workbook with live formulas.

    Args:
        record: The parts list; its figures stand beside the formulas for readers that do not recompute.
        parts: Frozen parts, for their price rungs.
        worth: What one unit of each currency is worth in that of the list; one without a rate is left out.
        attrition_ratio: Parts lost in assembly over parts needed.
        notation: How amounts are written.
        paper: Size of the paper.
    """
    book = Book(record, notation, paper)
    sheet = book.sheet(PARTS_LIST, HEADER_ROW)
    table = parts_list_table(record)
    _givens(book, sheet, record, attrition_ratio)
    _Lines(book, sheet, table, record, parts).write()
    set_widths(sheet, table, HEADER_ROW)
    _prices(book, record, parts, worth)
    book.about()
    return book.bytes()


def _givens(book: Book, sheet: Worksheet, record: PartsListRecord, attrition_ratio: float) -> None:
    """Write what the formulas start from, as cells that a reader may change."""
    given = book.format(bold=True, border=1)
    rows: tuple[tuple[int, str, float | None], ...] = (
        (VOLUME_ROW, "vehicles a year (change it, and everything below follows)", record.volume_per_year),
        (ATTRITION_ROW, "attrition: parts lost in assembly over parts needed", attrition_ratio),
        (UNSERVED_ROW, "loads that no module serves: their parts are in no line", unserved(record)),
    )
    for row, label, value in rows:
        write_text(sheet, row, 0, label, None)
        if value is None:
            sheet.write_blank(row, VALUE_COLUMN, None, given)
        else:
            sheet.write_number(row, VALUE_COLUMN, value, given)


def unserved(record: PartsListRecord) -> int:
    """Return how many loads lack their parts in a list."""
    return record.unknown - sum(line.line_price is None for line in record.lines)


class _Lines:
    """The lines of the list with their formulas."""

    def __init__(
        self, book: Book, sheet: Worksheet, table: Table, record: PartsListRecord, parts: Mapping[str, Part]
    ) -> None:
        self._book = book
        self._sheet = sheet
        self._table = table
        self._record = record
        self._parts = parts
        self._column = {column.key: number for number, column in enumerate(table.columns)}
        self._rungs = most_rungs(record, parts)
        self._volume = xl_rowcol_to_cell(VOLUME_ROW, VALUE_COLUMN, row_abs=True, col_abs=True)
        self._attrition = xl_rowcol_to_cell(ATTRITION_ROW, VALUE_COLUMN, row_abs=True, col_abs=True)
        self._unserved = xl_rowcol_to_cell(UNSERVED_ROW, VALUE_COLUMN, row_abs=True, col_abs=True)

    def write(self) -> None:
        """Write header, lines and totals."""
        for number, column in enumerate(self._table.columns):
            write_text(self._sheet, HEADER_ROW, number, column.header, self._book.header_format())
        for number, (line, cells) in enumerate(zip(self._record.lines, self._table.rows, strict=True)):
            self._line(number, line, cells)
        self._totals()

    def _line(self, number: int, line: LineRecord, cells: Sequence[Cell]) -> None:
        row = FIRST_ROW + number
        formulas = self._formulas(row, number, line)
        for position, (column, cell) in enumerate(zip(self._table.columns, cells, strict=True)):
            form = self._book.cell_format(column)
            if column.key in formulas:
                self._formula(row, position, formulas[column.key], cell, form)
            else:
                write_cell(self._sheet, row, position, cell, form)

    def _formula(self, row: int, column: int, text: str, cell: Cell, form: object) -> None:
        value: object = float(cell) if isinstance(cell, Numeral) else ("" if cell is None else cell)
        self._sheet.write_formula(row, column, f"={text}", form, value)

    def _at(self, row: int, key: str) -> str:
        return str(xl_rowcol_to_cell(row, self._column[key]))

    def _formulas(self, row: int, number: int, line: LineRecord) -> dict[str, str]:
        """Return the formulas of a line; each is empty where something that it needs is empty."""
        quantity, need, base, order = (self._at(row, key) for key in ("quantity", "need", "order_base", "order"))
        moq, multiple, price = (self._at(row, key) for key in ("moq", "multiple", "unit_price"))
        found, rung = self._lookup(number, order, rungs_of(self._parts.get(line.part)))
        worth = f"{PRICES}!{xl_rowcol_to_cell(number + HEADER_ROW + 1, _QUANTITIES - 1)}"
        return {
            "need": _known((self._volume, quantity), f"ROUNDUP(ROUND({quantity}*{self._volume},{_GUARD_DIGITS}),0)"),
            "order_base": _known(
                (need, self._attrition), f"ROUNDUP(ROUND({need}*(1+{self._attrition}),{_GUARD_DIGITS}),0)"
            ),
            "order": _known(
                (base, moq, multiple),
                f"MAX({moq},ROUNDUP(ROUND({base}/{multiple},{_GUARD_DIGITS}),0)*{multiple})",
            ),
            "unit_price": _known((order, worth), f'IF({found}="","",{found}*{worth})'),
            "rung": _known((order, price), rung),
            "line_price": _known((price, quantity), f"ROUND({price}*{quantity},{LINE_DIGITS})"),
            "excess_per_year": _known((order, base, price), f"({order}-{base})*{price}"),
        }

    def _lookup(self, number: int, order: str, count: int) -> tuple[str, str]:
        """Return the formulas that find price and lower bound of the rung that an order reaches."""
        row = number + HEADER_ROW + 1
        first = _QUANTITIES
        quantities = f"{PRICES}!{_span(row, first, count)}"
        prices = f"{PRICES}!{_span(row, first + self._rungs, count)}"
        wanted = f"MAX({order},{PRICES}!{xl_rowcol_to_cell(row, first, col_abs=True)})"
        return f"LOOKUP({wanted},{quantities},{prices})", f"LOOKUP({wanted},{quantities})"

    def _totals(self) -> None:
        """Write sums of what is known, and how much is not."""
        row = FIRST_ROW + len(self._record.lines)
        bold = self._book.format(bold=True, top=1)
        write_text(self._sheet, row, self._column["line"], "total", bold)
        if not self._record.lines:
            return
        last = row - 1
        notes = []
        for key, value, more in (
            ("line_price", self._record.total, f"+{self._unserved}"),
            ("excess_per_year", self._record.excess_per_year, ""),
        ):
            column = self._column[key]
            span = f"{self._at(FIRST_ROW, key)}:{self._at(last, key)}"
            amount = self._book.amount_format(self._record.currency, bold=True, top=1)
            self._formula(row, column, f"ROUND(SUM({span}),{_GUARD_DIGITS})", Numeral(value), amount)
            missing = f"(ROWS({span})-COUNT({span}){more})"
            notes.append(f'"{key}: "&IF({missing}=0,"exact","at least, "&{missing}&" unknown")')
        self._formula(row, self._column["note"], '&"; "&'.join(notes), total_note(self._record), bold)


def _known(cells: Sequence[str], formula: str) -> str:
    """Return a formula that is empty where one of its cells is."""
    empty = ",".join(f'{cell}=""' for cell in cells)
    return f'IF(OR({empty}),"",{formula})'


def _span(row: int, column: int, count: int) -> str:
    first, last = (xl_rowcol_to_cell(row, number, col_abs=True) for number in (column, column + count - 1))
    return f"{first}:{last}"


def rungs_of(part: Part | None) -> int:
    """Return how many rungs stand on the sheet of prices for a part: one to fill in where it has none."""
    return 1 if part is None or not part.breaks else len(ladder(part.breaks))


def most_rungs(record: PartsListRecord, parts: Mapping[str, Part]) -> int:
    """Return how many rungs the longest ladder of a list has."""
    return max((rungs_of(parts.get(line.part)) for line in record.lines), default=1)


def ladder(breaks: Sequence[PriceBreak]) -> list[PriceBreak]:
    """Return price rungs by rising quantity, each quantity once."""
    by_quantity: dict[int, PriceBreak] = {}
    for own in breaks:
        by_quantity.setdefault(own.quantity, own)
    return [by_quantity[quantity] for quantity in sorted(by_quantity)]


def _prices(book: Book, record: PartsListRecord, parts: Mapping[str, Part], worth: Mapping[str, Decimal]) -> None:
    """Write the price rungs that the formulas look into."""
    sheet = book.sheet(PRICES, HEADER_ROW)
    rungs = most_rungs(record, parts)
    heads = ["part", "currency", f"worth [{record.currency}]"]
    heads += [f"rung {number} from" for number in range(1, rungs + 1)]
    heads += [f"rung {number} price" for number in range(1, rungs + 1)]
    for number, head in enumerate(heads):
        write_text(sheet, HEADER_ROW, number, head, book.header_format())
    sheet.set_column(0, 0, 24)
    sheet.set_column(1, len(heads), 11)
    for row, line in enumerate(record.lines, start=FIRST_ROW):
        part = parts.get(line.part)
        currency = record.currency if part is None or not part.breaks else part.currency
        write_text(sheet, row, 0, line.part, None)
        write_text(sheet, row, 1, currency, None)
        rate = Decimal(1) if currency == record.currency else worth.get(currency)
        if rate is not None:
            sheet.write_number(row, 2, float(rate), None)
        own = [] if part is None else ladder(part.breaks)
        for number, rung in enumerate(own):
            sheet.write_number(row, _QUANTITIES + number, rung.quantity, None)
            sheet.write_number(row, _QUANTITIES + rungs + number, float(rung.price), book.format(num_format="0.0000##"))
        if not own:
            sheet.write_number(row, _QUANTITIES, 1, None)
