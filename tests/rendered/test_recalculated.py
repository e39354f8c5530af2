"""The parts list as a workbook, recomputed by a spreadsheet program: every figure comes out as ours.

Every formula is written with a wrong value beside it, so that only a recomputed figure can be right.
"""

import io
import re
import zipfile
from decimal import Decimal
from pathlib import Path
from typing import Any

import msgspec
import pytest
from python_calamine import CalamineWorkbook
from xlsxwriter.utility import xl_rowcol_to_cell
from xlsxwriter.worksheet import Worksheet

from bomtui.engine.exchange import worth_of
from bomtui.engine.rollup import rollup
from bomtui.export.package.parts_list_xlsx import (
    FIRST_ROW,
    HEADER_ROW,
    VALUE_COLUMN,
    VOLUME_ROW,
    ladder,
    most_rungs,
    parts_list_xlsx,
)
from bomtui.export.parts_list_record import LineRecord, PartsListRecord, parts_list_record
from bomtui.export.records import Basis
from bomtui.model.money import Money
from bomtui.model.programme import Exchange
from bomtui.model.proposal import Snapshot
from tests.rendered.office import is_there, recomputed
from tests.services.package.sample import subject

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(not is_there(), reason="no spreadsheet program is installed"),
]

VOLUMES = (1, 37, 1_250, 9_999, 120_000)
WRONG = 987_654_321.0
FIGURES = {
    "need [1/year]": "need", "order_base [1/year]": "order_base", "order [1/year]": "order", "rung": "rung",
    "unit_price": "unit_price", "line_price": "line_price", "excess_per_year": "excess_per_year",
}  # fmt: skip


def _snapshot(vehicle: str, variant: str) -> Snapshot:
    """A sample with attrition, and with two of its parts in other currencies, of one of which no rate is given."""
    snapshot = subject(vehicle, variant).reviewed.computed.opened.snapshot
    proposal, parts = snapshot.proposal, dict(snapshot.parts)
    priced = [key for key, part in parts.items() if part.breaks]
    for key, currency in zip(priced[:2], ("USD", "GBP"), strict=True):
        parts[key] = msgspec.structs.replace(parts[key], currency=currency)
    rates = msgspec.structs.replace(proposal.settings.rates, attrition_ratio=0.0083)
    exchange = {"USD": Exchange(worth=Money(amount=Decimal("0.9213"), currency=proposal.proposal.currency))}
    return msgspec.structs.replace(
        snapshot,
        parts=parts,
        proposal=msgspec.structs.replace(
            proposal,
            settings=msgspec.structs.replace(proposal.settings, rates=rates),
            programme=msgspec.structs.replace(proposal.programme, exchange=exchange),
        ),
    )


def _record(snapshot: Snapshot, variant: str, volume: int | None = None) -> PartsListRecord:
    """Our own parts list, at another volume where one is given."""
    if volume is not None:
        vehicle = msgspec.structs.replace(snapshot.proposal.vehicle, volume_per_year=volume)
        snapshot = msgspec.structs.replace(
            snapshot, proposal=msgspec.structs.replace(snapshot.proposal, vehicle=vehicle)
        )
    result = rollup(snapshot, variant).result
    review = msgspec.structs.replace(subject().reviewed.review, findings=(), counts=())
    return parts_list_record(Basis(snapshot.proposal, snapshot.parts, result, review, "hash", "version"))


def _with_cell(data: bytes, sheet: int, cell: str, value: float | None) -> bytes:
    """Change the number of one cell, or take it away."""
    source, name = zipfile.ZipFile(io.BytesIO(data)), f"xl/worksheets/sheet{sheet}.xml"
    text = source.read(name).decode()
    pattern = re.compile(rf'(<c r="{cell}"[^>]*>)<v>[^<]*</v></c>')
    assert len(pattern.findall(text)) == 1
    text = pattern.sub(lambda found: f"{found[1]}{'' if value is None else f'<v>{value}</v>'}</c>", text)
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as copy:
        for entry in source.namelist():
            copy.writestr(entry, text.encode() if entry == name else source.read(entry))
    return target.getvalue()


