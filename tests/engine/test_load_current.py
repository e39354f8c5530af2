"""Currents of loads over voltage, their means, and what is unknown of them."""

from math import inf

import pytest

from bomtui.engine.calc import PLAIN
from bomtui.engine.load_current import (
    constant_power_current_a,
    inrush_a,
    load_columns,
    peak_currents,
    typical_currents,
    worst_currents,
)
from bomtui.engine.mean_ratios import dimmed_on_currents, mean_ratios
from bomtui.model.bound import Range
from bomtui.model.load import Load
from bomtui.model.vehicle import Mode, Vehicle

VEHICLE = Vehicle(supply="24 V", test_voltage_v=28.0)
NIGHT = Mode(supply_low_v=26.0, supply_nominal_v=27.0, supply_high_v=29.0)


def _load(behaviour: str, **fields: object) -> Load:
    known: dict[str, object] = {"subsystem": "S", "test_current_a": 2.0, **fields}
    return Load(behaviour=behaviour, **known)  # type: ignore[arg-type]


LOADS = {
    "H": _load("resistive"),
    "F": _load("filament", rated_power_w=70.0, rated_power_max_w=84.0, rated_voltage_v=24.0, test_current_a=3.175),
    "P": _load("constant_power"),
    "I": _load("constant_current"),
}


def test_each_behaviour_follows_the_voltage_its_own_way() -> None:
    """Resistive rises with V, filament with V^0.55 from its rating, constant power falls, constant current stays."""
    columns = load_columns(PLAIN, LOADS, VEHICLE)
    found = dict(zip(columns.ids, typical_currents(PLAIN, columns, NIGHT), strict=True))
    assert found["H"] == pytest.approx(2.0 * 27 / 28)
    assert found["F"] == pytest.approx(70 / 24 * (27 / 24) ** 0.55)
    assert found["P"] == pytest.approx(2.0 * 28 / 27)
    assert found["I"] == 2.0


def test_worst_is_at_the_end_that_hurts() -> None:
    """Constant power is worst at the lowest voltage, a filament at the highest with its largest power."""
    columns = load_columns(PLAIN, LOADS, VEHICLE)
    found = dict(zip(columns.ids, worst_currents(PLAIN, columns, NIGHT), strict=True))
    assert found["H"] == pytest.approx(2.0 * 29 / 28)
    assert found["F"] == pytest.approx(84 / 24 * (29 / 24) ** 0.55)
    assert found["P"] == pytest.approx(2.0 * 28 / 26)
    assert found["I"] == 2.0


def test_the_list_gives_the_current_at_the_test_voltage() -> None:
    """List arithmetic takes the list's own current; where it has none, the rating put to the test voltage."""
    columns = load_columns(
        PLAIN, LOADS | {"R": _load("filament", rated_power_w=21.0, rated_voltage_v=24.0, test_current_a=None)}, VEHICLE
    )
    found = dict(zip(columns.ids, columns.test_a, strict=True))
    assert found["F"] == 3.175
    assert found["R"] == pytest.approx(21 / 24 * (28 / 24) ** 0.55)


def test_unknown_supply_range_bounds_the_worst_current() -> None:
    """Without the ends of the supply range the worst current is at least that at the usual voltage."""
    columns = load_columns(PLAIN, {"H": LOADS["H"], "P": LOADS["P"]}, VEHICLE)
    found = dict(zip(columns.ids, worst_currents(PLAIN, columns, Mode(supply_nominal_v=28.0)), strict=True))
    assert found["H"] == Range(2.0, inf, frozenset({"highest supply voltage of the mode"}))
    assert found["P"] == Range(2.0, inf, frozenset({"lowest supply voltage of the mode"}))


def test_a_converter_draws_more_at_low_voltage() -> None:
    """40 W behind 87 %: 3.41 A at 13.5 V, 5.11 A at 9 V, 7.66 A at 6 V (by hand)."""
    at_test = 40 / 0.87 / 13.5
    found = [constant_power_current_a(at_test, 13.5, volts) for volts in (13.5, 9.0, 6.0)]
    assert found == pytest.approx([3.41, 5.11, 7.66], abs=0.005)


