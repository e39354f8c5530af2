"""Junction temperature in closed form, runaway, and loss formulas worked by hand."""

from math import inf

import pytest

from bomtui.engine.calc import PLAIN
from bomtui.engine.heat import (
    balance,
    conduction_w,
    inductive_switching_w,
    junction_degc,
    linear_loss_w,
    resistance_slope_per_k,
    resistive_switching_w,
    switching_loss_w,
)
from bomtui.model.bound import Range

SLOPE = resistance_slope_per_k(1.9)


def _iterated(air: float, theta: float, constant: float, cold: float) -> float:
    """Solve Tj = Ta + theta P(Tj) by bisection, an independent way to the same number."""
    low, high = air, 100_000.0
    for _ in range(200):
        middle = (low + high) / 2
        heat = constant + cold * (1 + SLOPE * (middle - 25))
        low, high = (middle, high) if air + theta * heat > middle else (low, middle)
    return low


@pytest.mark.parametrize(
    ("air", "theta", "constant", "cold"), [(120, 29, 3.45, 0.351), (90, 24, 0.0, 1.6), (100, 45, 1.0, 0.2)]
)
def test_closed_form_is_the_balance(air: float, theta: float, constant: float, cold: float) -> None:
    """The closed form solves the balance that bisection solves."""
    assert junction_degc(air, theta, constant, cold, SLOPE) == pytest.approx(_iterated(air, theta, constant, cold))


def test_quad_on_all_channels() -> None:
    """16 mohm, 5 A on all four, 24 K/W, 100 degC air: 181.7 degC and 3.41 W, solved self-consistently (by hand)."""
    cold = 4 * conduction_w(5.0, 0.016, 1.0)
    power, junction, runaway = balance(PLAIN, 100.0, 24.0, 0.0, cold, SLOPE)
    assert not runaway
    assert junction == pytest.approx(181.7, abs=0.05)
    assert power == pytest.approx(3.41, abs=0.005)


def test_fan_at_100_hz_on_a_slow_switch() -> None:
    """11.2 A at 28 V, edges of 110 us each, 100 Hz: 3.45 W of switching beside 0.95 W of hot conduction (by hand)."""
    assert inductive_switching_w(28.0, 11.2, 1, 1, 110e-6, 110e-6, 100.0, 1.0) == pytest.approx(3.45, abs=0.005)
    assert conduction_w(11.2, 0.004, 1.0) * 1.9 == pytest.approx(0.95, abs=0.005)


def test_resistive_edges_cost_a_third() -> None:
    """Voltage and current moving together lose V I t / 6 an edge, a third of an edge at full current."""
    half = inductive_switching_w(28.0, 8.4, 1, 1, 110e-6, 110e-6, 50.0, 1.0)
    sixth = resistive_switching_w(28.0, 8.4, 1, 1, 110e-6, 110e-6, 50.0, 1.0)
    assert (half, sixth) == pytest.approx((1.29, 0.43), abs=0.005)


def test_edge_energy_of_a_linear_resistive_edge_by_integration() -> None:
    """The integral of V (1 - s) I s over one edge is V I t / 6: summed in 10,000 steps."""
    steps = 10_000
    integral = sum(28.0 * (1 - row / steps) * 8.4 * row / steps for row in range(steps)) * 110e-6 / steps
    assert resistive_switching_w(28.0, 8.4, 1, 1, 110e-6, 0.0, 1.0, 1.0) == pytest.approx(integral, rel=1e-6)


@pytest.mark.parametrize(("output_a", "input_v", "loss_w"), [(0.12, 13.5, 1.02), (0.12, 28.0, 2.76)])
def test_linear_supply_heat(output_a: float, input_v: float, loss_w: float) -> None:
    """120 mA at 5 V cost 1.02 W from 13.5 V and 2.76 W from 28 V."""
    assert linear_loss_w(input_v, 5.0, output_a, 0.0) == pytest.approx(loss_w)


def test_converter_heat() -> None:
    """2 A at 5 V at 80 % make 2.5 W of heat, and 1 mA of its own at 28 V adds 28 mW."""
    assert switching_loss_w(28.0, 5.0, 2.0, 0.8, 0.001) == pytest.approx(2.528)


def test_switching_counts_only_while_it_is_on_and_in_every_path() -> None:
    """A tenth of the time makes a tenth of the loss; two channels with half the current each lose what one does."""
    whole = inductive_switching_w(28.0, 11.2, 1, 1, 110e-6, 110e-6, 100.0, 1.0)
    assert inductive_switching_w(28.0, 11.2, 1, 1, 110e-6, 110e-6, 100.0, 0.1) == pytest.approx(whole / 10)
    assert inductive_switching_w(28.0, 11.2, 2, 2, 110e-6, 110e-6, 100.0, 1.0) == pytest.approx(whole)


@pytest.mark.parametrize(("gain", "runs_away"), [(0.999, False), (1.0, True), (1.5, True)])
def test_runaway_from_gain_one_upwards(gain: float, runs_away: bool) -> None:
    """At a loop gain of 1 there is no balance: no temperature and no heat are given, and the result says so."""
    cold = gain / (30.0 * SLOPE)
    power, junction, runaway = balance(PLAIN, 90.0, 30.0, 0.0, cold, SLOPE)
    assert runaway is runs_away
    assert (power is None, junction is None) == (runs_away, runs_away)


def test_unknown_loss_leaves_lower_bounds() -> None:
    """With an unknown load the junction is at least what the known loads make of it."""
    cold = Range(0.3, inf, frozenset({"L7"}))
    power, junction, runaway = balance(PLAIN, 90.0, 30.0, 0.1, cold, SLOPE)
    known_power, known_junction, _ = balance(PLAIN, 90.0, 30.0, 0.1, 0.3, SLOPE)
    assert not runaway
    assert power == Range(known_power, inf, frozenset({"L7"}))  # type: ignore[arg-type]
    assert junction == Range(known_junction, inf, frozenset({"L7"}))  # type: ignore[arg-type]


@pytest.mark.parametrize("missing", ["air", "theta", "slope"])
def test_missing_thermal_data_give_no_temperature(missing: str) -> None:
    """Without air temperature, theta or hot factor there is no junction temperature."""
    known: dict[str, float | None] = {"air": 90.0, "theta": 30.0, "slope": SLOPE, missing: None}
    _, junction, runaway = balance(PLAIN, known["air"], known["theta"], 0.1, 0.3, known["slope"])
    assert (junction, runaway) == (None, False)


def test_hotter_never_helps() -> None:
    """The junction rises with air, theta, constant heat, conduction and slope."""
    base = (90.0, 30.0, 0.5, 0.4, SLOPE)
    start = junction_degc(*base)
    for row in range(len(base)):
        raised = list(base)
        raised[row] *= 1.05
        assert junction_degc(*raised) > start
