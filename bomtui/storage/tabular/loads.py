"""A customer's load list as sheet: every row becomes a load or a problem, and nothing is written anywhere."""

import dataclasses
import re
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any, NamedTuple

from bomtui.model.fields import FieldInfo, field_table
from bomtui.model.ids import ID_RULE, is_id
from bomtui.model.lists import ID_KEYS, REMARK
from bomtui.model.load import Load
from bomtui.model.plain_text import armed, clean, clean_lines
from bomtui.model.safety import LEVELS, NO_LEVEL, SCHEMES, level_in
from bomtui.storage.field_text import UNKNOWN, FieldError, nearest, read_field, shown
from bomtui.storage.problems import Problem, in_file_order
from bomtui.storage.proposal.toml_file import UnreadableError
from bomtui.storage.tabular.decoding import read_sheet_text
from bomtui.storage.tabular.delimited import SEPARATORS, Record, split
from bomtui.storage.tabular.header import Header, read_header

_LOAD_FIELDS = field_table(Load)
_NUMBER_SHAPES = ("quantity", "quantities", "count")
# A comma that can only be a decimal mark, and a point that can only be one.
_DECIMAL_COMMA = re.compile(r"(?<![\d.,])\d{1,3}(?:\.\d{3})+,\d+|(?<![\d.,])(?:\d+,(?:\d{1,2}|\d{4,})|0,\d+)(?![\d.,])")
_DECIMAL_POINT = re.compile(
    r"(?<![\d.,])\d{1,3}(?:,\d{3})+\.\d+|(?<![\d.,])(?:\d+\.(?:\d{1,2}|\d{4,})|0\.\d+)(?![\d.,])"
)
# What a spreadsheet makes of a long number: 6.9E+12.
_SPOILT_ID = re.compile(r"\d(?:\.\d+)?[Ee]\+?\d+")


@dataclasses.dataclass(frozen=True, slots=True)
class LoadsResult:
    """What a load list holds; a dry run: nothing has been written.

    Attributes:
        loads: Loads by id, in the order of the list.
        problems: Every column and row that was not taken, with its line.
        notices: What was decided in reading: separator, encoding, decimal mark; ids that look spoilt.
        zones: Ids of the zones that the taken loads name, in the order of their first mention.
        modes: Ids of the modes that the columns name, in the order of the columns.
        subsystems: Ids of the subsystems that the taken loads name, in the order of their first mention.
    """

    loads: dict[str, Load]
    problems: tuple[Problem, ...]
    notices: tuple[str, ...] = ()
    zones: tuple[str, ...] = ()
    modes: tuple[str, ...] = ()
    subsystems: tuple[str, ...] = ()


def read_loads(path: Path) -> LoadsResult:
    """Read a load list from text with separated cells (comma, semicolon or tab).

    A row with anything in it that cannot be taken is not taken at all: half a row would give half a load. An empty cell
    is unknown; a row that begins with `#` is a remark. Nothing is raised for any content of the file.
    """
    try:
        text, encoding_notice = read_sheet_text(path)
    except UnreadableError as error:
        return LoadsResult({}, (error.problem,))
    sheet = split(text)
    return _Loads(clean(str(path)), sheet.records).run(sheet.separator, encoding_notice)


class _Cell(NamedTuple):
    """A cell that is not empty, below its header."""

    header: Header
    text: str


