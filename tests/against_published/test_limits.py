"""Test voltages, grades, inrush, lamp life and parking time against standards and texts, most of them second-hand."""

import pytest

from bomtui.engine.battery import parking_days, self_discharge_a, usable_charge_as
from bomtui.engine.grade import GRADE_MAX_DEGC
from bomtui.engine.inrush import filament_inrush_a
from bomtui.engine.lamp_life import life_ratio
from bomtui.engine.load_current import rated_current_a
from bomtui.engine.parking import cold_parking_s
from bomtui.engine.supply_range import supply_high_v, supply_low_v
from bomtui.model.limits import LEVELS, Levels, Limits, levels_of
from bomtui.model.vehicle import Mode

AH = 3600.0
HOT_OVER_COLD = {2400: 12.458, 2500: 13.081, 2700: 14.343, 2800: 14.991, 3000: 16.290}
"""Resistance of a filament over that at 300 K. Source: resistivity of tungsten by Forsythe and Worthing 1925, seen in
two public codes; the ratios are recomputed."""


@pytest.mark.parametrize(
    ("supply", "name", "level_v"),
    [
        # ISO 16750-2:2010 cl. 4.6.4 and :2012 cl. 4.6.4, load dump test B, seen second-hand in waveform files.
        ("12 V", "load_dump_v", 35.0),
        ("24 V", "load_dump_v", 58.0),
        # LV 148 test E48-02, seen second-hand in waveform files.
        ("48 V", "load_dump_v", 70.0),
        # ISO 16750-2 cl. 4.3 and 4.7, from memory.
        ("12 V", "jump_start_v", 24.0),
        ("24 V", "jump_start_v", 36.0),
        ("12 V", "reverse_v", 14.0),
        ("24 V", "reverse_v", 28.0),
        # Common practice, no source.
        ("12 V", "filament_v", 13.2),
        ("24 V", "filament_v", 26.4),
    ],
)
def test_levels_of_the_supply_classes(supply: str, name: str, level_v: float) -> None:
    """The test voltages that a proposal does not set itself are those of its supply class."""
    assert getattr(levels_of(Levels(), supply), name) == level_v
    assert getattr(levels_of(Levels(**{name: 1.0}), supply), name) == 1.0


def test_a_class_without_a_test_and_a_vehicle_without_a_class() -> None:
    """48 V vehicles know no reversed battery; of a vehicle of unknown supply nothing is known."""
    assert LEVELS["48 V"].reverse_v is None
    assert levels_of(Levels(), None) == Levels()


def test_ambient_grades() -> None:
    """AEC-Q100, seen second-hand in two places: 150, 125, 105 and 85 degC."""
    assert GRADE_MAX_DEGC == {"G0": 150.0, "G1": 125.0, "G2": 105.0, "G3": 85.0}


@pytest.mark.parametrize("ratio", HOT_OVER_COLD.values())
def test_ideal_inrush_is_the_ratio_of_resistances(ratio: float) -> None:
    """Without a loop the inrush is the steady current times hot over cold resistance."""
    assert filament_inrush_a(13.2, 4.394, ratio, 0.0) == pytest.approx(4.394 * ratio)


def test_inrush_of_a_headlamp() -> None:
    """58 W at 13.2 V and 2800 K: 4.394 A times 14.99 is 65.9 A at an ideal source, and a fifth less through 50 mohm.

    Source: UN R37 sheet H7, 58 W seen second-hand in a lamp forum only; ratio by the resistivity of tungsten.
    """
    steady = rated_current_a(58.0, 13.2)
    assert filament_inrush_a(13.2, steady, HOT_OVER_COLD[2800], 0.0) == pytest.approx(65.9, abs=0.1)
    assert filament_inrush_a(13.2, steady, HOT_OVER_COLD[2800], 0.05) == pytest.approx(52.7, abs=0.1)


def test_default_ratio_is_the_top_of_the_published_range() -> None:
    """An installation guide, seen second-hand, gives 10 to 15 times the steady current."""
    limits = Limits()
    assert limits.inrush_filament_max_ratio == 15.0
    assert min(HOT_OVER_COLD.values()) < limits.inrush_filament_max_ratio < max(HOT_OVER_COLD.values())


