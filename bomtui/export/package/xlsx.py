"""An artefact as a workbook: a sheet per table and one about it, ready for print; the same input, the same bytes.

Part numbers and all other words are text cells, so no spreadsheet takes one for a number or a formula; an unknown is an
empty cell. The decimal mark is that of the spreadsheet's own language.
"""

import datetime
import io
from dataclasses import dataclass, field
from typing import Any, Literal

import xlsxwriter
from xlsxwriter.format import Format
from xlsxwriter.workbook import Workbook
from xlsxwriter.worksheet import Worksheet

from bomtui.export.csv import Numeral
from bomtui.export.facts import heading_facts, standing_text
from bomtui.export.notation import PLAIN_NOTATION, Notation
from bomtui.export.package.artefact import Artefact
from bomtui.export.records import Heading
from bomtui.export.table import Cell, FigureCell, Table, TableColumn, flat
from bomtui.model.plain_text import clean

Paper = Literal["A4", "Letter"]
_PAPER = {"A4": 9, "Letter": 1}
# ECMA-376 part 1, 18.3.1.63 pageSetup: codes of paper sizes.

_NO_DATE = datetime.datetime(1980, 1, 1)  # noqa: DTZ001 - a workbook holds no zone; the same day everywhere
_WIDEST = 48
_LINE_POINTS = 15
_LONGEST_TEXT = 32_767
_LONGEST_SHEET_NAME = 31
PAGE_LETTERS = 190
"""Letters that stand side by side on a printed page and can still be read."""
TITLE_ROWS = 4
"""Rows above the header of a table: title, standing, notice, and an empty one."""


@dataclass(slots=True)
class Book:
    """A workbook that is being written.

    Attributes:
        heading: What every artefact carries.
        notation: How amounts are written.
        paper: Size of the paper.
    """

    heading: Heading
    notation: Notation = PLAIN_NOTATION
    paper: Paper = "A4"
    _stream: io.BytesIO = field(default_factory=io.BytesIO)
    _formats: dict[str, Format] = field(default_factory=dict)
    _book: Workbook = field(init=False)

    def __post_init__(self) -> None:
        """Begin the workbook."""
        self._book = xlsxwriter.Workbook(self._stream, {"in_memory": True})
        self._book.set_properties(
            {"title": clean(self.heading.title), "comments": standing_text(self.heading), "created": _NO_DATE}
        )

    def format(self, **properties: Any) -> Format:  # noqa: ANN401 - properties of a cell
        """Return a cell format, each kind once."""
        key = repr(sorted(properties.items()))
        if key not in self._formats:
            self._formats[key] = self._book.add_format(properties)
        return self._formats[key]

    def amount_format(self, currency: str, **properties: Any) -> Format:  # noqa: ANN401 - properties of a cell
        """Return the format of an amount; zeros behind the last digit stay."""
        sign = "" if self.notation.currency == "header" else f' "{self.notation.currency_sign(currency)}"'
        return self.format(num_format=f"#,##0.0000{sign}", **properties)

    def cell_format(self, column: TableColumn) -> Format:
        """Return the format of the cells of a column; words stand a little off the numbers before them."""
        if column.kind == "amount":
            return self.amount_format(column.unit, valign="top")
        words = {} if column.is_numeric else {"indent": 1}
        return self.format(text_wrap=True, valign="top", **words)

    def sheet(self, name: str, header_row: int = TITLE_ROWS) -> Worksheet:
        """Add a sheet with the heading, set up for print.

        Args:
            name: Its name.
            header_row: Row of its header, counted from 0, which every printed page repeats.
        """
        sheet = self._book.add_worksheet(name[:_LONGEST_SHEET_NAME])
        write_text(sheet, 0, 0, self.heading.title, self.format(bold=True, font_size=14))
        write_text(sheet, 1, 0, standing_text(self.heading), self.format(bold=True, font_size=12))
        write_text(sheet, 2, 0, self.heading.notice, self.format(bold=True))
        sheet.set_paper(_PAPER[self.paper])
        sheet.set_landscape()
        sheet.fit_to_pages(1, 0)
        sheet.set_margins(left=0.5, right=0.5, top=0.7, bottom=0.7)
        sheet.repeat_rows(header_row)
        sheet.freeze_panes(header_row + 1, 0)
        words = clean(self.heading.title).replace("&", "&&")[:200]
        sheet.set_footer(f"&L&8{words}&R&8&P / &N")
        return sheet

    def about(self) -> None:
        """Add the sheet that says what a reader must know."""
        sheet = self.sheet("about")
        wrapped = self.format(text_wrap=True, valign="top")
        sheet.set_column(0, 0, 28)
        sheet.set_column(1, 1, 110)
        for column, word in enumerate(("fact", "text")):
            write_text(sheet, TITLE_ROWS, column, word, self.header_format())
        for row, (label, text) in enumerate(heading_facts(self.heading), start=TITLE_ROWS + 1):
            write_text(sheet, row, 0, label, wrapped)
            write_text(sheet, row, 1, text, wrapped)

    def header_format(self) -> Format:
        """Return the format of a header."""
        return self.format(bold=True, text_wrap=True, valign="top", bottom=1)

    def bytes(self) -> bytes:
        """End the workbook and return its bytes."""
        self._book.close()
        return self._stream.getvalue()


