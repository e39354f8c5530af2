"""The supply tree of a module: rails, converters, and consumers that hang on nothing."""

from math import inf

import pytest

from bomtui.engine.calc import PLAIN
from bomtui.engine.supply import SupplyTree, is_fed, own_current, supply_plan, supply_tree
from bomtui.model.bound import Range
from bomtui.model.parameter import Parameter
from bomtui.model.part import Part, SupplyNeed
from bomtui.model.settings import Electronics
from bomtui.model.variant import BATTERY, Device, Module, Rail


def _need(current_a: float, rail_v: float | None = None, idle_a: float | None = None) -> SupplyNeed:
    return SupplyNeed(
        voltage_v=rail_v,
        current_a=Parameter(typ=current_a, max=2 * current_a),
        idle_current_a=None if idle_a is None else Parameter(typ=idle_a),
    )


PARTS = {
    "cpu": Part(kind="controller", supplies={"main": _need(0.78, 3.3)}),
    "bus": Part(kind="transceiver_can", supplies={"main": _need(0.048, 5.0, idle_a=0.005)}),
    "switch": Part(kind="high_side", supplies={"main": _need(0.01)}),
    "buck12": Part(
        kind="dcdc",
        converter="switching",
        output_v=12.0,
        efficiency_ratio=Parameter(min=0.90, typ=0.93),
        supplies={"input": _need(0.0)},
    ),
    "buck33": Part(
        kind="dcdc",
        converter="switching",
        output_v=3.3,
        efficiency_ratio=Parameter(min=0.85, typ=0.89),
        supplies={"input": _need(0.0)},
    ),
    "silent": Part(kind="memory"),
    "linear5": Part(kind="ldo", converter="linear", output_v=5.0, supplies={"input": _need(0.001)}),
}


def _tree(module: Module, battery_v: float | None = 28.0, *, worst: bool = False) -> SupplyTree:
    return supply_tree(PLAIN, supply_plan(PLAIN, "M", module, PARTS, Electronics(), worst=worst), battery_v)


def _chain() -> Module:
    return Module(
        rails={"V12": Rail(voltage_v=12.0, source="U2"), "V33": Rail(voltage_v=3.3, source="U3")},
        devices={
            "U1": Device(part="cpu", supply={"main": "V33"}),
            "U2": Device(part="buck12", supply={"input": BATTERY}),
            "U3": Device(part="buck33", supply={"input": "V12"}),
        },
    )


def test_current_through_two_converters() -> None:
    """0.78 A at 3.3 V through 89 % and 93 % is 0.78 x 3.3 / (0.89 x 0.93 x 28) at the battery."""
    tree = _tree(_chain())
    assert tree.battery_a == pytest.approx(0.78 * 3.3 / (0.89 * 0.93 * 28.0))
    assert tree.rail_a["V12"] == pytest.approx(0.78 * 3.3 / (0.89 * 12.0))


def test_worst_corner_takes_largest_current_and_lowest_efficiency() -> None:
    """At the worst corner the largest current meets the lowest efficiencies."""
    assert _tree(_chain(), 24.0, worst=True).battery_a == pytest.approx(1.56 * 3.3 / (0.85 * 0.90 * 24.0))


def test_linear_supply_passes_its_current_through() -> None:
    """A linear supply draws what its rail draws, plus its own current; a bus driver counts with its mean."""
    module = Module(
        rails={"V5": Rail(voltage_v=5.0, source="U2")},
        devices={
            "U1": Device(part="bus", supply={"main": "V5"}),
            "U2": Device(part="linear5", supply={"input": BATTERY}),
            "U3": Device(part="switch", supply={"main": BATTERY}),
        },
    )
    assert _tree(module).battery_a == pytest.approx((0.048 + 0.005) / 2 + 0.001 + 0.01)
    assert _tree(module, worst=True).battery_a == pytest.approx(0.096 + 0.002 + 0.02)


@pytest.mark.parametrize("rail", ["", "V5"])
def test_consumer_on_nothing_is_a_bounded_term(rail: str) -> None:
    """A supply input without a rail, or on one that nothing makes, makes the current a range that names it.

    0.78 A at 3.3 V from 28 V: without losses and 10 % below 0.9 x 3.3 x 0.78 / 28 = 0.082736 A; a linear supply passes
    it through, 10 % above and with its own 5 mA 1.1 x 0.78 + 0.005 = 0.863 A.
    """
    module = Module(
        devices={
            "U1": Device(part="cpu", supply={"main": rail} if rail else {}),
            "U3": Device(part="switch", supply={"main": BATTERY}),
        }
    )
    current = _tree(module).battery_a
    assert isinstance(current, Range)
    assert current.low == pytest.approx(0.01 + 0.0827357)
    assert current.high == pytest.approx(0.01 + 0.863)
    assert current.unknown == frozenset({"M.U1 supply.main"})
    assert _tree(module, None).battery_a == Range(0.01, inf, frozenset({"M.U1 supply.main"}))
    assert not is_fed(module, rail, PARTS)


