"""The load list: the customer's loads as a sheet that the program reads back without a question."""

from decimal import Decimal
from typing import Annotated, Any

from msgspec import Meta

from bomtui.export.csv import Numeral
from bomtui.export.package.artefact import Artefact
from bomtui.export.records import Heading, Record
from bomtui.export.table import Cell, Table, TableColumn
from bomtui.model.lists import Column, load_columns
from bomtui.model.load import Load
from bomtui.model.quantity import number_in

NAME, TITLE = "load-list", "Load list"
_NUMBERS = ("quantity", "quantities", "count")


class LoadRecord(Record, frozen=True, kw_only=True):
    """One load as the proposal holds it, quantities in SI units."""

    id: str
    served_by: Annotated[str, Meta(description="module that serves it; empty where none does")]
    load: Load


class LoadList(Heading, frozen=True, kw_only=True):
    """Loads of the vehicle."""

    modes: tuple[str, ...]
    loads: tuple[LoadRecord, ...]


def artefact(record: LoadList) -> Artefact:
    """Return the artefact of a load list.

    Its one table has the columns of an import; a column in which no load says anything is left out.
    """
    columns = load_columns(record.modes)
    rows = [[_cell(own, column) for column in columns] for own in record.loads]
    kept = [number for number in range(len(columns)) if not number or any(row[number] for row in rows)]
    table = Table(
        name="",
        title="Loads of the vehicle",
        columns=tuple(_column(columns[number]) for number in kept),
        rows=tuple(tuple(row[number] for number in kept) for row in rows),
    )
    return Artefact(NAME, TITLE, record, record, (table,))


def _column(column: Column) -> TableColumn:
    is_number = column.info is not None and column.info.shape in _NUMBERS
    key = f"{column.key}.{column.entry}" if column.entry else column.key
    return TableColumn(key, column.help, "number" if is_number else "text", column.unit)


def _cell(own: LoadRecord, column: Column) -> Cell:
    if column.info is None:
        return own.id
    value: Any = getattr(own.load, column.info.name)
    if column.entry:
        value = value.get(column.entry)
    if value is None or value == "":
        return None
    if column.info.shape in {"quantity", "quantities"}:
        return Numeral(number_in(value, column.info.dimension, column.unit))
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int | Decimal):
        return Numeral(value)
    return "; ".join(value) if isinstance(value, tuple) else str(value)
