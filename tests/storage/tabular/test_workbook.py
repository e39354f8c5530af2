"""Workbooks as sheets of text: the digits that were typed, and what a cell was before it was text."""

import struct
import zipfile
from pathlib import Path

import pytest

from bomtui.storage.proposal.toml_file import UnreadableError
from bomtui.storage.tabular.opening import open_sheets
from bomtui.storage.tabular.record import Mark
from tests.storage.tabular.small_workbook import (
    DAY,
    ZEROS,
    fault,
    formula,
    number,
    sheet,
    text,
    write_workbook,
)  # fmt: skip

HEAD = [text("id"), text("subsystem"), text("test_current [A]")]


def records(path: Path) -> list[tuple[int, tuple[str, ...]]]:
    """Lines and cells of the first sheet."""
    return [(record.line, record.cells) for record in open_sheets(path).sheets[0].records]


@pytest.mark.parametrize(
    ("cell", "shown", "kind"),
    [
        (number("133.80000000000001"), "133.8", "number"),
        (number("0.10299999999999999"), "0.103", "number"),
        (number("7.4999999999999997E-2"), "0.075", "number"),
        (number("3.0335e-06"), "3.0335e-06", "number"),
        (number("6.9E+12"), "6900000000000", "number"),
        (number("42"), "42", "number"),
        (number("42", ZEROS), "0042", "zeros"),
        (number("1914310000010100016"), "1914310000010100000", "long"),
        (number("47917", DAY), "2031-03-10", "date"),
        (formula("2*12"), "", "formula"),
        (formula("2*12", "24"), "24", "number"),
        (fault("#N/A"), "", "error"),
    ],
)
def test_a_cell_is_its_text_and_what_it_was(tmp_path: Path, cell: str, shown: str, kind: str) -> None:
    """A number has the 15 digits that a spreadsheet keeps; what cannot be trusted is marked."""
    path = write_workbook(tmp_path / "book.xlsx", {"List": sheet({1: HEAD, 2: [text("L1"), cell]})})
    found = open_sheets(path).sheets[0].records[1]
    assert (found.cells[1], found.marks[1].kind) == (shown, kind)


def test_a_formula_is_named(tmp_path: Path) -> None:
    """What a message shows of a formula without result is the formula."""
    path = write_workbook(tmp_path / "book.xlsx", {"List": sheet({1: HEAD, 2: [formula("3.9/2")]})})
    assert open_sheets(path).sheets[0].records[1].marks == {0: Mark("formula", "=3.9/2")}


def test_rows_do_not_end_where_the_sheet_says(tmp_path: Path) -> None:
    """A size entry that is wrong costs no row, and a far coloured cell makes none."""
    rows = {1: HEAD, 2: [text("L1")], 3: [text("L2")], 5000: ['<c{at} s="1"/>']}
    path = write_workbook(tmp_path / "book.xlsx", {"List": sheet(rows, dimension="A1")})
    assert [line for line, _ in records(path)] == [1, 2, 3]


def test_merged_rows_are_filled_and_said(tmp_path: Path) -> None:
    """Every row of a cell merged over rows has its text, and a notice says so."""
    rows = {1: HEAD, 2: [text("L1"), text("EXT")], 3: [text("L2")], 4: [text("L3"), text("HVC")]}
    path = write_workbook(tmp_path / "book.xlsx", {"List": sheet(rows, merges=["B2:B3"])})
    assert [cells[1] for _, cells in records(path)] == ["subsystem", "EXT", "EXT", "HVC"]
    assert open_sheets(path).sheets[0].notices == ("rows 2 to 3: one merged cell, taken for each of them",)


def test_what_is_hidden_is_told(tmp_path: Path) -> None:
    """Hidden sheets are left out with a notice; hidden rows and columns are marked."""
    shown = sheet({1: HEAD, 2: [text("L1")]}, hidden_rows=[2], hidden_columns=[3])
    path = write_workbook(tmp_path / "book.xlsx", {"List": shown, "Old": sheet({1: HEAD})}, hidden=["Old"])
    opened = open_sheets(path)
    assert [found.name for found in opened.sheets] == ["List"]
    assert opened.notices == ("hidden sheet left out: Old",)
    assert (opened.sheets[0].hidden_lines, opened.sheets[0].hidden_columns) == (frozenset({2}), frozenset({2}))


