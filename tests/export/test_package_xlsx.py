"""Workbooks: words stay words, numbers numbers, unknowns empty; formulas carry our values; repeats are byte-equal."""

import io
import zipfile
from decimal import Decimal
from typing import Any

import msgspec
import pytest
from python_calamine import CalamineWorkbook

from bomtui.export.csv import Numeral
from bomtui.export.notation import PLAIN_NOTATION, CurrencyFormat, Notation
from bomtui.export.package.artefact import Artefact
from bomtui.export.package.parts_list_xlsx import (
    FIRST_ROW,
    HEADER_ROW,
    PRICES,
    VALUE_COLUMN,
    VOLUME_ROW,
    ladder,
    parts_list_xlsx,
)
from bomtui.export.package.xlsx import TITLE_ROWS, artefact_xlsx
from bomtui.export.parts_list_record import PartsListRecord
from bomtui.export.table import Table, TableColumn, flat
from bomtui.model.part import PriceBreak
from tests.services.package.sample import gathered, subject


def _rows(data: bytes, sheet: str) -> list[list[Any]]:
    return CalamineWorkbook.from_filelike(io.BytesIO(data)).get_sheet_by_name(sheet).to_python(skip_empty_area=False)


def _parts_list() -> PartsListRecord:
    record = gathered()["parts-list"].record
    assert isinstance(record, PartsListRecord)
    return record


def _workbook(record: PartsListRecord, notation: Notation = PLAIN_NOTATION) -> bytes:
    return parts_list_xlsx(record, subject().parts, {}, 0.0, notation)


@pytest.mark.parametrize("name", ["thermal-sheet", "load-list", "power-budget"])
def test_sheets_hold_the_cells_of_their_tables(name: str) -> None:
    """Every cell of a table stands in its sheet: numbers as numbers, words as words, an unknown as nothing."""
    artefact = gathered()[name]
    data = artefact_xlsx(artefact)
    for table in artefact.tables:
        read = _rows(data, table.name or name)
        plain = flat(table)
        assert read[TITLE_ROWS][: len(plain.columns)] == [column.header for column in plain.columns]
        for row, cells in zip(read[TITLE_ROWS + 1 :], plain.rows, strict=False):
            for found, cell in zip(row, cells, strict=False):
                wanted: object = float(cell) if isinstance(cell, Numeral) else (cell or "")
                assert found == wanted


def test_words_are_never_run() -> None:
    """What looks like a formula or a number but is words stays words; a negative number stays one."""
    words = ["=1+1", "+49 30 1234", "-40 degC", "@SUM(A1)", "0710037", "31E02", "https://example.org", "{=1}"]
    columns = (TableColumn("word"), TableColumn("number", kind="number"))
    table = Table("t", "Words", columns, tuple((word, Numeral("-40.5")) for word in words))
    artefact = Artefact("words", "Words", gathered()["summary"].heading, gathered()["summary"].record, (table,))
    data = artefact_xlsx(artefact)
    rows = _rows(data, "t")[TITLE_ROWS + 1 :]
    assert [row[0] for row in rows] == words
    assert {row[1] for row in rows} == {-40.5}
    sheet = zipfile.ZipFile(io.BytesIO(data)).read("xl/worksheets/sheet1.xml").decode()
    assert "<f>" not in sheet
    assert "hyperlink" not in sheet


def test_formulas_carry_our_values() -> None:
    """The values beside the formulas are those of the parts list, and part numbers are text."""
    record = _parts_list()
    rows = _rows(_workbook(record), "parts-list")
    header = rows[HEADER_ROW]
    for line, row in zip(record.lines, rows[FIRST_ROW:], strict=False):
        cells = dict(zip(header, row, strict=True))
        assert cells["mpn"] == line.mpn
        assert cells["order [1/year]"] == line.order
        assert cells["rung"] == line.rung
        assert line.line_price is not None
        assert cells["line_price [EUR]"] == float(line.line_price)
    total = dict(zip(header, rows[FIRST_ROW + len(record.lines)], strict=True))
    assert total["line_price [EUR]"] == float(record.total)
    assert total["note"] == "line_price: exact; excess_per_year: exact"
    assert rows[VOLUME_ROW][VALUE_COLUMN] == record.volume_per_year


