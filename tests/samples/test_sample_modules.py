"""Modules and chips of all four variants against the demo's published tables."""

from collections import Counter

import pytest

from tests.samples.rollups import DEMO_VARIANTS, lowest, result, snapshot
from tests.samples.tables import table


@pytest.mark.parametrize(("vehicle", "variant"), DEMO_VARIANTS)
def test_module_figures_are_the_published_ones(vehicle: str, variant: str) -> None:
    """Loads, plain pins, analog inputs, ways, power headers and standby of each module agree."""
    found = result(vehicle, variant).modules
    rows = table(f"{vehicle}_{variant}_modules")
    assert {row["module"] for row in rows} == set(found)
    for row in rows:
        module = found[row["module"]]
        assert (
            module.zone,
            len(module.loads),
            module.pins.plain_used,
            module.pins.plain_total,
            module.pins.analog_used,
            module.wires.ways,
            module.wires.power_headers,
            round(lowest(module.standby_a.typ) * 1e6, 1),
        ) == (
            row["zone"],
            int(row["loads"]),
            int(row["gpio_used"]),
            int(row["gpio_have"]),
            int(row["adc_used"]),
            int(row["conn_ways"]),
            int(row["power_ways"]),
            float(row["standby_uA"]),
        ), row["module"]


@pytest.mark.parametrize(("vehicle", "variant"), DEMO_VARIANTS)
def test_channels_of_each_chip_are_the_allocated_ones(vehicle: str, variant: str) -> None:
    """Each chip uses as many channels as the allocation gives it, and never more than it has."""
    allocated: Counter[str] = Counter()
    for row in table(f"{vehicle}_{variant}_alloc"):
        allocated[row["chip"]] += int(row["channels"])
    used = {}
    for module in result(vehicle, variant).modules.values():
        for device in module.devices:
            if device.channels_used:
                used[f"{module.id}.{device.ref}"] = device.channels_used
                assert device.channels is not None
                assert device.channels_used <= device.channels
    assert used == allocated


@pytest.mark.parametrize(("vehicle", "variant"), DEMO_VARIANTS)
def test_spare_channels_are_what_is_left(vehicle: str, variant: str) -> None:
    """A module's channels are the sum of its drivers' channels, used and all."""
    parts = snapshot(vehicle).parts
    for module in result(vehicle, variant).modules.values():
        drivers = [device for device in module.devices if parts[device.part].channels is not None]
        assert module.channels.used == sum(device.channels_used for device in drivers)
        assert module.channels.total == sum(device.channels or 0 for device in drivers)
        assert module.channels.unknown == 0


def test_families_that_could_be_pooled() -> None:
    """Channels used and chips of the families in the published table agree."""
    for row in table("golden_merge"):
        vehicle, variant = row["variant"].split("_")
        devices = [
            device
            for module in result(vehicle, variant).modules.values()
            for device in module.devices
            if device.part == row["part_key"]
        ]
        assert (sum(device.channels_used for device in devices), len(devices)) == (
            int(row["channels_used"]),
            int(row["chips"]),
        )


@pytest.mark.parametrize(("vehicle", "variant"), DEMO_VARIANTS)
def test_controller_pins_fit(vehicle: str, variant: str) -> None:
    """The pins of every module fit its controllers function by function, and no need of a part is unknown."""
    modules = result(vehicle, variant).modules.values()
    assert {module.id: module.pins.short for module in modules if module.pins.short} == {}
    assert {module.id: module.pins.unknown for module in modules if module.pins.unknown} == {}


def test_heat_is_worst_in_a_mode_of_its_own_at_each_corner() -> None:
    """The van's blower switch is hottest typically in ROAD_NIGHT and at the worst corner in CITY_NIGHT_WET.

    By hand for CITY_NIGHT_WET: 14.2 V, 22 A at 13.5 V make 23.1407 A, duty 0.7; edges of 180 us at 100 Hz cost 2.957 W,
    23.1407^2 x 2.48 mOhm x 0.7 = 0.9296 W; 30 K/W, 0.0068 1/K and 80 degC give 236.8 degC.
    """
    device = next(own for own in result("van", "central").modules["MBDY"].devices if own.ref == "U3")
    assert (device.worst_mode, device.worst_mode_max) == ("ROAD_NIGHT", "CITY_NIGHT_WET")
    assert device.worst is not None
    assert device.worst.junction_degc.max == pytest.approx(236.8, abs=0.05)
    by_id = {mode.mode: mode for mode in device.modes}
    assert device.worst.power_w.typ == by_id["ROAD_NIGHT"].power_w.typ
    assert device.worst.power_w.max == by_id["CITY_NIGHT_WET"].power_w.max
