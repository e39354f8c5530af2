"""One field of a record to its one canonical file text."""

import datetime
from collections.abc import Callable, Iterable, Mapping
from functools import lru_cache
from typing import Any

from bomtui.model import quantity
from bomtui.model.fields import FieldInfo
from bomtui.model.ids import natural_key
from bomtui.model.money import Money
from bomtui.model.parameter import Parameter
from bomtui.model.part import PriceBreak
from bomtui.model.variant import Amount

UNKNOWN = "unknown"
"""What an author writes where a value is known to be missing."""

TomlValue = str | bool | datetime.date | list[str] | dict[str, Any]
"""Canonical value of a field in a file; a dict holds one value per dotted key."""

SIDES = ("min", "typ", "max")
"""Keys of a parameter, in the order in which they are written."""


def write_field(info: FieldInfo, value: Any) -> TomlValue:  # noqa: ANN401 - a value has the type of its field
    """Write the value of one field in its canonical form.

    Args:
        info: Row of the field table; not of shape `record` or `records`.
        value: The field's value.

    Returns:
        A TOML value; for parameters, quantities and words a dict of one value per dotted key.

    Raises:
        ValueError: The value is not finite.
    """
    if value is None:
        return UNKNOWN
    return _WRITERS[info.shape](info, value)


def write_cell(info: FieldInfo, value: Any) -> str:  # noqa: ANN401 - a value has the type of its field
    """Write the value of one field as the text of one cell, which `read_field` reads back.

    Raises:
        ValueError: The value is not finite, or an entry of a list holds the `;` that separates entries.
    """
    written = write_field(info, value)
    if isinstance(written, bool):
        return "true" if written else "false"
    if isinstance(written, datetime.date):
        return written.isoformat()
    if isinstance(written, str):
        return written
    entries = written if isinstance(written, list) else [f"{key}: {entry}" for key, entry in written.items()]
    if any(";" in entry or entry != entry.strip() for entry in entries):
        raise ValueError(f"an entry of {info.key} holds a ';' or outer spaces and cannot stand in one cell")
    return "; ".join(entries)


def is_left_out(info: FieldInfo, value: object) -> bool:
    """Tell whether a canonical file leaves the field out, because an absent key means this value."""
    return not info.required and value == info.default


@lru_cache(maxsize=16384)
def _quantity_text(value: float, dimension: str) -> str:
    return quantity.text(value, dimension)


def _write_quantity(info: FieldInfo, value: float) -> str:
    return _quantity_text(value, info.dimension)


def _write_parameter(info: FieldInfo, value: Parameter) -> TomlValue:
    sides = {side: getattr(value, side) for side in SIDES}
    written: dict[str, Any] = {
        side: _quantity_text(number, info.dimension) for side, number in sides.items() if number is not None
    }
    # Nothing at all would read back as the field's default, and `unknown` alone as None where that is lawful.
    return written or ({"typ": UNKNOWN} if info.optional else UNKNOWN)


def _write_entries(info: FieldInfo, value: Mapping[str, Any]) -> TomlValue:
    writer = _WRITERS[info.values or "text"]
    return {key: UNKNOWN if value[key] is None else writer(info, value[key]) for key in sorted(value, key=natural_key)}


def _write_money(_: FieldInfo, value: Money) -> str:
    return f"{format(value.amount, 'f')} {value.currency}"


def _write_amount(_: FieldInfo, value: Amount) -> str:
    number = format(value.quantity, "f")
    return number if value.unit == "piece" else f"{number} {value.unit}"


def _write_breaks(_: FieldInfo, value: Iterable[PriceBreak]) -> list[str]:
    rungs = sorted(value, key=lambda rung: rung.quantity)
    return [f"{rung.quantity}: {format(rung.price, 'f')}" for rung in rungs]


_WRITERS: dict[str, Callable[[FieldInfo, Any], TomlValue]] = {
    "quantity": _write_quantity,
    "parameter": _write_parameter,
    "count": lambda _, value: str(value),
    "decimal": lambda _, value: format(value, "f"),
    "amount": _write_amount,
    "money": _write_money,
    "flag": lambda _, value: bool(value),
    "choice": lambda _, value: str(value),
    "text": lambda _, value: str(value),
    "date": lambda _, value: value,
    "texts": lambda _, value: list(value),
    "breaks": _write_breaks,
    "quantities": _write_entries,
    "words": _write_entries,
}