@pytest.mark.parametrize(
    ("share", "duty", "ratio"),
    [
        (0.5, {}, 0.5),
        (1.0, {"A": 0.7}, 0.7),
        (0.5, {"A": 0.4}, 0.2),
        (0.0, {"B": 0.4}, 0.0),
        (0.5, {"B": 0.4}, None),
        (None, {}, None),
    ],
)
def test_time_share_and_duty_are_two_things(share: float | None, duty: dict[str, float], ratio: float | None) -> None:
    """Their product is the mean; a duty given for other modes only leaves this one unknown, unless the load is off."""
    shares = {} if share is None else {"A": share}
    columns = load_columns(PLAIN, {"L": _load("resistive", time_share_ratio=shares, pwm_duty_ratio=duty)}, VEHICLE)
    assert mean_ratios(PLAIN, columns, "A").mean == [pytest.approx(ratio) if ratio is not None else None]


@pytest.mark.parametrize(("peak_a", "on_a", "above_a"), [(9.5, 0.95, 8.55), (0.01, 0.014, 0.0)])
def test_inrush_is_what_comes_on_top(peak_a: float, on_a: float, above_a: float) -> None:
    """An inrush counts above the steady current and never takes any away."""
    assert inrush_a(peak_a, on_a) == pytest.approx(above_a)


def test_a_dimmed_filament_is_colder_and_draws_more() -> None:
    """At a duty of 24 % a lamp's mean is 0.33 of its steady current, and its mean square 0.46 (by hand)."""
    lamp = _load("filament", time_share_ratio={"A": 1.0}, pwm_duty_ratio={"A": 0.24})
    columns = load_columns(PLAIN, {"L": lamp}, VEHICLE)
    ratios = mean_ratios(PLAIN, columns, "A")
    assert ratios.mean[0] == pytest.approx(0.331, abs=5e-4)
    assert ratios.square[0] == pytest.approx(0.456, abs=5e-4)
    assert dimmed_on_currents(PLAIN, columns, ratios, [1.0])[0] == pytest.approx(1.379, abs=5e-4)


def test_a_fan_under_pwm_takes_less_than_its_duty() -> None:
    """At a duty of 70 % a fan takes 0.41 of its full current: 0.7^2.5 by hand; the load list counts 0.7."""
    fan = _load("resistive", kind="fan", time_share_ratio={"A": 0.5}, pwm_duty_ratio={"A": 0.7})
    ratios = mean_ratios(PLAIN, load_columns(PLAIN, {"L": fan}, VEHICLE), "A")
    assert ratios.listed[0] == pytest.approx(0.35)
    assert ratios.mean[0] == pytest.approx(0.5 * 0.41, abs=5e-4)
    assert ratios.square[0] == pytest.approx(0.35)


def test_an_ignition_coil_ramps_up() -> None:
    """Half the current at the end of its dwell is the mean, a third of its square the mean square (straight ramp)."""
    coil = _load("resistive", kind="coil", drive="IGN", time_share_ratio={"A": 0.06})
    ratios = mean_ratios(PLAIN, load_columns(PLAIN, {"L": coil}, VEHICLE), "A")
    assert (ratios.listed[0], ratios.mean[0], ratios.square[0]) == pytest.approx((0.06, 0.03, 0.02))


def test_the_peak_of_a_resistance_follows_the_voltage() -> None:
    """A standing motor and a cold lamp draw more at the highest voltage; a regulated load keeps its peak."""
    loads = {key: _load(load.behaviour, peak_current_a=28.0) for key, load in LOADS.items()}
    columns = load_columns(PLAIN, loads, VEHICLE)
    found = dict(zip(columns.ids, peak_currents(PLAIN, columns, NIGHT), strict=True))
    assert found == {"H": pytest.approx(29.0), "F": pytest.approx(29.0), "P": 28.0, "I": 28.0}