@pytest.mark.parametrize("content", [b"PK\x03\x04 and no archive", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1 and nothing"])
def test_a_damaged_workbook_is_one_sentence(tmp_path: Path, content: bytes) -> None:
    """What begins like a workbook and is none is refused."""
    path = tmp_path / "book.xlsx"
    path.write_bytes(content)
    with pytest.raises(UnreadableError, match="expected a workbook"):
        open_sheets(path)


def test_a_sheet_that_reaches_too_far_is_refused(tmp_path: Path) -> None:
    """One cell in the last corner of a sheet does not take the memory of all cells before it."""
    rows = {1: HEAD, 1048576: [text("x")] * 26}
    path = write_workbook(tmp_path / "book.xlsx", {"List": sheet(rows)})
    with pytest.raises(UnreadableError, match="reaches to row 1048576"):
        open_sheets(path)


def test_empty_cells_far_below_are_no_rows(tmp_path: Path) -> None:
    """Formatting below the last row makes no row of it."""
    path = write_workbook(tmp_path / "book.xlsx", {"List": sheet({1: HEAD, 2: HEAD, 5000: [text("")]})})
    assert [record.line for record in open_sheets(path).sheets[0].records] == [1, 2]


@pytest.mark.parametrize("cut", [0.3, 0.6, 0.9])
def test_a_workbook_cut_short_is_one_sentence(tmp_path: Path, cut: float) -> None:
    """A download that broke off gives a sentence."""
    data = write_workbook(tmp_path / "whole.xlsx", {"List": sheet({1: HEAD})}).read_bytes()
    path = tmp_path / "cut.xlsx"
    path.write_bytes(data[: int(len(data) * cut)])
    with pytest.raises(UnreadableError, match="expected a workbook"):
        open_sheets(path)


SECTOR = 512
FREE, END, FAT = 0xFFFFFFFF, 0xFFFFFFFE, 0xFFFFFFFD


def locked_workbook() -> bytes:
    """A compound file with the two streams of a workbook under a password (MS-CFB 2.2 to 2.6, MS-OFFCRYPTO 2.3.4)."""

    def entry(name: str, kind: int, child: int, right: int, start: int, size: int) -> bytes:
        text = name.encode("utf-16-le")
        head = text.ljust(64, b"\0") + struct.pack("<HBBIII", len(text) + 2 if name else 0, kind, 1, FREE, right, child)
        return head.ljust(116, b"\0") + struct.pack("<IQ", start, size)

    header = bytes.fromhex("d0cf11e0a1b11ae1").ljust(24, b"\0")
    header += struct.pack("<HHHHH6xIIIIIIIII", 0x3E, 3, 0xFFFE, 9, 6, 0, 1, 1, 0, 0, END, 0, END, 0)
    header += struct.pack("<109I", 0, *[FREE] * 108)
    # Sector 0 is the table of sectors, 1 the directory; each stream takes 8 sectors of 512 bytes.
    chains = [END if number in {9, 17} else number + 1 for number in range(2, 18)]
    table = struct.pack("<128I", FAT, END, *chains, *[FREE] * 110)
    size = 8 * SECTOR
    directory = (
        entry("Root Entry", 5, 1, FREE, END, 0)
        + entry("EncryptedPackage", 2, FREE, 2, 2, size)
        + entry("EncryptionInfo", 2, FREE, FREE, 10, size)
        + entry("", 0, FREE, FREE, 0, 0)
    )
    return header + table + directory + bytes(2 * size)


def test_a_workbook_under_a_password_says_so(tmp_path: Path) -> None:
    """It can be opened by nobody without it: one sentence, and nothing is taken."""
    path = tmp_path / "locked.xlsx"
    path.write_bytes(locked_workbook())
    with pytest.raises(UnreadableError, match="found one locked by a password"):
        open_sheets(path)


OFFICE = "urn:oasis:names:tc:opendocument:xmlns:office:1.0"
TABLE = "urn:oasis:names:tc:opendocument:xmlns:table:1.0"
TEXT = "urn:oasis:names:tc:opendocument:xmlns:text:1.0"
ODS = "application/vnd.oasis.opendocument.spreadsheet"


def write_ods(path: Path, rows: list[list[str]]) -> Path:
    """Write a small sheet of texts and numbers in the form of ISO/IEC 26300."""

    def cell(value: str) -> str:
        kind = (
            f'office:value-type="float" office:value="{value}"' if value[:1].isdigit() else 'office:value-type="string"'
        )
        return f"<table:table-cell {kind}><text:p>{value}</text:p></table:table-cell>"

    body = "".join(f"<table:table-row>{''.join(map(cell, row))}</table:table-row>" for row in rows)
    content = (
        f'<office:document-content xmlns:office="{OFFICE}" xmlns:table="{TABLE}" xmlns:text="{TEXT}"><office:body>'
        f'<office:spreadsheet><table:table table:name="List">{body}</table:table></office:spreadsheet></office:body>'
        "</office:document-content>"
    )
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("mimetype", ODS)
        archive.writestr(
            "META-INF/manifest.xml",
            '<manifest:manifest xmlns:manifest="urn:oasis:names:tc:opendocument:xmlns:manifest:1.0">'
            f'<manifest:file-entry manifest:full-path="/" manifest:media-type="{ODS}"/></manifest:manifest>',
        )
        archive.writestr("content.xml", f'<?xml version="1.0" encoding="UTF-8"?>{content}')
    return path


def test_an_ods_sheet_is_read_and_its_limits_are_said(tmp_path: Path) -> None:
    """Texts and numbers come out as from any workbook; what cannot be seen in this form is a notice."""
    path = write_ods(tmp_path / "list.ods", [["id", "subsystem", "current [A]"], ["L1", "EXT", "1.5"]])
    opened = open_sheets(path)
    assert [record.cells for record in opened.sheets[0].records] == [
        ("id", "subsystem", "current [A]"),
        ("L1", "EXT", "1.5"),
    ]
    assert opened.sheets[0].records[1].marks == {2: Mark("number")}
    assert "hidden rows and formulas without a saved result cannot be told" in opened.notices[0]