def artefact_xlsx(artefact: Artefact, notation: Notation = PLAIN_NOTATION, paper: Paper = "A4") -> bytes:
    """Write an artefact as a workbook.

    Args:
        artefact: The artefact.
        notation: How amounts are written.
        paper: Size of the paper that its sheets are set up for.
    """
    book = Book(artefact.heading, notation, paper)
    for table in artefact.tables:
        write_table(book, table, table.name or artefact.name)
    book.about()
    return book.bytes()


def write_table(book: Book, table: Table, name: str) -> None:
    """Write a table as a sheet."""
    plain = flat(table)
    sheet = book.sheet(name)
    header, bold = book.header_format(), book.format(bold=True, top=1)
    for number, column in enumerate(plain.columns):
        write_text(sheet, TITLE_ROWS, number, column.header, header)
        formats = (book.cell_format(column), _total_format(book, column, bold))
        for row, cells in enumerate(plain.rows, start=TITLE_ROWS + 1):
            write_cell(sheet, row, number, cells[number], formats[0])
        if plain.total is not None:
            write_cell(sheet, TITLE_ROWS + 1 + len(plain.rows), number, plain.total[number], formats[1])
    set_widths(sheet, plain)
    end = TITLE_ROWS + 2 + len(plain.rows)
    for row, note in enumerate(plain.notes, start=end + 1):
        write_text(sheet, row, 0, note, None)


def _total_format(book: Book, column: TableColumn, plain: Format) -> Format:
    return book.amount_format(column.unit, valign="top", bold=True, top=1) if column.kind == "amount" else plain


def write_cell(sheet: Worksheet, row: int, column: int, cell: Cell, form: Format | None) -> None:
    """Write one cell: a number as number, words as text, an unknown not at all."""
    if isinstance(cell, FigureCell):
        raise TypeError("a figure has several cells in a workbook")
    if isinstance(cell, Numeral):
        sheet.write_number(row, column, float(cell), form)
    elif cell:
        write_text(sheet, row, column, cell, form)


def write_text(sheet: Worksheet, row: int, column: int, text: str, form: Format | None) -> None:
    """Write words as a text cell, whatever they look like."""
    if text:
        sheet.write_string(row, column, clean(text)[:_LONGEST_TEXT], form)


def set_widths(sheet: Worksheet, table: Table, header_row: int = TITLE_ROWS) -> None:
    """Make the columns as wide as their cells, up to a limit; a wide sheet prints on several pages side by side.

    Each of these pages has the columns that name the rows. Rows are as high as their wrapped words.
    """
    widths = [_width(table, number) for number in range(len(table.columns))]
    for number, width in enumerate(widths):
        sheet.set_column(number, number, width)
    sheet.set_row(header_row, _LINE_POINTS * 2)
    for row, cells in enumerate(table.rows, start=header_row + 1):
        lines = max(
            (-(-len(cell) // (width - 2)) for cell, width in zip(cells, widths, strict=True) if isinstance(cell, str)),
            default=1,
        )
        if lines > 1:
            sheet.set_row(row, _LINE_POINTS * lines)
    sheet.fit_to_pages(-(-sum(widths) // PAGE_LETTERS), 0)
    sheet.repeat_columns(0, table.keys - 1)


def _width(table: Table, number: int) -> int:
    longest = max((len(cell) for row in table.rows if isinstance(cell := row[number], str)), default=0)
    words = max((len(word) for word in table.columns[number].header.split()), default=0)
    return min(_WIDEST, max(longest, words, 4) + 3)
