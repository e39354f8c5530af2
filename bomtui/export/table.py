"""A table of an artefact: columns with unit and kind, and printed cells; every format is written from it.

The columns of a table are the fields of its row record: key and unit follow from the name, the words from its
description. Numbers are printed once, here, in the unit of their column, so that all formats show the same digits.
"""

import datetime
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Annotated, Any, Literal, NamedTuple, get_args, get_origin, get_type_hints

import msgspec
from msgspec import Meta

from bomtui.export.csv import Numeral
from bomtui.export.records import Amount, Bounded, Record
from bomtui.model.quantity import DIMENSIONS, MAX_SIGNIFICANT_DIGITS, dimension_named, display_number, field_key

Kind = Literal["text", "number", "amount", "figure", "value"]
"""What stands in a column.

text; number: a count or a quantity; amount: money; figure: both corners of a figure with its bound; value: a figure of
which both corners are one.
"""

NUMERIC: tuple[Kind, ...] = ("number", "amount", "figure", "value")
UNIT = "unit"
ONE = "one"
"""Keys of `Meta(extra=...)`: the unit in which a column is printed, and that both corners of a figure are one."""

_DIMENSION_OF_SUFFIX = {dimension.suffix: dimension.name for dimension in DIMENSIONS.values()}
_SUFFIXES = sorted(_DIMENSION_OF_SUFFIX, key=len, reverse=True)
_AMOUNT = next(entry for entry in get_args(Amount) if isinstance(entry, Meta))


class FigureCell(NamedTuple):
    """A figure in a cell: its printed ends in the unit of the column, its bound, and how many terms it lacks."""

    typ: Numeral | None
    max: Numeral | None
    bound: str
    unknown: int


Cell = str | Numeral | FigureCell | None
"""What stands in a cell; None and an empty text are an empty cell."""


@dataclass(frozen=True, slots=True)
class TableColumn:
    """One column.

    Attributes:
        key: Key of the column, without unit.
        help: What it holds, in one sentence; empty where the key says it.
        kind: What stands in it.
        unit: Unit of its numbers; empty for words and plain counts.
    """

    key: str
    help: str = ""
    kind: Kind = "text"
    unit: str = ""

    @property
    def header(self) -> str:
        """Header text: `power_on [W]`, `module`."""
        return f"{self.key} [{self.unit}]" if self.unit else self.key

    @property
    def is_numeric(self) -> bool:
        """Whether numbers stand in it."""
        return self.kind in NUMERIC


@dataclass(frozen=True, slots=True)
class Table:
    """A table.

    Attributes:
        name: Name in file names and sheets, such as `pins`; empty for the one table of an artefact.
        title: What people call it.
        columns: Its columns.
        rows: Its rows, each with a cell per column.
        notes: What must be read with it.
        total: A last row with sums; None where there is none.
        keys: How many of the first columns name a row.
        is_detail: Whether a page that people read leaves it to the files.
    """

    name: str
    title: str
    columns: tuple[TableColumn, ...]
    rows: tuple[tuple[Cell, ...], ...]
    notes: tuple[str, ...] = ()
    total: tuple[Cell, ...] | None = None
    keys: int = 1
    is_detail: bool = False


def table_of(
    name: str,
    title: str,
    row_type: type[Record],
    rows: Iterable[Record],
    currency: str = "",
    notes: Sequence[str] = (),
    keys: int = 1,
    *,
    is_detail: bool = False,
) -> Table:
    """Return the table of some records.

    Args:
        name: Name of the table.
        title: What people call it.
        row_type: Record of its rows.
        rows: Its rows.
        currency: Currency of its amounts.
        notes: What must be read with it.
        keys: How many of the first columns name a row.
        is_detail: Whether a page that people read leaves it to the files.
    """
    fields = [_field(own, hint, currency) for own, hint in _hints(row_type)]
    return Table(
        name=name,
        title=title,
        columns=tuple(column for _, column, _ in fields),
        rows=tuple(
            tuple(_cell(getattr(row, own), column, dimension) for own, column, dimension in fields) for row in rows
        ),
        notes=tuple(notes),
        keys=keys,
        is_detail=is_detail,
    )


def flat(table: Table) -> Table:
    """Return a table of plain cells: a figure becomes its ends, its bound and its count of unknown terms."""
    columns: list[TableColumn] = []
    for column in table.columns:
        columns += _flat_columns(column)
    rows = tuple(_flat_row(table.columns, row) for row in table.rows)
    total = None if table.total is None else _flat_row(table.columns, table.total)
    return Table(table.name, table.title, tuple(columns), rows, table.notes, total, table.keys, table.is_detail)


