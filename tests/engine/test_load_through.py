"""Loads and devices that a rail feeds, and the heat that their current makes in the supplies before it."""

import pytest

from bomtui.engine.pulse_energy import pulsed_mean_current_a
from bomtui.engine.rollup import rollup
from bomtui.model.load import Load
from bomtui.model.parameter import Parameter
from bomtui.model.part import Part, SupplyNeed
from bomtui.model.proposal import Info, Proposal, Snapshot
from bomtui.model.rollup import ModuleResult
from bomtui.model.variant import BATTERY, Device, Module, Placement, Rail, Variant
from bomtui.model.vehicle import Mode, Subsystem, Vehicle, Zone

PARTS = {
    "linear5": Part(
        kind="ldo",
        converter="linear",
        output_v=5.0,
        theta_ja_k_per_w=34.0,
        supplies={"input": SupplyNeed(current_a=Parameter(typ=0.0))},
    ),
    "buck12": Part(
        kind="dcdc",
        converter="switching",
        output_v=12.0,
        efficiency_ratio=Parameter(min=0.8, typ=0.9),
        theta_ja_k_per_w=42.0,
        supplies={"input": SupplyNeed(current_a=Parameter(typ=0.0))},
    ),
    "cpu": Part(kind="controller", supplies={"main": SupplyNeed(current_a=Parameter(typ=0.09))}),
    "amp": Part(kind="amplifier", channels=2, supplies={"main": SupplyNeed(current_a=Parameter(typ=0.02))}),
}


def load(**fields: object) -> Load:
    """A load that is on all the time."""
    known: dict[str, object] = {"subsystem": "S", "zone": "Z", "time_share_ratio": {"ON": 1.0}, **fields}
    return Load(**known)  # type: ignore[arg-type]


def module_of(module: Module, loads: dict[str, Load], placements: dict[str, Placement]) -> ModuleResult:
    """The result of a module in a 28 V vehicle with one mode."""
    proposal = Proposal(
        proposal=Info(name="p"),
        vehicle=Vehicle(supply="24 V", test_voltage_v=28.0),
        zones={"Z": Zone(ambient_degc=75.0)},
        modes={"ON": Mode(supply_low_v=24.0, supply_nominal_v=28.0, supply_high_v=32.0)},
        subsystems={"S": Subsystem()},
        loads=loads,
        variants={"V": Variant(modules={"M": module}, placements=placements)},
    )
    return rollup(Snapshot(proposal=proposal, parts=PARTS), "V").result.modules["M"]


def power_of(result: ModuleResult, ref: str) -> tuple[object, object]:
    """Typical and worst heat of a device [W]."""
    (device,) = [device for device in result.devices if device.ref == ref]
    return device.modes[0].power_w.typ, device.modes[0].power_w.max


LINEAR = Module(
    zone="Z",
    rails={"V5": Rail(voltage_v=5.0, source="U2")},
    devices={"U1": Device(part="cpu", supply={"main": "V5"}), "U2": Device(part="linear5", supply={"input": BATTERY})},
)


def test_a_sensor_heats_the_linear_supply_of_its_rail() -> None:
    """90 mA of a controller and 28 mA of sensors make (28 - 5) V x 118 mA = 2.71 W, and 3.19 W at 32 V (by hand)."""
    loads = {"L1": load(test_current_a=0.028, behaviour="constant_current")}
    fed = module_of(LINEAR, loads, {"L1": Placement(on=("M",), rail="V5")})
    assert power_of(fed, "U2") == (pytest.approx(23 * 0.118), pytest.approx(27 * 0.118))
    apart = module_of(LINEAR, loads, {"L1": Placement(on=("M",))})
    assert power_of(apart, "U2") == (pytest.approx(23 * 0.09), pytest.approx(27 * 0.09))
    # What it draws from the battery is counted once, as the list gives it.
    assert fed.modes[0].supply_current_a == apart.modes[0].supply_current_a


def test_a_device_that_a_load_holds_heats_the_supply_of_its_rail() -> None:
    """Its 90 mA are counted in the load's current and heat the supply all the same."""
    devices = {**LINEAR.devices, "U3": Device(part="cpu", supply={"main": "V5"}, counted_in_load="L1")}
    module = Module(zone="Z", rails=LINEAR.rails, devices=devices)
    loads = {"L1": load(test_current_a=0.5, behaviour="constant_power")}
    result = module_of(module, loads, {"L1": Placement(on=("M",))})
    assert power_of(result, "U2")[0] == pytest.approx(23 * 0.18)
    assert result.modes[0].electronics_a.typ == pytest.approx(0.09)


def test_the_loads_of_an_amplifier_pass_its_converter() -> None:
    """0.25 A at 28 V through 90 % leave 0.7 W in the converter, and at 80 % 1.4 W: power does not rise with voltage."""
    module = Module(
        zone="Z",
        rails={"V12": Rail(voltage_v=12.0, source="U2")},
        devices={
            "U1": Device(part="amp", supply={"main": "V12"}),
            "U2": Device(part="buck12", supply={"input": BATTERY}),
        },
    )
    loads = {"L1": load(test_current_a=0.25, behaviour="constant_power", drive="AMP", kind="speaker")}
    result = module_of(module, loads, {"L1": Placement(on=("M.U1.1",))})
    own_typ, own_max = 0.02 * 12 * (1 / 0.9 - 1), 0.02 * 12 * (1 / 0.8 - 1)
    assert power_of(result, "U2") == (pytest.approx(0.7 + own_typ), pytest.approx(1.4 + own_max))


def test_pulses_count_by_their_energy() -> None:
    """Four injectors, two pulses of 100 mJ each at 2200 rpm through 84 %, take 17.4 W: 0.2 x 73.3 / 0.84 (by hand)."""
    per_injector_a = pulsed_mean_current_a(0.1 / 0.84, 2 * 2200 / 120, 28.0)
    assert 4 * per_injector_a * 28.0 == pytest.approx(17.4, abs=0.1)
    loads = {
        "L1": load(
            test_current_a=6.0, pulse_energy_j=0.119, pulse_rate_hz={"ON": 36.7}, kind="injector", behaviour="pulsed"
        )
    }
    mode = module_of(LINEAR, loads, {"L1": Placement(on=("M",))}).modes[0]
    assert mode.loads_a == pytest.approx(6.0)
    assert mode.loads_at_mode_voltage_a.typ == pytest.approx(0.119 * 36.7 / 28.0)
    assert mode.loads_at_mode_voltage_a.max == pytest.approx(0.119 * 36.7 / 24.0)


def test_pulses_of_unknown_rate_are_unknown() -> None:
    """A load that is on and says nothing of its rate leaves a lower bound that names it."""
    loads = {"L1": load(test_current_a=6.0, pulse_energy_j=0.119, behaviour="pulsed")}
    mode = module_of(LINEAR, loads, {"L1": Placement(on=("M",))}).modes[0]
    assert mode.loads_at_mode_voltage_a.typ != pytest.approx(0.0)
    assert getattr(mode.loads_at_mode_voltage_a.typ, "unknown", None) == frozenset({"L1"})
