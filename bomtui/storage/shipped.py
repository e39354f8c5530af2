"""What the program brings along: invented parts and the sample proposals, in a clone and in an installed wheel."""

import csv
import hashlib
import re
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from bomtui.model.fields import FieldInfo, fields_by_key
from bomtui.model.part import PART_KINDS, Part
from bomtui.storage.field_text import nearest, shown
from bomtui.storage.problems import Fault, Problem, in_file_order
from bomtui.storage.records import read_records

CATALOG = "catalog"
SAMPLES = "sample_projects"

_KEY = "key"
_PARTS = "parts"
_HEADER = re.compile(r"([a-z0-9_]+(?:\.[A-Za-z0-9_-]+)*)(?: \[([^\[\]]+)\])?")
_SPACE_SEPARATED = ("texts", "breaks")


def shipped_folder(name: str) -> Path | None:
    """Return a folder that the program brings along, or None where an installation lacks it.

    Args:
        name: `CATALOG` or `SAMPLES`.
    """
    package = Path(__file__).parents[1]
    # The wheel first: beside an installed package may lie somebody else's folder of that name.
    for folder in (package / "_data" / name, package.parent / name):
        if folder.is_dir():
            return folder
    return None


def sample_folders() -> dict[str, Path]:
    """Return the folders of the sample proposals by name, in alphabetical order."""
    folder = shipped_folder(SAMPLES)
    found = () if folder is None else sorted(entry for entry in folder.iterdir() if entry.is_dir())
    return {entry.name: entry for entry in found if any(entry.glob("*.toml"))}


def shipped_catalog_hash() -> str:
    """Return a hash of the shipped catalog's content; empty where an installation lacks it."""
    folder = shipped_folder(CATALOG)
    if folder is None:
        return ""
    digest = hashlib.sha256()
    for path in _tables(folder):
        # Line endings differ between a clone and a wheel on some systems; the content does not.
        content = path.read_bytes().replace(b"\r\n", b"\n")
        digest.update(f"{path.name}\n{len(content)}\n".encode())
        digest.update(content)
    return digest.hexdigest()


def read_shipped_catalog() -> tuple[dict[str, Part], tuple[Problem, ...]]:
    """Read the shipped catalog.

    Returns:
        The parts by key, kind by kind; and what is wrong with the files, which only a damaged installation has.
    """
    folder = shipped_folder(CATALOG)
    if folder is None:
        return {}, (
            Problem(CATALOG, "expected the folder of the shipped catalog, found none: the installation is damaged"),
        )
    return read_part_tables(_tables(folder))


def read_part_tables(paths: Sequence[Path]) -> tuple[dict[str, Part], tuple[Problem, ...]]:
    """Read parts from CSV tables: first column `key`, each other header a field key with its unit in brackets.

    Cells are text, an empty cell is unknown; lists are separated by spaces. A part with a fault keeps its other fields.

    Args:
        paths: The tables, each in UTF-8.

    Returns:
        The parts by key in the order of files and lines, and every fault found.
    """
    parts: dict[str, Part] = {}
    first_at: dict[str, str] = {}
    problems: list[Problem] = []
    for path in paths:
        table = _PartTable(path.name)
        table.read(_rows(path, problems))
        for key, part in table.parts().items():
            line = table.lines[key]
            where = f"{path.name} line {line}"
            if first_at.setdefault(key.casefold(), where) != where:
                message = f"expected each key once, found {key} also in {first_at[key.casefold()]}"
                table.problems.append(Problem(path.name, message, line, _KEY))
            else:
                parts[key] = part
        problems.extend(in_file_order(table.problems))
    return parts, tuple(problems)


def _tables(folder: Path) -> list[Path]:
    order = {kind: place for place, kind in enumerate(PART_KINDS)}
    return sorted(folder.glob("*.csv"), key=lambda path: (order.get(path.stem, len(order)), path.name))


