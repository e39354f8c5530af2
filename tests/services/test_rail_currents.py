"""What devices draw from rails, by hand: sums over inputs, a converter that hangs on another rail, unknown devices."""

from math import inf

import msgspec
import pytest

from bomtui.model.bound import Range, Value
from bomtui.model.load import Load
from bomtui.model.parameter import Parameter
from bomtui.model.part import Part, SupplyNeed
from bomtui.model.proposal import Info, Proposal, Snapshot
from bomtui.model.variant import BATTERY, Device, Module, Placement, Rail, Variant
from bomtui.model.vehicle import Mode, Subsystem, Vehicle
from bomtui.services.explain import recorded
from bomtui.services.rail_currents import feeding, rail_figures, supply_load

PARTS = {
    "buck5": Part(
        kind="dcdc", converter="switching", output_v=5.0, output_current_a=0.2,
        efficiency_ratio=Parameter(min=0.8, typ=0.9), supplies={"input": SupplyNeed(current_a=Parameter(typ=0.001))},
    ),
    "buck33": Part(
        kind="dcdc", converter="switching", output_v=3.3, efficiency_ratio=Parameter(min=0.66, typ=0.825),
        supplies={"input": SupplyNeed(voltage_v=5.0, current_a=Parameter(typ=0.002, max=0.003))},
    ),
    "cpu": Part(
        kind="controller", supplies={"vio": SupplyNeed(voltage_v=3.3, current_a=Parameter(typ=0.1, max=0.2))}
    ),
    "sensor": Part(kind="sensor", supplies={"main": SupplyNeed(voltage_v=5.0, current_a=Parameter(typ=0.01))}),
}  # fmt: skip
DEVICES = {
    "U1": Device(part="buck5", supply={"input": BATTERY}),
    "U2": Device(part="buck33", supply={"input": "V5"}),
    "U3": Device(part="cpu", supply={"vio": "V33"}),
    "U4": Device(part="sensor", supply={"main": "V5"}),
    "U5": Device(part="sensor", supply={"main": "V5"}),
}
RAILS = {"V5": Rail(voltage_v=5.0, source="U1"), "V33": Rail(voltage_v=3.3, source="U2")}


def snapshot(devices: dict[str, Device], **placements: Placement) -> Snapshot:
    """One module with a 3.3 V converter behind its 5 V converter."""
    variant = Variant(modules={"M": Module(rails=RAILS, devices=devices)}, placements=placements)
    mode = Mode(supply_low_v=9.0, supply_nominal_v=12.0, supply_high_v=16.0)
    loads = {load_id: Load(subsystem="S") for load_id in placements}
    proposal = Proposal(
        proposal=Info(name="p"),
        vehicle=Vehicle(supply="12 V"),
        modes={"ON": mode},
        subsystems={"S": Subsystem()},
        loads=loads,
        variants={"V": variant},
    )
    return Snapshot(proposal=proposal, parts=PARTS)


def currents(devices: dict[str, Device]) -> dict[str, Value]:
    """The figures of the module."""
    return rail_figures(snapshot(devices), "V")


def test_a_rail_gives_what_hangs_on_it() -> None:
    """V33 gives the controller's 100 mA; V5 two sensors and the converter before it.

    By hand, typical: 2 x 10 mA + 2 mA + 3.3 V x 100 mA / (0.825 x 5 V) = 22 mA + 80 mA = 102 mA. Worst: 20 mA + 3 mA +
    3.3 V x 200 mA / (0.66 x 5 V) = 23 mA + 200 mA = 223 mA. The battery voltage is in none of it.
    """
    found = currents(DEVICES)
    assert found["M:rail_current_a.V33/typ"] == pytest.approx(0.1)
    assert found["M:rail_current_a.V33/max"] == pytest.approx(0.2)
    assert found["M:rail_current_a.V5/typ"] == pytest.approx(0.102)
    assert found["M:rail_current_a.V5/max"] == pytest.approx(0.223)


