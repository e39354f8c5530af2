"""What the engineer, the customer or the maker has given, as label and text."""

from collections.abc import Iterator
from typing import Any

from bomtui.model.base import Base
from bomtui.model.fields import FieldInfo, field_table
from bomtui.model.quantity import display
from bomtui.services.editing import BETWEEN
from bomtui.tui.view import Figure


def given(record: Base, leave_out: frozenset[str] = frozenset()) -> tuple[Figure, ...]:
    """Write every simple field of a record that says something; records inside it are left out.

    Args:
        record: Load, device or module.
        leave_out: Keys of fields that stand elsewhere.
    """
    return tuple(
        Figure(label, text)
        for info in field_table(type(record))
        if info.key not in leave_out
        and info.record is None
        and (info.required or value_of(record, info) != info.default)
        for label, text in _rows(info, value_of(record, info))
    )


def value_of(record: Base, info: FieldInfo) -> Any:  # noqa: ANN401 - a value has the type of its field
    """Return the value of one field."""
    return getattr(record, info.name)


def _rows(info: FieldInfo, value: Any) -> Iterator[tuple[str, str]]:  # noqa: ANN401 - a value has the type of its field
    label = info.key.replace("_", " ")
    if isinstance(value, dict):
        for name, entry in value.items():
            yield f"{label}, {name}", _text(info, entry)
    elif isinstance(value, tuple):
        yield label, BETWEEN.join(map(str, value))
    else:
        yield label, _text(info, value)


def _text(info: FieldInfo, value: Any) -> str:  # noqa: ANN401 - a value has the type of its field
    if value is None:
        return "unknown"
    if info.dimension:
        return display(value, info.dimension, unicode=False)
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value)
