"""Numbers that remember the field they stand in, for running the engine with a recorder."""

from typing import Any, TypeVar

import msgspec

from bomtui.engine.calc import traced
from bomtui.model.base import Base
from bomtui.model.fields import field_table
from bomtui.model.money import Money
from bomtui.model.parameter import Parameter
from bomtui.model.part import PriceBreak
from bomtui.model.proposal import Snapshot
from bomtui.model.variant import Amount

T = TypeVar("T", bound=Base)
_PLAIN_RECORDS = (Parameter, Money, Amount)


def tagged_snapshot(snapshot: Snapshot) -> Snapshot:
    """Return the snapshot with every number knowing its path, as it stands in the proposal or parts file."""
    return Snapshot(
        proposal=_record(snapshot.proposal, ""),
        parts={key: _record(part, f"parts.{key}") for key, part in snapshot.parts.items()},
        number=snapshot.number,
    )


def _record(record: T, path: str) -> T:
    keys = _keys(type(record))
    changed = {
        name: _value(getattr(record, name), f"{path}.{key}" if path else key)
        for name, key in keys
        if getattr(record, name) is not None
    }
    return msgspec.structs.replace(record, **changed)


def _keys(record: type[Base]) -> list[tuple[str, str]]:
    if record in _PLAIN_RECORDS:
        return [(name, name) for name in record.__struct_fields__]
    return [(info.name, info.key) for info in field_table(record)]


def _value(value: Any, path: str) -> Any:  # noqa: ANN401 - any value of a record
    if isinstance(value, Base):
        return _record(value, path)
    if isinstance(value, dict):
        return {key: _value(item, f"{path}.{key}") for key, item in value.items()}
    if isinstance(value, tuple):
        return tuple(
            _record(item, f"{path}.{item.quantity}") if isinstance(item, PriceBreak) else item for item in value
        )
    return traced(value, path)
