"""Tables of a file to records by the field table, with every fault reported and everything else kept."""

from collections.abc import Mapping
from functools import cache
from typing import Any, TypeVar

from bomtui.model.base import Base
from bomtui.model.fields import FieldInfo, field_table, fields_by_key
from bomtui.model.ids import ID_RULE, is_id
from bomtui.storage.field_text import FAULTY, FieldError, expected_text, hint_at, read_members, shown
from bomtui.storage.problems import Fault

Path = tuple[str, ...]
RecordT = TypeVar("RecordT", bound=Base)

_LISTED_KEYS = 16

LEFT_OUT = "; it is left out until this is repaired"
"""Ending of a message about a record that cannot be taken."""


def read_record(record: type[RecordT], table: object, path: Path, faults: list[Fault]) -> RecordT | None:
    """Read one record.

    Args:
        record: What to read.
        table: What the file holds in its place.
        path: Keys from the top of the file to the table.
        faults: Takes every fault found.

    Returns:
        The record, its faulty fields as if they were absent; None where a required field is missing or faulty.
    """
    if not isinstance(table, dict):
        faults.append(_fault(path, FieldError(shown(table), f"a table [{'.'.join(path)}]")))
        return None
    by_key = _by_key(record)
    values: dict[str, Any] = {}
    complete = True
    for key, raw in table.items():
        info = by_key.get(key)
        if info is None:
            faults.append(_unknown_key(key, raw, path, by_key))
            continue
        before = len(faults)
        value = _read_value(info, raw, (*path, key), faults)
        if value is not FAULTY:
            values[info.name] = value
        elif info.required:
            complete = False
            if len(path) > 1:
                faults[before] = _left_out(faults[before])
    for info in _required(record):
        if info.key not in table:
            complete = False
            table_name = ".".join((*path, info.key))
            expected = f"a table [{table_name}]" if info.record and info.shape != "amount" else _assignment(info)
            ending = LEFT_OUT if len(path) > 1 else ""
            faults.append(Fault(path, f"expected {expected}, found no such key{ending}", "no such key", expected))
    return record(**values) if complete else None


def read_records(record: type[RecordT], table: object, path: Path, faults: list[Fault]) -> dict[str, RecordT]:
    """Read a table of records by id; a record that cannot be taken is left out and its fault reported."""
    if not isinstance(table, dict):
        expected = f"tables [{'.'.join(path)}.ID]"
        faults.append(_fault(path, FieldError(shown(table), expected)))
        return {}
    records: dict[str, RecordT] = {}
    first_spelling: dict[str, str] = {}
    for key, raw in table.items():
        if not is_id(key):
            error = FieldError(shown(key), f"an id of {ID_RULE}")
            faults.append(_left_out(_fault((*path, key), error)))
            continue
        first = first_spelling.setdefault(key.casefold(), key)
        if first != key:
            expected = f"ids that differ in more than capital letters ({'.'.join((*path, first))} exists)"
            faults.append(_fault((*path, key), FieldError(key, expected)))
        value = read_record(record, raw, (*path, key), faults)
        if value is not None:
            records[key] = value
    return records


def _read_value(info: FieldInfo, raw: object, path: Path, faults: list[Fault]) -> Any:  # noqa: ANN401 - field's type
    if info.record is not None and info.shape == "records":
        return read_records(info.record, raw, path, faults)
    if info.record is not None and info.shape == "record":
        value = read_record(info.record, raw, path, faults)
        return FAULTY if value is None else value
    return read_members(info, raw, lambda where, error: faults.append(_fault((*path, *where), error)))


def _assignment(info: FieldInfo) -> str:
    return f"{info.key} = {expected_text(info)}"


@cache
def _by_key(record: type[Base]) -> Mapping[str, FieldInfo]:
    return fields_by_key(record)


@cache
def _required(record: type[Base]) -> tuple[FieldInfo, ...]:
    return tuple(info for info in field_table(record) if info.required)


def _unknown_key(key: str, raw: object, path: Path, known: Mapping[str, FieldInfo]) -> Fault:
    hint = hint_at(key, known)
    found = f"the unknown key {shown(key)}"
    expected = f"one of the keys {', '.join(known)}"
    if hint or len(known) > _LISTED_KEYS:
        expected = "a known key"
    if isinstance(raw, dict) and len(path) > 1 and not hint:
        hint = " (an id holds no dot)"
    return _fault((*path, key), FieldError(found, expected, f"expected {expected}, found {found}{hint}"))


def _fault(path: Path, error: FieldError) -> Fault:
    return Fault(path, str(error), error.found, error.expected)


def _left_out(fault: Fault) -> Fault:
    return Fault(fault.path, fault.message + LEFT_OUT, fault.found, fault.expected)
