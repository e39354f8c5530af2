"""Whether a field can take a value: its type, its choices, and whether everything it names exists.

What a person types is read, and judged with its unit, before it gets here.
"""

import datetime
from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import cache
from math import isfinite
from typing import Any

from bomtui.edit.edit import RefusedError
from bomtui.edit.tree import quoted
from bomtui.model.base import Base
from bomtui.model.fields import FieldInfo, Shape, field_table
from bomtui.model.ids import ID_RULE, is_id, parse_address
from bomtui.model.money import Money
from bomtui.model.network import Network
from bomtui.model.proposal import Snapshot
from bomtui.model.quantity import text
from bomtui.model.variant import BATTERY, Amount, Module, Variant

_TYPES: Mapping[Shape, type] = {
    "quantity": float,
    "count": int,
    "decimal": Decimal,
    "amount": Amount,
    "money": Money,
    "flag": bool,
    "choice": str,
    "text": str,
    "date": datetime.date,
    "texts": tuple,
    "quantities": dict,
    "words": dict,
}

_TOP_TABLES = {
    "zone": "zones",
    "mode": "modes",
    "subsystem": "subsystems",
    "load": "loads",
    "variant": "variants",
    "assumption": "assumptions",
}

_VARIANT_TABLES = {
    "feed": "feeds",
    "network": "networks",
}

_HALF_CHARACTERS = ("\ud800", "\udfff")


@dataclass(frozen=True, slots=True)
class Scope:
    """What a record may name; parts are not looked up here, because a proposal may name some that it does not use.

    Attributes:
        snapshot: Proposal and frozen parts.
        module: The module that the record stands in; None outside of any.
        network: The network that the record stands in; None outside of any.
        variant: The variant that it stands in; None outside of any.
    """

    snapshot: Snapshot
    module: Module | None = None
    network: Network | None = None
    variant: Variant | None = None

    def ids(self, kind: str) -> Collection[str]:
        """Return the ids of one kind that can be named."""
        if kind in _TOP_TABLES:
            table: Collection[str] = getattr(self.snapshot.proposal, _TOP_TABLES[kind])
            return table
        if kind == "node":
            return () if self.network is None else self.network.nodes
        if kind in _VARIANT_TABLES:
            own: Collection[str] = () if self.variant is None else getattr(self.variant, _VARIANT_TABLES[kind])
            return own
        if self.module is None:
            return ()
        return self.module.devices if kind == "device" else (*self.module.rails, BATTERY)


def check_record(record: Base, scope: Scope, where: str) -> None:
    """Refuse a record with a value that its field cannot take, or that names what is not there.

    Args:
        record: A record without records inside.
        scope: What it may name.
        where: What it is, for the sentence ("L11").

    Raises:
        RefusedError: It cannot be taken.
    """
    for info in _plain_fields(type(record)):
        check_value(info, getattr(record, info.name), scope, f"{info.key.replace('_', ' ')} of {where}")


def check_value(info: FieldInfo, value: Any, scope: Scope, words: str) -> None:  # noqa: ANN401 - type of the field
    """Refuse a value that a field cannot take.

    Args:
        info: Row of the field table.
        value: The value; None for a field that may be unknown or absent.
        scope: What it may name.
        words: What people call the field.

    Raises:
        RefusedError: It cannot be taken.
    """
    if value is None:
        return
    expected = _TYPES.get(info.shape)
    if expected is None:
        raise RefusedError(f"the {words} is a group of fields and is not set as one value")
    # A flag is a whole number to Python, and a time of day a date.
    found: type = type(value)
    if found is not expected:
        raise RefusedError(f"the {words} takes a {expected.__name__}, found a {found.__name__}")
    if info.shape in {"quantities", "words"}:
        _check_entries(info, value, scope, words)
    elif info.shape == "texts":
        for entry in value:
            _check_one(replace(info, shape="choice" if info.choices else "text"), entry, scope, words)
    else:
        _check_one(info, value, scope, words)


def check_switch(value: str, scope: Scope, words: str) -> None:
    """Refuse a switch of a feed that is no channel of a device of the variant.

    Args:
        value: Address of the channel; empty for a feed with a fuse.
        scope: The variant.
        words: What people call the field.

    Raises:
        RefusedError: It is none.
    """
    if not value:
        return
    try:
        address = parse_address(value)
    except ValueError:
        raise RefusedError(f"the {words} takes a channel MODULE.REF.CHANNEL, found {quoted(value)}") from None
    module = None if scope.variant is None else scope.variant.modules.get(address.module)
    if module is None or address.device not in module.devices or not address.channel:
        raise RefusedError(f"the {words} names a channel; there is no {quoted(value)} in this variant")


def _check_entries(info: FieldInfo, entries: Mapping[str, Any], scope: Scope, words: str) -> None:
    inner = replace(info, shape=info.values or "text", optional=False, required=True)
    for key, entry in entries.items():
        check_key(info, key, scope, words)
        check_value(inner, entry, scope, f"{words}, entry {quoted(key)},")


def check_key(info: FieldInfo, key: str, scope: Scope, words: str) -> None:
    """Refuse the key of an entry that is unlawful or names what is not there.

    Raises:
        RefusedError: It cannot be taken.
    """
    if not is_id(key):
        raise RefusedError(f"the {words} takes ids of {ID_RULE}, found {quoted(key)}")
    if _quantities(info):
        _check_named(info, key, scope, words)


def _check_one(info: FieldInfo, value: Any, scope: Scope, words: str) -> None:  # noqa: ANN401 - type of the field
    if isinstance(value, str):
        if any(_HALF_CHARACTERS[0] <= character <= _HALF_CHARACTERS[1] for character in value):
            raise RefusedError(f"the {words} takes whole characters, found half of one in {quoted(value)}")
        if info.choices and (value or info.shape == "choice") and value not in info.choices:
            raise RefusedError(f"the {words} takes one of {', '.join(info.choices)}, found {quoted(value)}")
        if info.refers_to and not _quantities(info) and (value or info.required):
            _check_named(info, value, scope, words)
    elif isinstance(value, float) and not isfinite(value):
        raise RefusedError(f"the {words} takes a finite number, found {value}")
    elif isinstance(value, float) and info.is_share and not 0 <= value <= 1:
        raise RefusedError(f"the {words} takes a share of 0 % to 100 %, found {text(value, 'ratio')}")


def _check_named(info: FieldInfo, value: str, scope: Scope, words: str) -> None:
    if info.refers_to != "part" and value not in scope.ids(info.refers_to):
        inside = "this network" if info.refers_to == "node" else "this module"
        where = "this proposal" if info.refers_to in _TOP_TABLES else inside
        where = "this variant" if info.refers_to in _VARIANT_TABLES else where
        article = "an" if info.refers_to.startswith("a") else "a"
        raise RefusedError(f"the {words} names {article} {info.refers_to}; there is no {quoted(value)} in {where}")


def _quantities(info: FieldInfo) -> bool:
    """Tell whether the keys of a table name something, and not its values."""
    return bool(info.dimension and info.refers_to)


@cache
def _plain_fields(record: type[Base]) -> tuple[FieldInfo, ...]:
    return tuple(info for info in field_table(record) if info.shape not in {"record", "records"})
