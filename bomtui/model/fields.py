"""The field table: what every field of a proposal or part means, derived once from the records themselves.

The reader, the canonical writer, the catalog, lists, screens and the JSON Schema all read this table, so that a
field is described in one place: at its definition, as `Annotated[type, Field(...)]`.
"""

import datetime
import types
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from typing import Annotated, Any, Literal, Union, get_args, get_origin, get_type_hints

import msgspec

from bomtui.model.base import Base
from bomtui.model.money import Money
from bomtui.model.parameter import Parameter
from bomtui.model.quantity import field_key

Shape = Literal[
    "quantity", "parameter", "count", "decimal", "amount", "money", "flag", "choice", "text", "date", "texts", "breaks",
    "quantities", "words", "record", "records",
]  # fmt: skip
"""How a field is written.

quantity: number with unit; parameter: min, typ, max of a quantity; count: whole number; decimal: exact number; amount:
exact number with an optional sale unit; money: amount and currency; flag: true or false; choice: one of a list; text;
date: ISO date; texts: list of texts; breaks: price rungs; quantities: a quantity (or parameter) per id; words: a text
or count per id; record: one nested record; records: a nested record per id.
"""


@dataclass(frozen=True, slots=True)
class Field:
    """What an annotation says of a field.

    Attributes:
        help: One sentence for people.
        dimension: Name in the dimension table, for quantities and parameters.
        choices: Lawful values of a choice; empty for anything else.
        refers_to: What an id in this field names ("zone", "load", ...); empty where it names nothing.
        informational: Whether it is there for people only: no figure and no rule reads it. A test compares.
    """

    help: str
    dimension: str = ""
    choices: tuple[str, ...] = ()
    refers_to: str = ""
    informational: bool = False


_RATIOS_ABOVE_ONE = frozenset(
    (
        "hot_rds_on_ratio", "sense_tolerance_ratio", "freight_ratio", "duty_ratio", "attrition_ratio",
        "inrush_filament_max_ratio",
    )
)  # fmt: skip
"""These ratios compare two different quantities; every other ratio is a share of a whole."""


@dataclass(frozen=True, slots=True)
class FieldInfo:
    """One row of the field table.

    Attributes:
        name: Attribute of the record, with the unit in the name.
        key: Key in files, without the unit.
        shape: How it is written.
        dimension: Dimension of a quantity or parameter; empty otherwise.
        choices: Lawful values; empty where any will do.
        help: One sentence for people.
        refers_to: What an id in it names; empty where it names nothing.
        informational: Whether no figure and no rule reads it.
        optional: Whether None (unknown) is lawful.
        required: Whether a record without it is refused.
        default: Value of an absent key; msgspec.NODEFAULT where it is required.
        record: Record type of a nested record; None otherwise.
        values: For `quantities` and `words`, the shape of one value.
    """

    name: str
    key: str
    shape: Shape
    dimension: str
    choices: tuple[str, ...]
    help: str
    refers_to: str
    informational: bool
    optional: bool
    required: bool
    default: Any
    record: type[Base] | None
    values: Shape | None

    @property
    def is_share(self) -> bool:
        """Whether it holds shares of a whole, from 0 to 1."""
        return self.dimension == "ratio" and self.name not in _RATIOS_ABOVE_ONE


@cache
def field_table(record: type[Base]) -> tuple[FieldInfo, ...]:
    """Return the fields of a record type in the order in which they are written."""
    hints = get_type_hints(record, include_extras=True)
    return tuple(_info(field, hints[field.name]) for field in msgspec.structs.fields(record))


def fields_by_key(record: type[Base]) -> Mapping[str, FieldInfo]:
    """Return the field table of a record type by file key."""
    return {info.key: info for info in field_table(record)}


def _info(field: msgspec.structs.FieldInfo, hint: Any) -> FieldInfo:  # noqa: ANN401 - any type hint
    if get_origin(hint) is not Annotated:
        message = f"{field.name} has no Field annotation"
        raise TypeError(message)
    bare, *extras = get_args(hint)
    meta = next(extra for extra in extras if isinstance(extra, Field))
    bare, optional = _without_none(bare)
    shape, record, values = _shape(bare, meta)
    default = field.default
    if default is msgspec.NODEFAULT and field.default_factory is not msgspec.NODEFAULT:
        default = field.default_factory()
    return FieldInfo(
        name=field.name,
        key=field_key(field.name) if meta.dimension else field.name,
        shape=shape,
        dimension=meta.dimension,
        choices=meta.choices,
        help=meta.help,
        refers_to=meta.refers_to,
        informational=meta.informational,
        optional=optional,
        required=field.required,
        default=default,
        record=record,
        values=values,
    )


def _without_none(hint: Any) -> tuple[Any, bool]:  # noqa: ANN401 - any type hint
    if get_origin(hint) in (Union, types.UnionType):
        members = [member for member in get_args(hint) if member is not type(None)]
        if len(members) == 1:
            return members[0], True
    return hint, False


_SHAPE_OF_TYPE: dict[Any, Shape] = {
    Parameter: "parameter",
    Money: "money",
    Decimal: "decimal",
    int: "count",
    bool: "flag",
    datetime.date: "date",
}


def _shape(hint: Any, meta: Field) -> tuple[Shape, type[Base] | None, Shape | None]:  # noqa: ANN401 - any type hint
    if hint is float:
        return "quantity", None, None
    if hint is str:
        return ("choice" if meta.choices else "text"), None, None
    if hint in _SHAPE_OF_TYPE:
        return _SHAPE_OF_TYPE[hint], None, None
    origin, arguments = get_origin(hint), get_args(hint)
    if origin is tuple:
        return ("texts" if arguments[0] is str else "breaks"), None, None
    if origin is dict:
        value, _ = _without_none(arguments[1])
        if isinstance(value, type) and issubclass(value, Base) and value not in _SHAPE_OF_TYPE:
            return "records", value, None
        inner, _, _ = _shape(value, meta)
        return ("quantities" if inner in ("quantity", "parameter") else "words"), None, inner
    if isinstance(hint, type) and issubclass(hint, Base):
        return ("amount" if hint.__name__ == "Amount" else "record"), hint, None
    message = f"no shape for a field of type {hint}"
    raise TypeError(message)
