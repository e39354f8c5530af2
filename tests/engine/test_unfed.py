"""What is known of inputs that hang on nothing: whatever supply is chosen, its current lies between the bounds."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bomtui.engine.calc import PLAIN
from bomtui.engine.supply import SupplyTree, supply_plan, supply_tree
from bomtui.engine.unfed import least_efficiency_ratio, rail_v, unfed_efficiency, unfed_input, unfed_quiescent
from bomtui.model.bound import Range, Value, ends
from bomtui.model.parameter import Parameter
from bomtui.model.part import Part, SupplyNeed
from bomtui.model.settings import Electronics
from bomtui.model.variant import BATTERY, Device, Module, Rail

NAME = "M.U1 supply.main"
SETTINGS = Electronics()


def _tree(need: SupplyNeed, battery_v: Value, supply: Part | None = None) -> SupplyTree:
    parts = {"chip": Part(kind="controller", supplies={"main": need})}
    module = Module(devices={"U1": Device(part="chip", supply={})})
    if supply is not None:
        assert supply.output_v is not None
        parts["supply"] = supply
        module = Module(
            rails={"V": Rail(voltage_v=supply.output_v, source="U2")},
            devices={
                "U1": Device(part="chip", supply={"main": "V"}),
                "U2": Device(part="supply", supply={"input": BATTERY}),
            },
        )
    return supply_tree(PLAIN, supply_plan(PLAIN, "M", module, parts, SETTINGS, worst=False), battery_v)


def test_rail_off_its_voltage() -> None:
    """3.3 V, 10 % off: 2.97 V and 3.63 V (definition)."""
    assert rail_v(3.3, -0.1) == pytest.approx(2.97)
    assert rail_v(3.3, 0.1) == pytest.approx(3.63)


@pytest.mark.parametrize(("output_v", "input_v", "least"), [(3.3, 26.4, 0.125), (3.3, 6.0, 0.5), (5.0, 4.0, 0.5)])
def test_poorest_supply(output_v: float, input_v: float, least: float) -> None:
    """A linear one where it is poorer than the poorest converter: 3.3 V from 26.4 V is an eighth (power balance)."""
    assert least_efficiency_ratio(0.5, output_v, input_v) == pytest.approx(least)


def test_what_is_known_names_the_input() -> None:
    """Voltage, efficiency and own current are ranges that name the input; the battery voltage adds what it lacks."""
    unfed = unfed_input(PLAIN, NAME, SupplyNeed(voltage_v=5.0), 0.1, SETTINGS)
    assert unfed is not None
    assert unfed.voltage_v == Range(4.5, 5.5, frozenset({NAME}))
    assert unfed_quiescent(PLAIN, unfed) == Range(0.0, 0.005, frozenset({NAME}))
    assert unfed_efficiency(PLAIN, unfed, 25.0) == Range(0.2, 1.0, frozenset({NAME}))
    battery_v = Range(20.0, 25.0, frozenset({"supply"}))
    assert unfed_efficiency(PLAIN, unfed, battery_v) == Range(0.2, 1.0, frozenset({NAME, "supply"}))
    assert unfed_efficiency(PLAIN, unfed, None) is None


def test_input_that_takes_the_battery_is_not_bounded() -> None:
    """An input without a voltage of its own asks for the battery: of what hangs on nothing there nothing is known."""
    assert unfed_input(PLAIN, NAME, SupplyNeed(), 0.1, SETTINGS) is None


def test_own_heat_of_a_chip_without_a_rail() -> None:
    """It sees the voltage that it asks for within the tolerance of rails: 0.1 A at 4.5 V to 5.5 V."""
    tree = _tree(SupplyNeed(voltage_v=5.0, current_a=Parameter(typ=0.1)), 24.0)
    assert tree.input_v("U1", "main") == Range(4.5, 5.5, frozenset({NAME}))
    assert tree.input_a("U1", "main") == pytest.approx(0.1)


@given(
    output_v=st.floats(1.0, 12.0),
    current_a=st.floats(0.0, 5.0),
    battery_v=st.floats(5.0, 58.0),
    off_ratio=st.floats(-0.1, 0.1),
    efficiency=st.floats(0.5, 1.0),
    quiescent_a=st.floats(0.0, 0.005),
    converter=st.sampled_from(["linear", "switching"]),
)
def test_every_supply_lies_within_the_bounds(
    output_v: float,
    current_a: float,
    battery_v: float,
    off_ratio: float,
    efficiency: float,
    quiescent_a: float,
    converter: str,
) -> None:
    """A supply within the tolerance, no poorer and no thirstier than the settings say, takes what the bounds say."""
    made_v = output_v * (1 + off_ratio)
    if converter == "linear" and made_v > battery_v:
        converter = "switching"  # No linear supply makes more than it gets.
    supply = Part(
        kind="dcdc",
        converter=converter,
        output_v=made_v,
        efficiency_ratio=Parameter(typ=efficiency),
        supplies={"input": SupplyNeed(current_a=Parameter(typ=quiescent_a))},
    )
    chosen = _tree(SupplyNeed(voltage_v=made_v, current_a=Parameter(typ=current_a)), battery_v, supply).battery_a
    open_a = _tree(SupplyNeed(voltage_v=output_v, current_a=Parameter(typ=current_a)), battery_v).battery_a
    assert isinstance(chosen, float)
    assert open_a is not None
    low, high = ends(open_a)
    assert low * (1 - 1e-9) <= chosen <= high * (1 + 1e-9)