def shown(cell: Cell) -> str:
    """Write a cell for a page that people read: an unknown figure says so, a bound has its sign."""
    if not isinstance(cell, FigureCell):
        return "" if cell is None else str(cell)
    if cell.typ is None and cell.max is None:
        return "unknown"
    sign = {"exact": "", "at_least": ">= ", "at_most": "<= "}[cell.bound]
    ends = [f"{sign}{end}" if end is not None else "unknown" for end in (cell.typ, cell.max)]
    text = ends[0] if ends[0] == ends[1] else " / ".join(ends)
    return f"{text} ({cell.unknown} unknown)" if cell.unknown else text


def _flat_columns(column: TableColumn) -> list[TableColumn]:
    if column.kind not in {"figure", "value"}:
        return [column]
    typ = TableColumn(column.key, column.help, "number", column.unit)
    largest = TableColumn(f"{column.key}_max", f"{column.help}, worst corner".lstrip(", "), "number", column.unit)
    bound = TableColumn(f"{column.key}_bound", "exact, or on which side of the true figure the numbers lie")
    unknown = TableColumn(f"{column.key}_unknown", "how many terms are missing", "number")
    return [typ, largest, bound, unknown] if column.kind == "figure" else [typ, bound, unknown]


def _flat_row(columns: Sequence[TableColumn], row: Sequence[Cell]) -> tuple[Cell, ...]:
    cells: list[Cell] = []
    for column, cell in zip(columns, row, strict=True):
        if column.kind not in {"figure", "value"}:
            cells.append(cell)
        elif isinstance(cell, FigureCell):
            ends = (cell.typ, cell.max) if column.kind == "figure" else (cell.typ,)
            cells += [*ends, cell.bound, Numeral(cell.unknown)]
        else:
            cells += [None] * len(_flat_columns(column))
    return tuple(cells)


def _hints(row_type: type[Record]) -> list[tuple[str, Any]]:
    hints = get_type_hints(row_type, include_extras=True)
    return [(field.name, hints[field.name]) for field in msgspec.structs.fields(row_type)]


def _field(name: str, hint: Any, currency: str) -> tuple[str, TableColumn, str]:  # noqa: ANN401 - any type hint
    """Return the name of a field, its column, and the dimension of its numbers."""
    metas: list[Meta] = []
    bare = _bare(hint, metas)
    words = next((meta.description for meta in metas if meta.description and meta is not _AMOUNT), "") or ""
    extra: Mapping[str, Any] = next((meta.extra for meta in metas if meta.extra), {})
    if any(meta is _AMOUNT for meta in metas):
        return name, TableColumn(name, words, "amount", extra.get(UNIT, currency)), ""
    if bare not in (Bounded, int, float):
        return name, TableColumn(name, words), ""
    suffix = next((own for own in _SUFFIXES if name.endswith(own) and len(name) > len(own)), "")
    dimension = _DIMENSION_OF_SUFFIX.get(suffix, "")
    unit = extra.get(UNIT, dimension_named(dimension).home_unit if dimension else "")
    kind: Kind = "number" if bare is not Bounded else "value" if extra.get(ONE) else "figure"
    return name, TableColumn(field_key(name) if dimension else name, words, kind, unit), dimension


def _bare(hint: Any, metas: list[Meta]) -> Any:  # noqa: ANN401 - any type hint
    """Return the type behind annotations and `None`; what the annotations say is gathered in `metas`."""
    if get_origin(hint) is Annotated:
        metas += [entry for entry in hint.__metadata__ if isinstance(entry, Meta)]
        return _bare(hint.__origin__, metas)
    members = [member for member in get_args(hint) if member is not type(None)]
    if members and get_origin(hint) not in (tuple, dict, Literal):
        kinds = [_bare(member, metas) for member in members]
        return float if set(kinds) == {int, float} else kinds[0]
    return hint


def _cell(value: object, column: TableColumn, dimension: str) -> Cell:
    if value is None:
        return None
    if isinstance(value, Bounded):
        ends = [None if end is None else _numeral(end, column, dimension) for end in (value.typ, value.max)]
        return FigureCell(ends[0], ends[1], value.bound, value.unknown)
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return _numeral(value, column, dimension)
    if isinstance(value, datetime.date):
        return value.isoformat()
    if isinstance(value, tuple):
        return " ".join(map(str, value))
    return Numeral(value) if column.kind == "amount" else str(value)


def _numeral(value: float, column: TableColumn, dimension: str) -> Numeral:
    if dimension:
        return Numeral(display_number(value, dimension, column.unit, MAX_SIGNIFICANT_DIGITS))
    return Numeral(value if isinstance(value, int) else f"{value:.{MAX_SIGNIFICANT_DIGITS}g}")
