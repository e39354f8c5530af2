"""What a workbook (XLSX) says beside the values of its cells: formulas without result, number formats, what is hidden.

Source: ISO/IEC 29500-1 (SpreadsheetML): 18.3.1.4 c, 18.3.1.40 f, 18.3.1.73 row, 18.3.1.13 col, 18.8.30 numFmt, 18.8.10
cellXfs.
"""

import re
import zipfile
import zlib
from collections.abc import Iterator
from io import BytesIO
from typing import IO, NamedTuple
from xml.etree import ElementTree as ET

from bomtui.storage.tabular.record import Mark

MAX_UNPACKED_BYTES = 400_000_000
"""A sheet that unpacks to more is refused before it is read."""
MAX_CELLS = 20_000_000
"""The values are held as a full rectangle; a sheet that reaches further is refused before that."""

_MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
_RELATION = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}id"
_ADDRESS = re.compile(r"([A-Z]{1,3})([0-9]{1,7})")
_LEADING_ZEROS = re.compile(r"0{2,}")
# A double keeps 15 decimal digits (IEEE 754-2019, binary64), and so does a spreadsheet.
_KEPT_DIGITS = 15
_LETTERS = 26
_DAMAGED = (
    zipfile.BadZipFile, zlib.error, ET.ParseError, KeyError, ValueError, EOFError, NotImplementedError, RuntimeError,
)  # fmt: skip


class WorkbookError(ValueError):
    """A workbook that cannot be read; its text is one sentence."""


class SheetFacts(NamedTuple):
    """Facts of one sheet; lines from 1, columns from 0.

    Attributes:
        marks: Cells that are formulas without result, numbers with leading zeros, or longer than can be kept.
        hidden_lines: Rows that are hidden.
        hidden_columns: Columns that are hidden.
    """

    marks: dict[tuple[int, int], Mark]
    hidden_lines: frozenset[int]
    hidden_columns: frozenset[int]


def workbook_facts(data: bytes) -> dict[str, SheetFacts]:
    """Read the facts of every sheet by its name.

    Raises:
        WorkbookError: It is no such workbook, damaged, or too large.
    """
    try:
        with zipfile.ZipFile(BytesIO(data)) as archive:
            if sum(entry.file_size for entry in archive.infolist()) > MAX_UNPACKED_BYTES:
                raise WorkbookError("expected a workbook that can be held, found one that unpacks to far too much")
            formats = _zero_formats(archive)
            return {name: _sheet_facts(archive, path, formats) for name, path in _sheets(archive)}
    except _DAMAGED as error:
        if isinstance(error, WorkbookError):
            raise
        raise WorkbookError("expected a workbook (XLSX), found a damaged one") from None


def _sheets(archive: zipfile.ZipFile) -> Iterator[tuple[str, str]]:
    """Yield name and path inside the archive of every worksheet."""
    workbook = ET.fromstring(archive.read("xl/workbook.xml"))  # noqa: S314 - expat refuses expanding entities
    relations = ET.fromstring(archive.read("xl/_rels/workbook.xml.rels"))  # noqa: S314
    targets = {relation.get("Id"): relation.get("Target", "") for relation in relations}
    for sheet in workbook.iter(f"{_MAIN}sheet"):
        target = targets.get(sheet.get(_RELATION), "")
        path = target.lstrip("/") if target.startswith("/") else f"xl/{target}"
        if "worksheets/" in path:
            yield sheet.get("name", ""), path


def _zero_formats(archive: zipfile.ZipFile) -> dict[int, int]:
    """Return the number of digits to which a cell style fills up with zeros, for the styles that do."""
    if "xl/styles.xml" not in archive.namelist():
        return {}
    styles = ET.fromstring(archive.read("xl/styles.xml"))  # noqa: S314
    codes = {code.get("numFmtId"): code.get("formatCode", "") for code in styles.iter(f"{_MAIN}numFmt")}
    crossing = styles.find(f"{_MAIN}cellXfs")
    widths = {}
    for number, style in enumerate(() if crossing is None else crossing):
        code = codes.get(style.get("numFmtId"), "")
        if _LEADING_ZEROS.fullmatch(code):
            widths[number] = len(code)
    return widths


def _sheet_facts(archive: zipfile.ZipFile, path: str, formats: dict[int, int]) -> SheetFacts:
    marks: dict[tuple[int, int], Mark] = {}
    hidden_lines: set[int] = set()
    hidden_columns: set[int] = set()
    last_line = last_column = 0
    with archive.open(path) as file:
        for element in _elements(file):
            if element.tag == f"{_MAIN}col" and element.get("hidden") in {"1", "true"}:
                hidden_columns.update(range(int(element.get("min", "1")) - 1, int(element.get("max", "1"))))
            elif element.tag == f"{_MAIN}row":
                line = int(element.get("r", str(last_line + 1)))
                if element.get("hidden") in {"1", "true"}:
                    hidden_lines.add(line)
                for place, cell in _cells(element):
                    mark = _mark(cell, formats)
                    if mark is not None:
                        marks[line, place] = mark
                    last_column = max(last_column, place + 1)
                    last_line = line
                if last_line * last_column > MAX_CELLS:
                    raise WorkbookError(
                        f"expected a sheet that can be held, found one that reaches to row {last_line} and column "
                        f"{last_column}"
                    )
                element.clear()
    return SheetFacts(marks, frozenset(hidden_lines), frozenset(hidden_columns))


def _elements(file: IO[bytes]) -> Iterator[ET.Element]:
    for _, element in ET.iterparse(file):  # noqa: S314
        yield element


def _cells(row: ET.Element) -> Iterator[tuple[int, ET.Element]]:
    """Yield the cells of a row that hold something, each with its column."""
    place = -1
    for cell in row:
        if cell.tag != f"{_MAIN}c":
            continue
        match = _ADDRESS.fullmatch(cell.get("r", ""))
        place = _column(match[1]) if match else place + 1
        if len(cell):
            yield place, cell


def _column(letters: str) -> int:
    number = 0
    for letter in letters:
        number = number * _LETTERS + ord(letter) - ord("A") + 1
    return number - 1


def _mark(cell: ET.Element, formats: dict[int, int]) -> Mark | None:
    formula, value = cell.find(f"{_MAIN}f"), cell.find(f"{_MAIN}v")
    written = "" if value is None else value.text or ""
    # A formula that gave an empty text has a result: that text.
    if formula is not None and not written and cell.get("t", "n") != "str":
        return Mark("formula", f"={formula.text or ''}")
    if cell.get("t") == "e":
        return Mark("error", written)
    if cell.get("t", "n") != "n" or not written.isdigit():
        return None
    width = formats.get(int(cell.get("s", "0")), 0)
    if width > len(written):
        return Mark("zeros", written.zfill(width))
    return Mark("long") if len(written.rstrip("0")) > _KEPT_DIGITS or len(written) > _KEPT_DIGITS else None
