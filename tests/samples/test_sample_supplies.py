"""Supply trees of the samples: what hangs on what, what hangs on nothing, and what a controller draws."""

import msgspec
import pytest

from bomtui.engine.rollup import rollup
from bomtui.engine.supply import is_fed
from bomtui.model.part import SUPPLY_KINDS
from bomtui.model.proposal import Snapshot
from bomtui.model.variant import BATTERY
from tests.samples.rollups import DEMO_VARIANTS, VARIANTS, lowest, snapshot

MISSING = {
    ("sweeper", "distributed"): {
        "DAUD": ["can-1 main", "mcu-100 main"],
        "DCLU": ["nor-64 main"],
        "DNAV": ["ram-1g main", "video-rx core", "video-rx core"],
    },
    ("sweeper", "zone"): {
        "ZCEN": ["eth-100 main", "eth-100 main", "mcu-176 main", "motion-6 main", "radio-sub main"],
        "ZHMI": ["nor-64 main", "ram-1g main", "video-rx core", "video-rx core"],
        "ZUND": ["tilt-2 main"],
    },
    ("van", "distributed"): {
        "DAUD": ["can-1 main", "mcu-100 main"],
        "DCLU": ["nor-64 main"],
        "DNAV": ["ram-1g main", "video-rx core"],
    },
    ("van", "central"): {
        "MBDY": ["mcu-176 main", "motion-6 main", "radio-24 main", "tilt-2 main"],
        "MHMI": ["nor-64 main", "ram-1g main", "video-rx core"],
    },
}
"""True faults of the demo architectures: supply inputs for whose voltage the module makes no rail."""


@pytest.mark.parametrize(("vehicle", "variant"), DEMO_VARIANTS)
def test_supply_inputs_without_a_rail_are_the_known_ones(vehicle: str, variant: str) -> None:
    """Exactly the known supply inputs hang on nothing: no fault is hidden by an invented rail, and none is made."""
    sample = snapshot(vehicle)
    found = {
        module_id: sorted(
            f"{device.part} {name}"
            for device in module.devices.values()
            for name in sample.parts[device.part].supplies
            if not is_fed(module, device.supply.get(name, ""), sample.parts)
        )
        for module_id, module in sample.proposal.variants[variant].modules.items()
    }
    assert {module_id: inputs for module_id, inputs in found.items() if inputs} == MISSING[vehicle, variant]


@pytest.mark.parametrize(("vehicle", "variant"), VARIANTS)
def test_every_output_of_every_supply_is_a_rail(vehicle: str, variant: str) -> None:
    """A supply has one rail per output, at its own voltage."""
    sample = snapshot(vehicle)
    for module in sample.proposal.variants[variant].modules.values():
        for ref, device in module.devices.items():
            part = sample.parts[device.part]
            rails = [rail for rail in module.rails.values() if rail.source == ref]
            assert len(rails) == ((part.rails or 0) if part.kind in SUPPLY_KINDS else 0)
            assert all(rail.voltage_v == part.output_v for rail in rails)


def test_sweeper_converters_on_a_battery_line_that_exceeds_them() -> None:
    """In the 24 V net only the injection boost and the sensor tracker hang on a line above what they stand (58 V)."""
    sample = snapshot("sweeper")
    overstressed = set()
    for variant in sample.proposal.variants.values():
        for module_id, module in variant.modules.items():
            for device in module.devices.values():
                part = sample.parts[device.part]
                stands_v = part.absolute_max_v or part.operating_max_v
                if part.kind in SUPPLY_KINDS and device.supply["input"] == BATTERY:
                    assert stands_v is not None
                    if stands_v < 58:
                        overstressed.add((module_id, device.part))
    assert overstressed == {(module, part) for module in ("DENG", "ZENG") for part in ("boost-65", "track-2x70")}


def test_map_controller_hangs_behind_two_converters() -> None:
    """In the display module the map controller's 3.3 V buck hangs on the 12 V buck, which hangs on the battery."""
    module = snapshot("sweeper").proposal.variants["zone"].modules["ZHMI"]
    device = next(device for device in module.devices.values() if device.part == "cpu-map")
    chain = []
    rail = device.supply["main"]
    while rail != BATTERY:
        source = module.devices[module.rails[rail].source]
        chain.append(source.part)
        rail = source.supply["input"]
    assert chain == ["buck33-4", "buck12-8w"]


@pytest.mark.parametrize(
    ("module", "part", "drop_a"),
    [("ZREA", "mcu-144", 0.085), ("ZHMI", "cpu-map", 0.78 * 3.3 / (0.89 * 0.93 * 28))],
)
def test_taking_out_a_controller_lowers_the_electronics_current(module: str, part: str, drop_a: float) -> None:
    """A controller's run current passes a linear supply unchanged and two converters by their power balance."""
    sample = snapshot("sweeper")
    before, after = (_work_day_a(shot) for shot in (sample, _without(sample, module, part)))
    assert before - after == pytest.approx(drop_a, abs=5e-5)
    assert drop_a == pytest.approx({"mcu-144": 0.085, "cpu-map": 0.111}[part], abs=5e-4)


@pytest.mark.parametrize(("vehicle", "variant"), DEMO_VARIANTS)
def test_what_a_load_holds_is_not_counted_twice(vehicle: str, variant: str) -> None:
    """A display load holds one panel and one backlight of its module; tilt, motion and radio loads hold their chip."""
    sample = snapshot(vehicle)
    built = sample.proposal.variants[variant]
    counted: dict[str, list[str]] = {}
    for module_id, module in built.modules.items():
        for device in module.devices.values():
            part = sample.parts[device.part]
            word = part.family or part.kind
            if device.counted_in_load:
                assert built.placements[device.counted_in_load].on == (module_id,)
                counted.setdefault(device.counted_in_load, []).append(word)
            elif word in {"panel", "backlight", "sensor"} or device.part.startswith("radio"):
                pytest.fail(f"{module_id}: {device.part} is drawn beside the load that holds it")
    screens = {
        load_id: ["backlight", "panel"] for load_id, load in sample.proposal.loads.items() if load.drive == "VID"
    }
    chips = {"T01": ["sensor"], "T02": ["sensor"], "T03": ["transceiver_rf"]}
    assert {load_id: sorted(words) for load_id, words in counted.items()} == screens | chips


def _work_day_a(sample: Snapshot) -> float:
    found = next(mode for mode in rollup(sample, "zone").result.modes if mode.mode == "WORK_DAY")
    return lowest(found.electronics_a.typ)


def _without(sample: Snapshot, module_id: str, part: str) -> Snapshot:
    variant = sample.proposal.variants["zone"]
    module = variant.modules[module_id]
    devices = {ref: device for ref, device in module.devices.items() if device.part != part}
    assert len(devices) == len(module.devices) - 1
    modules = {**variant.modules, module_id: msgspec.structs.replace(module, devices=devices)}
    variants = {**sample.proposal.variants, "zone": msgspec.structs.replace(variant, modules=modules)}
    return Snapshot(proposal=msgspec.structs.replace(sample.proposal, variants=variants), parts=sample.parts)
