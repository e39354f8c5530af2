"""Numbers that remember the field they stand in, for running the engine with a recorder."""

from typing import Any, TypeVar

import msgspec

from bomtui.engine.calc import traced
from bomtui.engine.supply_range import given_high_v, given_low_v
from bomtui.model.base import Base
from bomtui.model.fields import field_table
from bomtui.model.money import Money
from bomtui.model.parameter import Parameter
from bomtui.model.part import PriceBreak
from bomtui.model.proposal import Snapshot
from bomtui.model.variant import Amount
from bomtui.model.vehicle import Mode

T = TypeVar("T", bound=Base)
_PLAIN_RECORDS = (Parameter, Money, Amount)


def tagged_snapshot(snapshot: Snapshot) -> Snapshot:
    """Return the snapshot with every number knowing its path, as it stands in the proposal or parts file."""
    proposal = _record(snapshot.proposal, "")
    modes = {mode_id: _with_range(mode) for mode_id, mode in proposal.modes.items()}
    return Snapshot(
        proposal=msgspec.structs.replace(proposal, modes=modes),
        parts={key: _record(part, f"parts.{key}") for key, part in snapshot.parts.items()},
        number=snapshot.number,
    )


def _with_range(mode: Mode) -> Mode:
    """Let the ends of a supply range know the standard that names them."""
    if mode.supply_range is None:
        return mode
    low_v, high_v = given_low_v(mode), given_high_v(mode)
    why = f"supply range {mode.supply_range}"
    return msgspec.structs.replace(
        mode,
        supply_low_v=low_v if mode.supply_low_v is not None else traced(low_v, why),
        supply_high_v=high_v if mode.supply_high_v is not None else traced(high_v, why),
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