# Source: re-rating exponents of life, 12 to 16: Fink and Beaty, 11th ed., p. 22-8, and a maker's guide of 2007, seen
# second-hand; the factors are recomputed.
@pytest.mark.parametrize(
    ("supply_v", "exponent", "life"), [(14.0, 12, 0.15727), (13.5, 12, 0.24331), (13.5, 16, 0.15190)]
)
def test_life_of_a_lamp_for_12_v(supply_v: float, exponent: int, life: float) -> None:
    """At 14 V a 12 V lamp has a sixth of its life left, at 13.5 V a quarter or less."""
    assert life_ratio(supply_v, 12.0, exponent) == pytest.approx(life, abs=1e-5)
    assert 12 <= Limits().filament_life_exponent <= 16


# Source: service information quoted in a forum, seen: 40 % of 60 Ah are usable, 30 % where it is parked at 90 %.
@pytest.mark.parametrize(
    ("start", "end", "standby_a", "days"),
    [
        (1.0, 0.6, 0.025, 40.0), (1.0, 0.6, 0.030, 33.333), (1.0, 0.6, 0.050, 20.0), (1.0, 0.6, 0.085, 11.765),
        (0.9, 0.6, 0.025, 30.0), (0.9, 0.6, 0.030, 25.0), (0.9, 0.6, 0.050, 15.0), (0.9, 0.6, 0.085, 8.8235),
    ],
)  # fmt: skip
def test_days_of_a_usable_charge(start: float, end: float, standby_a: float, days: float) -> None:
    """Days are the usable charge over the standby current."""
    usable = usable_charge_as(60 * AH, start, end, 1.0)
    assert parking_days(usable, standby_a, 0.0, 0.0) == pytest.approx(days, abs=0.001)


def test_days_with_self_discharge() -> None:
    """60 Ah from full to 60 % at 30 mA and 5 % a month last 29.27 days, 33.33 without the latter (texts, seen)."""
    usable = usable_charge_as(60 * AH, 1.0, 0.6, 1.0)
    lost = self_discharge_a(60 * AH, 0.05)
    assert parking_days(usable, 0.030, 0.0, lost) == pytest.approx(29.27, abs=0.01)


def test_days_of_the_trade_and_in_the_cold() -> None:
    """70 Ah, 9.2 mA and 4 % a month: 25.2 Ah usable, 80.2 days; in the cold 48.1 (common practice, no source)."""
    usable = usable_charge_as(70 * AH, 0.9, 0.5, 0.9)
    assert usable / AH == pytest.approx(25.2)
    days = parking_days(usable, 0.0092, 0.0, self_discharge_a(70 * AH, 0.04))
    assert days == pytest.approx(80.2, abs=0.05)
    assert cold_parking_s(days, 0.6) / 86400 == pytest.approx(48.1, abs=0.05)


@pytest.mark.parametrize(
    ("name", "low_v", "high_v"),
    [
        # ISO 16750-2:2003 cl. 4.1 and :2012 cl. 4.2, seen second-hand in waveform files.
        ("12 V code A", 6.0, 16.0),
        ("24 V code E", 10.0, 32.0),
        ("24 V code F", 16.0, 32.0),
        # VDA 320 / LV 148 unlimited operation, seen second-hand in waveform files.
        ("48 V unlimited", 36.0, 52.0),
        # Low end seen second-hand: a ramp from 10.5 V at 0.5 V a minute; high end from memory.
        ("12 V code D", 10.5, 16.0),
        # Values from memory.
        ("12 V code B", 8.0, 16.0),
        ("12 V code C", 9.0, 16.0),
    ],
)
def test_supply_ranges_of_standards(name: str, low_v: float, high_v: float) -> None:
    """A mode that names a range has its ends, and its own value where it gives one."""
    assert (supply_low_v(Mode(supply_range=name)), supply_high_v(Mode(supply_range=name))) == (low_v, high_v)
    assert supply_low_v(Mode(supply_range=name, supply_low_v=1.0)) == 1.0
    assert supply_high_v(Mode(supply_range=name, supply_high_v=99.0)) == 99.0
