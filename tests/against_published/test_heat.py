"""Junction, switching and supply heat against worked examples; where each was seen stands beside it."""

import random

import pytest
from scipy.optimize import brentq

from bomtui.engine.calc import PLAIN
from bomtui.engine.heat import (
    balance,
    conduction_w,
    inductive_switching_w,
    linear_loss_w,
    loop_gain_ratio,
    plain_junction_degc,
    switching_loss_w,
)
from bomtui.engine.on_heat import needed_theta_k_per_w
from bomtui.engine.on_losses import amplifier_w
from bomtui.engine.supply import switching_input_current_a
from bomtui.model.bound import exceeds

# Current, on-resistance at 25 degC, its slope, theta, air, junction, junction with the cold on-resistance.
# Source: derivation, Tj = (Ta + k (1 - 25 a)) / (1 - k a) with k = I^2 R25 theta.
FEEDBACK = [
    (5.0, 0.020, 0.005, 40.0, 85.0, 113.889, 105.0),
    (3.0, 0.050, 0.005, 40.0, 85.0, 110.714, 103.0),
    (10.0, 0.012, 0.006, 40.0, 85.0, 176.685, 133.0),
]


@pytest.mark.parametrize(
    ("current_a", "rds_on_ohm", "slope_per_k", "theta_k_per_w", "air_degc", "junction_degc", "cold_degc"), FEEDBACK
)
def test_heat_and_resistance_feed_each_other(
    current_a: float,
    rds_on_ohm: float,
    slope_per_k: float,
    theta_k_per_w: float,
    air_degc: float,
    junction_degc: float,
    cold_degc: float,
) -> None:
    """The cold on-resistance passes a limit of 150 degC that the true junction fails (third row)."""
    cold_w = conduction_w(current_a, rds_on_ohm, 1.0)
    _, junction, runaway = balance(PLAIN, air_degc, theta_k_per_w, 0.0, cold_w, slope_per_k)
    assert not runaway
    assert junction == pytest.approx(junction_degc, abs=0.001)
    assert plain_junction_degc(air_degc, theta_k_per_w, cold_w) == pytest.approx(cold_degc, abs=0.001)


@pytest.mark.parametrize(("current_a", "runs_away"), [(15.80, False), (15.82, True)])
def test_runaway_begins_where_the_loop_gain_is_one(current_a: float, runs_away: bool) -> None:
    """20 mohm with 0.5 %/K at 40 K/W has no balance from 15.81 A on (derivation): then there is no number."""
    cold_w = conduction_w(current_a, 0.020, 1.0)
    power, junction, runaway = balance(PLAIN, 85.0, 40.0, 0.0, cold_w, 0.005)
    assert runaway is runs_away
    assert ((power is None) and (junction is None)) is runs_away
    assert (loop_gain_ratio(40.0, cold_w, 0.005) >= 1) is runs_away


def test_passes_of_the_application_text_converge() -> None:
    """Guessing, reading the hot on-resistance and guessing again gives 111.0, 113.6, 113.86 degC in three passes.

    Source: procedure of maker's application texts (TPS2062-1, TPS2041B-Q1; seen), figures derived. The closed form is
    what the passes go to.
    """
    passes = []
    junction = 85.0
    for _ in range(3):
        junction = 85.0 + 40.0 * 0.5 * (1 + 0.005 * (junction - 25))
        passes.append(junction)
    assert passes == pytest.approx([111.0, 113.6, 113.86], abs=0.001)
    _, closed, _ = balance(PLAIN, 85.0, 40.0, 0.0, 0.5, 0.005)
    assert isinstance(closed, float)
    assert closed == pytest.approx(113.889, abs=0.001)
    assert passes[-1] < closed < passes[-1] + 0.03


def root(air_degc: float, theta_k_per_w: float, constant_w: float, cold_w: float, slope_per_k: float) -> float:
    """The root of Tj = Ta + theta P(Tj) by Brent's method, which knows nothing of the closed form."""

    def too_cold_k(junction_degc: float) -> float:
        heat_w = constant_w + cold_w * (1 + slope_per_k * (junction_degc - 25))
        return air_degc + theta_k_per_w * heat_w - junction_degc

    return float(brentq(too_cold_k, air_degc - 1, 1e6, xtol=1e-9, rtol=1e-12))


def test_closed_form_on_a_thousand_random_cases() -> None:
    """Wherever there is a balance, the closed form is the root that scipy finds; elsewhere there is none."""
    chance = random.Random(20)
    wild = 0
    for _ in range(1000):
        air, theta = chance.uniform(-40, 125), chance.uniform(10, 90)
        constant, cold, slope = chance.uniform(0, 5), chance.uniform(0, 6), chance.uniform(0.003, 0.009)
        power, junction, runaway = balance(PLAIN, air, theta, constant, cold, slope)
        if runaway:
            wild += 1
            assert theta * cold * slope >= 1
            continue
        assert isinstance(junction, float)
        assert isinstance(power, float)
        if junction < 1e5:
            assert junction == pytest.approx(root(air, theta, constant, cold, slope), rel=1e-6, abs=1e-6)
            assert power == pytest.approx((junction - air) / theta, rel=1e-6)
    assert 50 < wild < 950