def _read(path: Path) -> tuple[list[dict[str, Any]], dict[str, Any]]:
    """The lines of a recomputed workbook and its row of totals, by header without currency."""
    rows = CalamineWorkbook.from_path(path).get_sheet_by_name("parts-list").to_python(skip_empty_area=False)
    keys = [re.sub(r" \[[A-Z]{3}\]$", "", str(header)) for header in rows[HEADER_ROW]]
    lines = [dict(zip(keys, row, strict=False)) for row in rows[FIRST_ROW:]]
    end = next(number for number, line in enumerate(lines) if line["line"] == "total")
    return lines[:end], lines[end]


def _check_line(found: dict[str, Any], line: LineRecord) -> None:
    assert found["mpn"] == line.mpn
    for key, field in FIGURES.items():
        wanted = getattr(line, field)
        if wanted is None:
            assert found[key] == "", (line.part, key)
        else:
            assert found[key] == pytest.approx(float(wanted), rel=1e-12, abs=1e-9), (line.part, key)


def _check(path: Path, record: PartsListRecord) -> None:
    lines, total = _read(path)
    assert len(lines) == len(record.lines)
    for found, line in zip(lines, record.lines, strict=True):
        _check_line(found, line)
    assert total["line_price"] == pytest.approx(float(record.total), rel=1e-12)
    assert total["excess_per_year"] == pytest.approx(float(record.excess_per_year), rel=1e-12)
    words = [
        f"{key}: {f'at least, {count} unknown' if count else 'exact'}"
        for key, count in (("line_price", record.unknown), ("excess_per_year", record.excess_per_year_unknown))
    ]
    assert total["note"] == "; ".join(words)


@pytest.mark.parametrize(("vehicle", "variant"), [("sweeper", "zone"), ("van", "central"), ("bench", "bench")])
def test_all_figures_recompute_to_ours(
    vehicle: str, variant: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Lines and totals equal ours at the given and at five other volumes; an emptied price makes the total a bound."""
    write = Worksheet.write_formula

    def wrongly(sheet: Worksheet, row: int, column: int, text: str, form: object, _: object) -> int:
        return int(write(sheet, row, column, text, form, WRONG))

    monkeypatch.setattr(Worksheet, "write_formula", wrongly)
    snapshot = _snapshot(vehicle, variant)
    proposal = snapshot.proposal
    given = _record(snapshot, variant)
    rates = {own: worth_of(proposal.programme, own, proposal.proposal.currency) for own in proposal.programme.exchange}
    worth = {own: rate for own, rate in rates.items() if rate is not None}
    data = parts_list_xlsx(given, snapshot.parts, worth, proposal.settings.rates.attrition_ratio)
    volume = xl_rowcol_to_cell(VOLUME_ROW, VALUE_COLUMN)
    books = {"given": data} | {str(own): _with_cell(data, 1, volume, own) for own in VOLUMES}
    number, line = next((number, own) for number, own in enumerate(given.lines) if own.line_price is not None)
    rungs = ladder(snapshot.parts[line.part].breaks)
    place = next(index for index, rung in enumerate(rungs) if rung.quantity == line.rung)
    price = xl_rowcol_to_cell(FIRST_ROW + number, 3 + most_rungs(given, snapshot.parts) + place)
    books["emptied"] = _with_cell(data, 2, price, None)
    paths = []
    for name, book in books.items():
        path = tmp_path / f"{name}.xlsx"
        path.write_bytes(book)
        paths.append(path)
    found = dict(zip(books, recomputed(paths, tmp_path / "room"), strict=True))
    _check(found["given"], given)
    for own in VOLUMES:
        _check(found[str(own)], _record(snapshot, variant, own))
    lines, total = _read(found["emptied"])
    assert lines[number]["unit_price"] == lines[number]["line_price"] == lines[number]["rung"] == ""
    assert lines[number]["order [1/year]"] == line.order
    assert line.line_price is not None
    assert total["line_price"] == pytest.approx(float(Decimal(given.total) - Decimal(line.line_price)), rel=1e-12)
    assert total["note"].startswith(f"line_price: at least, {given.unknown + 1} unknown; ")
