"""An edit as a plain record of texts, lists and tables, and back: how a journal holds it.

Values stand in the canonical text of their field, as in a proposal file, so that a record can be read by people and by
a later version of the program.
"""

import datetime
from collections.abc import Mapping
from functools import cache
from typing import Any, TypeVar, get_args, get_origin

import msgspec

from bomtui.edit.edit import TAG_FIELD, Edit, RefusedError
from bomtui.edit.edits.field import SetField
from bomtui.edit.kinds import EDITS, kind_name
from bomtui.edit.place import field_place
from bomtui.model.base import Base
from bomtui.model.fields import FieldInfo, field_table, fields_by_key
from bomtui.model.part import Part
from bomtui.model.variant import Amount, Item
from bomtui.storage.field_text import FieldError, read_field
from bomtui.storage.field_writing import is_left_out, write_field
from bomtui.storage.problems import Fault
from bomtui.storage.records import read_record

RecordT = TypeVar("RecordT", bound=Base)

_VALUE = "value"


class EditRecordError(ValueError):
    """A record that is no edit of this program; its text is one sentence."""


def edit_record(edit: Edit) -> dict[str, Any]:
    """Write an edit as a record: its kind under `edit`, then its fields, those with their default left out.

    Raises:
        ValueError: A number in it is not finite.
    """
    record: dict[str, Any] = {TAG_FIELD: kind_name(type(edit))}
    for field in _fields(type(edit)):
        value = getattr(edit, field.name)
        if not field.required and value == field.default:
            continue
        if isinstance(edit, SetField) and field.name == _VALUE:
            record[field.name] = _plain(write_field(field_place(edit.place).info, value))
        else:
            record[field.name] = _written(value)
    return record


def edit_from_record(record: object) -> Edit:
    """Read an edit from its record.

    Raises:
        EditRecordError: It is none.
    """
    if not isinstance(record, dict):
        raise EditRecordError("expected the record of an edit, found something else")
    kind = EDITS.get(str(record.get(TAG_FIELD)))
    if kind is None:
        raise EditRecordError(f"there is no edit of the kind {record.get(TAG_FIELD)!r}")
    fields = {field.name: field for field in _fields(kind)}
    unknown = record.keys() - fields.keys() - {TAG_FIELD}
    missing = [name for name, field in fields.items() if field.required and name not in record]
    if unknown or missing:
        what = f"no {missing[0]}" if missing else f"the unknown key {min(unknown)}"
        raise EditRecordError(f"expected an edit of the kind {kind_name(kind)}, found {what}")
    try:
        if kind is SetField:
            field_place(str(record["place"]))
        values = {name: _read(kind, field, record) for name, field in fields.items() if name in record}
    except (msgspec.ValidationError, FieldError) as error:
        raise EditRecordError(f"{kind_name(kind)}: {error}") from error
    except RefusedError as error:
        raise EditRecordError(f"{kind_name(kind)}: {error.refusal.sentence}") from error
    return kind(**values)


def record_table(record: Base) -> dict[str, Any]:
    """Write a record of the model as the tables that a file would hold, in plain values."""
    table: dict[str, Any] = {}
    for info in field_table(type(record)):
        value = getattr(record, info.name)
        if is_left_out(info, value):
            continue
        if info.shape == "record":
            table[info.key] = record_table(value)
        elif info.shape == "records":
            table[info.key] = {key: record_table(inner) for key, inner in value.items()}
        else:
            table[info.key] = _plain(write_field(info, value))
    return table


def parts_from_tables(tables: Mapping[str, Any]) -> dict[str, Part]:
    """Read parts, each from what `record_table` wrote.

    Raises:
        EditRecordError: One of them cannot be read.
    """
    return {key: _record(Part, table) for key, table in tables.items()}


def _written(value: Any) -> Any:  # noqa: ANN401 - a field of an edit
    if isinstance(value, Edit):
        return edit_record(value)
    if isinstance(value, Amount):
        return write_field(_amount(), value)
    if isinstance(value, Base):
        return record_table(value)
    if isinstance(value, tuple):
        return [_written(inner) for inner in value]
    if isinstance(value, dict):
        return {key: _written(inner) for key, inner in value.items()}
    return _plain(value)


def _plain(value: Any) -> Any:  # noqa: ANN401 - what a file holds
    return value.isoformat() if isinstance(value, datetime.date) else value


def _read(kind: type[Edit], field: msgspec.structs.FieldInfo, record: Mapping[str, Any]) -> Any:  # noqa: ANN401
    raw = record[field.name]
    if kind is SetField and field.name == _VALUE:
        return read_field(field_place(str(record.get("place"))).info, raw)
    return _read_as(field.type, raw)


def _read_as(hint: Any, raw: Any) -> Any:  # noqa: ANN401 - any type hint of an edit's field
    if get_origin(hint) is tuple and get_args(hint)[0] is Edit:
        return tuple(map(edit_from_record, msgspec.convert(raw, list[Any])))
    if get_origin(hint) is dict:
        return parts_from_tables(msgspec.convert(raw, dict[str, Any]))
    if hint is Amount:
        return read_field(_amount(), raw)
    if isinstance(hint, type) and issubclass(hint, Base):
        return _record(hint, raw)
    return msgspec.convert(raw, hint)


def _record(record: type[RecordT], raw: object) -> RecordT:
    faults: list[Fault] = []
    read = read_record(record, raw, (record.__name__.lower(),), faults)
    if faults or read is None:
        fault = faults[0]
        raise EditRecordError(f"{'.'.join(fault.path)}: {fault.message}")
    return read


@cache
def _fields(kind: type[Edit]) -> tuple[msgspec.structs.FieldInfo, ...]:
    return msgspec.structs.fields(kind)


@cache
def _amount() -> FieldInfo:
    """The field table's row of an amount: edits write it as a file does."""
    return fields_by_key(Item)["quantity"]