def _rows(path: Path, problems: list[Problem]) -> Iterator[tuple[int, list[str]]]:
    """Yield line numbers and cells of a table; what stops the reading is a problem."""
    try:
        with path.open(encoding="utf-8-sig", newline="") as file:
            reader = csv.reader(file, strict=True)
            line = 1
            for cells in reader:
                if cells:
                    yield line, cells
                line = reader.line_num + 1
    except UnicodeDecodeError:
        problems.append(Problem(path.name, "expected text in UTF-8, found bytes that are none"))
    except csv.Error as error:
        problems.append(Problem(path.name, f"expected a CSV table, found a row that is none ({error})", line))
    except OSError as error:
        problems.append(Problem(path.name, f"cannot be read: {error.strerror or error}"))


class _PartTable:
    """One table on its way to parts."""

    def __init__(self, file: str) -> None:
        self.problems: list[Problem] = []
        self.lines: dict[str, int] = {}
        self._file = file
        self._raw: dict[str, dict[str, Any]] = {}
        self._columns: list[tuple[tuple[str, ...], str]] = []
        self._header_of: dict[tuple[str, ...], str] = {}
        self._fields: Mapping[str, FieldInfo] = fields_by_key(Part)

    def read(self, rows: Iterator[tuple[int, list[str]]]) -> None:
        """Take the rows of the file, header first."""
        for line, cells in rows:
            if not self._columns:
                self._columns = [self._column(line, cell.strip()) for cell in cells]
                if self._columns[0][0] != (_KEY,):
                    self._problem("expected `key` as the first column", line, cells[0])
            elif len(cells) != len(self._columns):
                self._problem(f"expected {len(self._columns)} cells, found {len(cells)}", line)
            else:
                self._row(line, [cell.strip() for cell in cells])

    def parts(self) -> dict[str, Part]:
        """Return the parts that could be read, and turn the faults of the records into problems."""
        faults: list[Fault] = []
        parts = read_records(Part, self._raw, (_PARTS,), faults)
        self.problems.extend(self._located(fault) for fault in faults)
        return parts

    def _problem(self, message: str, line: int, column: str = "") -> None:
        self.problems.append(Problem(self._file, message, line, column))

    def _column(self, line: int, header: str) -> tuple[tuple[str, ...], str]:
        match = _HEADER.fullmatch(header)
        if match is None:
            self._problem(f"expected a field key such as `rds_on.typ [mohm]`, found {shown(header)}", line, header)
            return (), ""
        path = tuple(match[1].split("."))
        if path in self._header_of:
            self._problem("expected each column once", line, header)
            return (), ""
        if path[0] != _KEY and path[0] not in self._fields:
            near = nearest(path[0], self._fields)
            hint = f"; did you mean {near}?" if near else ""
            self._problem(f"expected a field key, found {shown(path[0])}{hint}", line, header)
            return (), ""
        self._header_of[path] = header
        return path, match[2] or ""

    def _row(self, line: int, cells: list[str]) -> None:
        key = cells[0]
        if key in self._raw:
            self._problem(f"expected each key once, found {key} also in line {self.lines[key]}", line, _KEY)
            return
        self.lines[key] = line
        self._raw[key] = {}
        for (path, unit), cell in zip(self._columns[1:], cells[1:], strict=True):
            if not path or not cell:
                continue
            table = self._raw[key]
            for step in path[:-1]:
                table = table.setdefault(step, {})
            table[path[-1]] = self._value(path, unit, cell)

    def _value(self, path: tuple[str, ...], unit: str, cell: str) -> str | list[str]:
        info = self._fields.get(path[0])
        if info is not None and info.record is not None:
            # supplies.NAME.current.typ: the field after the name says how the cell is written.
            info = fields_by_key(info.record).get(path[2]) if len(path) > len(("supplies", "NAME")) else None
        if info is not None and info.shape in _SPACE_SEPARATED:
            return cell.split()
        return f"{cell} {unit}" if unit else cell

    def _located(self, fault: Fault) -> Problem:
        _, key, *path = (*fault.path, "")
        path = [step for step in path if step]
        column = self._header_of.get(tuple(path), ".".join(path))
        return Problem(
            self._file, fault.message, self.lines.get(key), column, key, found=fault.found, expected=fault.expected
        )
