"""What a changed vehicle leaves as it was."""

import datetime

import msgspec
import pytest

from bomtui.engine.rollup import rollup
from bomtui.model.fields import field_table
from bomtui.model.proposal import Snapshot
from bomtui.model.vehicle import Vehicle
from tests.samples.rollups import snapshot

OF_THE_PROGRAMME: dict[str, object] = {
    "volume_per_year": 777,
    "years": 3,
    "pilot_build": datetime.date(2029, 1, 2),
    "start_of_production": datetime.date(2030, 3, 4),
    "note": "another one",
}
ELECTRICAL: dict[str, object] = {
    "supply": "48 V",
    "test_voltage_v": 27.0,
    "battery_capacity_as": 3.6e5,
    "other_standby_a": 0.5,
    "battery_zone": "Z1",
    "gateway_zone": "Z3",
    "parked_mode": "ACC",
}


def changed(start: Snapshot, name: str, value: object) -> Snapshot:
    """The same proposal with another value of one field of its vehicle."""
    vehicle = msgspec.structs.replace(start.proposal.vehicle, **{name: value})
    return Snapshot(proposal=msgspec.structs.replace(start.proposal, vehicle=vehicle), parts=start.parts)


def test_every_field_of_a_vehicle_is_of_one_sort() -> None:
    """No field is forgotten where it is decided what keeps its result."""
    assert {info.name for info in field_table(Vehicle)} == OF_THE_PROGRAMME.keys() | ELECTRICAL.keys()


@pytest.mark.parametrize("name", [*OF_THE_PROGRAMME, *ELECTRICAL])
def test_a_changed_vehicle_is_computed_as_if_from_nothing(name: str) -> None:
    """Modules and feeds keep their results where the programme alone changed, and no figure differs from a new one."""
    start = snapshot("sweeper")
    former = rollup(start, "zone")
    other = changed(start, name, (OF_THE_PROGRAMME | ELECTRICAL)[name])
    found = rollup(other, "zone", former)
    assert found.result == rollup(other, "zone").result
    kept = [own is former.modules[key] for key, own in found.modules.items()]
    assert all(kept) if name in OF_THE_PROGRAMME else not any(kept)