def test_rungs_stand_beside_the_list() -> None:
    """The sheet of prices has every rung of every part by rising quantity."""
    record = _parts_list()
    rows = _rows(_workbook(record), PRICES)[FIRST_ROW:]
    rungs = (len(rows[0]) - 3) // 2
    for line, row in zip(record.lines, rows, strict=True):
        own = ladder(subject().parts[line.part].breaks)
        assert row[0] == line.part
        assert row[3 : 3 + len(own)] == [rung.quantity for rung in own]
        assert row[3 + rungs : 3 + rungs + len(own)] == [float(rung.price) for rung in own]


def test_a_ladder_rises_and_has_each_quantity_once() -> None:
    """Rungs come in any order in a file; the first of two with one quantity counts, as in the rollup."""
    given = [PriceBreak(quantity=n, price=Decimal(p)) for n, p in ((100, "2"), (1, "3"), (100, "1"))]
    assert [(own.quantity, own.price) for own in ladder(given)] == [(1, Decimal(3)), (100, Decimal(2))]


def test_unknown_amounts_are_empty_and_counted() -> None:
    """A line without a price has an empty cell, and the total says that it is a lower bound."""
    record = _parts_list()
    first = msgspec.structs.replace(record.lines[0], unit_price=None, line_price=None, rung=None, excess_per_year=None)
    short = msgspec.structs.replace(
        record, lines=(first, *record.lines[1:]), unknown=1, excess_per_year_unknown=1, total="402.5174"
    )
    rows = _rows(_workbook(short), "parts-list")
    cells = dict(zip(rows[HEADER_ROW], rows[FIRST_ROW], strict=True))
    assert cells["line_price [EUR]"] == ""
    note = dict(zip(rows[HEADER_ROW], rows[FIRST_ROW + len(record.lines)], strict=True))["note"]
    assert note == "line_price: at least, 1 unknown; excess_per_year: at least, 1 unknown"


def test_sheets_are_set_up_for_print() -> None:
    """Every sheet is landscape, as many pages wide as it must be, repeats its header, and numbers its pages."""
    book = zipfile.ZipFile(io.BytesIO(artefact_xlsx(gathered()["standby-budget"], paper="Letter")))
    sheet = book.read("xl/worksheets/sheet1.xml").decode()
    assert '<pageSetup paperSize="1" fitToHeight="0" orientation="landscape"/>' in sheet
    assert "&amp;P / &amp;N" in sheet
    names = book.read("xl/workbook.xml").decode()
    header = f"${TITLE_ROWS + 1}:${TITLE_ROWS + 1}</definedName>"
    assert f"'standby-budget'!$A:$A,'standby-budget'!{header}" in names
    wide = zipfile.ZipFile(io.BytesIO(artefact_xlsx(gathered()["thermal-sheet"])))
    assert '<pageSetup paperSize="9" fitToWidth="3" fitToHeight="0"' in wide.read("xl/worksheets/sheet1.xml").decode()
    assert "'thermal-sheet'!$A:$C" in wide.read("xl/workbook.xml").decode()


@pytest.mark.parametrize(("currency", "written"), [("code", "EUR"), ("symbol", "\N{EURO SIGN}")])
def test_amounts_carry_their_currency(currency: CurrencyFormat, written: str) -> None:
    """Where it is asked for the currency stands behind every amount, and the cell stays a number."""
    data = _workbook(_parts_list(), Notation(currency=currency))
    assert f"&quot;{written}&quot;" in zipfile.ZipFile(io.BytesIO(data)).read("xl/styles.xml").decode()
    assert isinstance(_rows(data, "parts-list")[FIRST_ROW][17], float)


def test_repeats_are_byte_equal() -> None:
    """Writing a workbook twice gives the same bytes."""
    artefact = gathered()["findings"]
    assert artefact_xlsx(artefact) == artefact_xlsx(artefact)
    assert _workbook(_parts_list()) == _workbook(_parts_list())