def test_a_device_of_which_nothing_is_known_leaves_at_least_the_rest() -> None:
    """An unknown part on V33 makes V33 a lower bound, and V5 before it; on V5 alone it leaves V33 exact."""
    behind = currents({**DEVICES, "U6": Device(part="mystery", supply={"main": "V33"})})
    for rail, low in (("V33", 0.1), ("V5", 0.102)):
        value = behind[f"M:rail_current_a.{rail}/typ"]
        assert isinstance(value, Range)
        assert value.low == pytest.approx(low)
        assert value.high == inf
    before = currents({**DEVICES, "U6": Device(part="mystery", supply={"main": "V5"})})
    assert before["M:rail_current_a.V33/typ"] == pytest.approx(0.1)
    assert isinstance(before["M:rail_current_a.V5/typ"], Range)


def test_a_rail_that_nothing_feeds_is_unknown() -> None:
    """Without its source on the battery no current is made up for it."""
    found = currents({**DEVICES, "U1": Device(part="buck5")})
    assert {name: found[name] for name in found if "rail_current" in name} == dict.fromkeys(
        (f"M:rail_current_a.{rail}/{corner}" for corner in ("typ", "max") for rail in RAILS), None
    )


def test_currents_of_rails_can_be_explained() -> None:
    """Each is a sum with a step for every input on the rail."""
    explained = recorded(snapshot(DEVICES), "V").explain("M:rail_current_a.V5/max")
    assert explained.value == pytest.approx(0.223)
    assert explained.origin is not None


def test_what_hangs_on_a_rail() -> None:
    """Inputs and loads in natural order, loads of other modules left out."""
    placements = {"L10": Placement(on=("M",), rail="V5"), "L2": Placement(on=("M",), rail="V5"),
                  "L3": Placement(on=("N",), rail="V5")}  # fmt: skip
    on_it = feeding(snapshot(DEVICES, **placements).proposal.variants["V"], "M", "V5")
    assert on_it.inputs == ("U2 input", "U4 main", "U5 main")
    assert on_it.loads == ("L2", "L10")


@pytest.mark.parametrize(
    ("outputs", "mode", "stands"),
    [
        ({"A": 0.05, "B": 0.1599}, "B", "within"),
        ({"A": 0.05, "B": 0.1601}, "B", "little left"),
        ({"A": 0.05, "B": 0.2}, "B", "little left"),
        ({"A": 0.2001, "B": 0.1}, "A", "above"),
        ({"A": 0.1, "B": Range(0.1, inf, frozenset("x"))}, "B", "undecided"),
        ({"A": Range(0.21, inf, frozenset("x")), "B": 0.1}, "A", "above"),
    ],
)
def test_a_supply_is_held_against_what_it_can_give(outputs: dict[str, Value], mode: str, stands: str) -> None:
    """The worst mode counts; of 200 mA, 80 % may be used (setting), and what is not known well enough is undecided."""
    state = snapshot(DEVICES)
    module = state.proposal.variants["V"].modules["M"]
    load = supply_load(state, module, "U1", outputs)
    assert load is not None
    assert (load.mode, load.stands, load.limit_a) == (mode, stands, 0.2)


def test_a_supply_of_which_no_limit_is_known_is_undecided() -> None:
    """Without the current that it can give nothing is said of it; one that gives nothing has no load."""
    state = snapshot(DEVICES)
    module = state.proposal.variants["V"].modules["M"]
    load = supply_load(state, module, "U2", {"A": 0.1})
    assert load is not None
    assert (load.stands, load.limit_a) == ("undecided", None)
    assert supply_load(state, module, "U2", {}) is None


@pytest.mark.parametrize(("limit_a", "stands"), [(0.4, "undecided"), (0.2, "above")])
def test_a_device_of_which_nothing_is_known_leaves_a_supply_undecided(limit_a: float, stands: str) -> None:
    """What an unknown part draws from a rail behind it may be anything; beyond the limit it is beyond all the same."""
    state = snapshot({**DEVICES, "U6": Device(part="mystery", supply={"main": "V33"})})
    parts = {**PARTS, "buck5": msgspec.structs.replace(PARTS["buck5"], output_current_a=limit_a)}
    output_a = recorded(state, "V").explain("M.U1:output_a@ON/max").value
    assert isinstance(output_a, Range)
    assert output_a.low == pytest.approx(0.223)
    module = state.proposal.variants["V"].modules["M"]
    load = supply_load(Snapshot(proposal=state.proposal, parts=parts), module, "U1", {"ON": output_a})
    assert load is not None
    assert load.stands == stands