def test_rail_of_another_voltage_is_not_made() -> None:
    """A rail whose source makes another voltage feeds nobody."""
    module = Module(
        rails={"V5": Rail(voltage_v=5.0, source="U3")},
        devices={
            "U1": Device(part="bus", supply={"main": "V5"}),
            "U3": Device(part="buck33", supply={"input": BATTERY}),
        },
    )
    assert not is_fed(module, "V5", PARTS)


def test_rails_in_a_circle_are_unknown() -> None:
    """What hangs on rails that feed each other is an unknown term of the battery current, never nothing."""
    module = Module(
        rails={"V33": Rail(voltage_v=3.3, source="U1")},
        devices={
            "U1": Device(part="buck33", supply={"input": "V33"}),
            "U2": Device(part="cpu", supply={"main": "V33"}),
        },
    )
    current = _tree(module).battery_a
    assert isinstance(current, Range)
    assert current.low == pytest.approx(0.9 * 3.3 * 0.78 / 28)
    assert current.high == inf
    assert current.unknown == frozenset({"M.U1 supply.input", "M.U2 supply.main"})


def test_part_that_is_not_frozen_is_an_unknown_term() -> None:
    """A device whose part nobody knows is missing from the current by name."""
    module = Module(devices={"U1": Device(part="ghost", supply={"main": BATTERY})})
    assert _tree(module).battery_a == Range(0.0, inf, frozenset({"M.U1 parts.ghost"}))


@pytest.mark.parametrize("part", ["ghost", "silent"])
def test_a_device_of_unknown_draw_is_an_unknown_term_of_its_rail(part: str) -> None:
    """What a supply gives to its rail is a lower bound where a device on it is not known, and so is what it draws."""
    module = Module(
        rails={"V5": Rail(voltage_v=5.0, source="U2")},
        devices={
            "U1": Device(part="bus", supply={"main": "V5"}),
            "U2": Device(part="linear5", supply={"input": BATTERY}),
            "U3": Device(part=part, supply={"vdd": "V5"}),
        },
    )
    tree = _tree(module)
    for value, least_a in ((tree.output_a["U2"], 0.0265), (tree.battery_a, 0.0275)):
        assert isinstance(value, Range)
        assert value.low == pytest.approx(least_a)
        assert (value.high, value.unknown) == (inf, frozenset({"M.U3 supply.vdd"}))


def test_unknown_battery_voltage_leaves_the_converter_unknown() -> None:
    """Without a supply voltage a switching converter's current is not known."""
    assert _tree(_chain(), None).battery_a == Range(0.0, inf, frozenset({"M.U2 supply.input"}))


def test_draw_inside_a_load_is_not_counted_twice() -> None:
    """A device whose draw a load's battery current already holds adds nothing."""
    module = Module(devices={"U1": Device(part="switch", supply={"main": BATTERY}, counted_in_load="K1")})
    assert _tree(module).battery_a == 0.0


def test_worst_corner_of_a_bus_driver_is_its_larger_state() -> None:
    """A node that draws more while its bus rests than while it sends is counted at rest, at the worst corner."""
    low, high = Parameter(typ=0.08, max=0.0928), Parameter(typ=0.09, max=0.1)
    resting = Part(kind="transceiver_eth", supplies={"main": SupplyNeed(current_a=low, idle_current_a=high)})
    sending = Part(kind="transceiver_eth", supplies={"main": SupplyNeed(current_a=high, idle_current_a=low)})
    for part in (resting, sending):
        assert own_current(PLAIN, part, part.supplies["main"], 0.5, worst=True) == pytest.approx(0.1)
    unknown = SupplyNeed(current_a=Parameter(), idle_current_a=Parameter(typ=0.1))
    worst = own_current(PLAIN, resting, unknown, 0.5, worst=True)
    assert isinstance(worst, Range)
    assert worst.low == pytest.approx(0.1)
    silent = own_current(PLAIN, sending, SupplyNeed(current_a=high), 0.5, worst=True)
    assert isinstance(silent, Range)
    assert (silent.low, silent.unknown) == (0.1, frozenset({"idle"}))