class _Loads:
    """One pass over the rows of a list."""

    def __init__(self, file: str, records: Sequence[Record]) -> None:
        self._file = file
        self._records = records
        self._problems: list[Problem] = []
        self._notices: list[str] = []
        self._lines: dict[str, int] = {}
        self._spelling: dict[tuple[str, str], str] = {}
        self._decimal_mark: str | None = None

    def run(self, separator: str, encoding_notice: str) -> LoadsResult:
        """Read the header and then the rows."""
        self._notices.append(f"cells separated by {SEPARATORS[separator]}")
        if encoding_notice:
            self._notices.append(encoding_notice)
        headers = self._headers(self._records[0]) if self._records else None
        if not self._records:
            self._problem(1, "expected a list with a header row, found only empty cells")
        loads: dict[str, Load] = {}
        if headers is not None:
            self._decimal_mark = self._find_decimal_mark(headers)
            for record in self._records[1:]:
                self._row(record, headers, loads)
        return LoadsResult(
            loads=loads,
            problems=in_file_order(self._problems),
            notices=tuple(self._notices),
            zones=_named(load.zone for load in loads.values()),
            modes=_named(header.entry for header in headers or () if header is not None),
            subsystems=_named(load.subsystem for load in loads.values()),
        )

    def _headers(self, record: Record) -> list[Header | None] | None:
        """Recognise the headers; None in place of one that is not taken, and for a list that cannot be read at all."""
        headers: list[Header | None] = []
        if record.fault:
            self._problem(record.line, f"expected a header row, found {record.fault}")
            return None
        for number, text in enumerate(record.cells, start=1):
            header = None
            if text.strip():
                try:
                    header = read_header(text, _LOAD_FIELDS)
                    self._check_mode(header)
                except FieldError as error:
                    header = None
                    self._problem(record.line, f"{error}; the column is not taken", f"column {number}", error)
            headers.append(header)
        return headers if self._is_readable(record, headers) else None

    def _check_mode(self, header: Header) -> None:
        first = self._spelling.setdefault(("mode", header.entry.casefold()), header.entry)
        if first != header.entry:
            raise FieldError(shown(header.entry), f"one spelling of the mode {first}")

    def _is_readable(self, record: Record, headers: Sequence[Header | None]) -> bool:
        """Tell whether the columns give loads at all, and each value once."""
        before = len(self._problems)
        columns: dict[tuple[str, str], str] = {}
        for header in headers:
            if header is None:
                continue
            key = (header.info.key if header.info else ID_KEYS[0], header.entry)
            if key in columns:
                both = f"{shown(columns[key])} and {shown(header.text)}"
                self._problem(record.line, f"expected one column for {'.'.join(filter(None, key))}, found {both}")
            columns.setdefault(key, header.text)
        required = [(ID_KEYS[0], ""), *((info.key, "") for info in _LOAD_FIELDS if info.required)]
        for key in required:
            if key not in columns:
                written = ", ".join(shown(cell) for cell in record.cells[:8])
                self._problem(record.line, f"expected a column with the header {key[0]}, found {written}")
        return len(self._problems) == before

    def _find_decimal_mark(self, headers: Sequence[Header | None]) -> str | None:
        """Find the decimal mark of the list; None where each cell can tell for itself.

        One sheet has one decimal mark: as soon as some commas can be nothing else, the marks of all its cells decide.
        """
        cells = [
            cell
            for record in self._records[1:]
            for header, cell in zip(headers, record.cells, strict=False)
            if header is not None and header.info is not None and header.info.shape in _NUMBER_SHAPES
        ]
        commas = sum(_DECIMAL_COMMA.search(cell) is not None for cell in cells)
        points = sum(_DECIMAL_POINT.search(cell) is not None for cell in cells)
        if not commas:
            return None
        mark, name = (",", "comma") if commas > points else (".", "point")
        self._notices.append(f"decimal {name} taken: {commas} cells have a comma for it, {points} a point")
        return mark

    def _row(self, record: Record, headers: Sequence[Header | None], loads: dict[str, Load]) -> None:
        """Take one row, or report everything that is wrong with it."""
        if record.cells and record.cells[0].lstrip().startswith(REMARK):
            return
        before = len(self._problems)
        cells = self._cells(record, headers)
        name = next((cell.text for cell in cells if cell.header.info is None), "")
        if len(self._problems) == before:
            self._check_id(record.line, name)
        values: dict[str, Any] = {}
        for cell in cells:
            if cell.header.info is None:
                continue
            try:
                self._take(cell, cell.header.info, values)
            except FieldError as error:
                self._problem(record.line, str(error), shown(cell.header.text), error, name)
        if len(self._problems) > before:
            return
        for info in _LOAD_FIELDS:
            if info.required and info.name not in values:
                self._problem(record.line, f"expected a {info.key}, found an empty cell", f'"{info.key}"', None, name)
        self._fit_level(record.line, name, values)
        if len(self._problems) == before:
            loads[name] = Load(**values)

    def _fit_level(self, line: int, name: str, values: dict[str, Any]) -> None:
        """Take the integrity level as its scheme writes it: `b` is B of ISO 26262 and b of ISO 13849-1."""
        level = values.get("safety")
        if level is None:
            return
        scheme = values.get("safety_scheme", SCHEMES[0])
        fitted = level_in(scheme, level)
        if fitted is None:
            lawful = ", ".join(dict.fromkeys((NO_LEVEL, *LEVELS[scheme])))
            self._problem(
                line, f"expected a level of {scheme} ({lawful}), found {shown(level)}", '"safety"', None, name
            )
        else:
            values["safety"] = fitted

    def _cells(self, record: Record, headers: Sequence[Header | None]) -> list[_Cell]:
        """Pair the filled cells of a row with their headers."""
        if record.fault:
            self._problem(record.line, f"expected a row of cells, found {record.fault}; the row is not taken")
            return []
        first = self._records[0].cells
        if record.cells == first:
            self._problem(record.line, "expected a load, found the header row again; the row is not taken")
            return []
        cells: list[_Cell] = []
        for number, text in enumerate(record.cells):
            stripped = armed("\n".join(clean_lines(text)).strip())
            if not stripped:
                continue
            if number >= len(first) or not first[number].strip():
                message = f"expected no cell without a header, found {shown(stripped)} in column {number + 1}"
                self._problem(record.line, message)
                continue
            header = headers[number]
            # What stands under a header that was not recognised has been reported with the header.
            if header is not None:
                cells.append(_Cell(header, stripped))
        return cells

    def _check_id(self, line: int, name: str) -> None:
        column = f'"{ID_KEYS[0]}"'
        if not name:
            self._problem(line, "expected the id of a load, found an empty cell", column)
            return
        if not is_id(name):
            hint = "; the customer's own reference can stand in the column customer_ref"
            self._problem(line, f"expected an id of {ID_RULE}, found {shown(name)}{hint}", column)
            return
        first = self._lines.setdefault(name.casefold(), line)
        if first != line:
            message = f"expected each id once, found {shown(name)} also in line {first}; only the first is taken"
            self._problem(line, message, column)
        if _SPOILT_ID.fullmatch(name):
            self._notices.append(f"line {line}: the id {name} looks like a number that a spreadsheet has rewritten")

    def _take(self, cell: _Cell, info: FieldInfo, values: dict[str, Any]) -> None:
        """Read one cell into the values of its row.

        Raises:
            FieldError: The field cannot take it.
        """
        if info.shape == "quantities":
            one = dataclasses.replace(info, shape="quantity", optional=True)
            value = read_field(one, cell.text, default_unit=cell.header.unit, decimal_mark=self._decimal_mark)
            if value is not None:
                values.setdefault(info.name, {})[cell.header.entry] = value
            return
        text = cell.text
        if info.choices and text not in info.choices:
            # A sheet is typed by people: "hs" is taken for HS, anything further off is refused.
            near = nearest(text, info.choices)
            text = near if near.casefold() == text.casefold() else text
        value = read_field(info, text, default_unit=cell.header.unit, decimal_mark=self._decimal_mark)
        if info.refers_to and info.shape == "text":
            if value.casefold() == UNKNOWN and not info.required:
                return
            self._check_reference(info, value)
        values[info.name] = value

    def _check_reference(self, info: FieldInfo, value: str) -> None:
        """Hold what will become the id of a zone or subsystem to the rule of ids, in one spelling."""
        if not is_id(value):
            raise FieldError(shown(value), f"the id of a {info.refers_to}: {ID_RULE}")
        first = self._spelling.setdefault((info.refers_to, value.casefold()), value)
        if first != value:
            raise FieldError(shown(value), f"one spelling of the {info.refers_to} {first}")

    def _problem(
        self, line: int, message: str, column: str = "", error: FieldError | None = None, name: str = ""
    ) -> None:
        self._problems.append(
            Problem(
                file=self._file,
                message=message,
                line=line,
                column=column,
                field=clean(name),
                found=error.found if error else "",
                expected=error.expected if error else "",
            )
        )


def _named(ids: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(name for name in ids if name))