def test_largest_current_of_a_switch() -> None:
    """0.099 ohm at 115 K/W carries 3.3135 A from 25 to 150 degC.

    Source: inputs of a university design note, seen; the current is recomputed.
    """
    assert plain_junction_degc(25.0, 115.0, conduction_w(3.3135, 0.099, 1.0)) == pytest.approx(150.0, abs=0.01)


# Source: two calculator pages for MOSFET losses, seen. Both edges are in the sum of the times: the second page's advice
# to multiply once more by 2 to 3 is wrong.
@pytest.mark.parametrize(("edges_s", "loss_w"), [((25e-9, 25e-9), 0.15), ((50e-9, 50e-9), 0.3)])
def test_switching_loss_of_the_calculators(edges_s: tuple[float, float], loss_w: float) -> None:
    """12 V and 5 A at 100 kHz lose 0.15 W in edges of 50 ns together, and 0.3 W in edges of 50 ns each."""
    assert inductive_switching_w(12.0, 5.0, 1, 1, *edges_s, 100e3, 1.0) == pytest.approx(loss_w)


def test_conduction_beside_it() -> None:
    """50 mohm at 5 A add 1.25 W to the 0.15 W of switching: 1.4 W in all (the first of the two pages)."""
    assert conduction_w(5.0, 0.050, 1.0) + inductive_switching_w(
        12.0, 5.0, 1, 1, 25e-9, 25e-9, 100e3, 1.0
    ) == pytest.approx(1.4)


# Input, output, current, theta, air, heat, junction. Source: worked examples of two calculator pages and of a lesson
# with a thermal chain of 5 + 1 + 10 K/W, all seen.
LINEAR = [
    (12.0, 5.0, 0.5, 50.0, 25.0, 3.5, 200.0),
    (12.0, 5.0, 0.2, 80.0, 25.0, 1.4, 137.0),
    (12.0, 5.0, 1.0, 16.0, 25.0, 7.0, 137.0),
]


@pytest.mark.parametrize(
    ("input_v", "output_v", "output_a", "theta_k_per_w", "air_degc", "heat_w", "junction_degc"), LINEAR
)
def test_linear_supplies(
    input_v: float,
    output_v: float,
    output_a: float,
    theta_k_per_w: float,
    air_degc: float,
    heat_w: float,
    junction_degc: float,
) -> None:
    """A linear supply turns the voltage between input and output into heat, and its chip gets as hot as printed."""
    heat = linear_loss_w(input_v, output_v, output_a, 0.0)
    assert heat == pytest.approx(heat_w)
    assert plain_junction_degc(air_degc, theta_k_per_w, heat) == pytest.approx(junction_degc)


def test_corners_of_a_linear_supply() -> None:
    """Input within 5 %, output within 2 %, current within 20 %: 1.008 to 1.848 W (one of the two pages, seen)."""
    low = linear_loss_w(12.0 * 0.95, 5.0 * 1.02, 0.2 * 0.8, 0.0)
    high = linear_loss_w(12.0 * 1.05, 5.0 * 0.98, 0.2 * 1.2, 0.0)
    assert (low, high) == pytest.approx((1.008, 1.848))


def test_rating_by_power() -> None:
    """600 mW from 25 to 150 degC are 208.3 K/W; 0.18 W of it at 40 degC are 77.5 degC (maker's lesson, inputs seen)."""
    assert needed_theta_k_per_w(150.0, 25.0, 0.6, 0.0, 0.0) == pytest.approx(208.33, abs=0.01)
    heat = linear_loss_w(3.6, 1.8, 0.1, 0.0)
    assert plain_junction_degc(40.0, 208.333, heat) == pytest.approx(77.5, abs=0.01)


def test_buck_of_a_lesson() -> None:
    """5 V and 1 A at 90 % from 12 V take 0.46296 A and lose 0.5556 W (teaching page, seen: 80 to 95 % is usual)."""
    assert switching_input_current_a(1.0, 5.0, 0.90, 12.0, 0.0) == pytest.approx(0.46296, abs=1e-5)
    assert switching_loss_w(12.0, 5.0, 1.0, 0.90, 0.0) == pytest.approx(0.5556, abs=1e-4)


# Source: audio reference text, seen: class D at 80 to 92 %, class AB at 50 to 65 %; prints 176 W and 667 W. The two
# channels of 50 W are common practice, no source.
@pytest.mark.parametrize(
    ("power_w", "efficiency", "heat_w"),
    [(1000.0, 0.85, 176.5), (1000.0, 0.60, 666.7), (100.0, 0.90, 11.11), (100.0, 0.60, 66.67)],
)
def test_amplifier_at_full_power(power_w: float, efficiency: float, heat_w: float) -> None:
    """At full power an amplifier turns P (1 / eta - 1) into heat; speech and music take a share of that by setting."""
    assert amplifier_w(power_w, 1.0, efficiency) == pytest.approx(heat_w, abs=0.1)
    assert amplifier_w(power_w, 0.125, efficiency) == pytest.approx(heat_w / 8, abs=0.02)


def test_a_limit_that_is_met_exactly_is_kept() -> None:
    """At the theta that a chip needs, its junction is at the limit and not above it."""
    theta = needed_theta_k_per_w(150.0, 85.0, 0.2, 0.5, 0.005)
    _, junction, _ = balance(PLAIN, 85.0, theta, 0.2, 0.5, 0.005)
    assert junction == pytest.approx(150.0)
    assert exceeds(junction, 150.001) is False
