"""Dimensions, the exact text of a quantity and its text for a screen."""

import math
from decimal import Decimal

import pytest

from bomtui.model.quantity import (
    DIMENSIONS,
    display,
    display_number,
    field_key,
    number_text,
    text,
    unit_label,
)


@pytest.mark.parametrize(
    ("value", "dimension", "written"),
    [
        (0.0009637, "current", "963.7 uA"),
        (1e-12, "current", "1 pA"),
        (1000.0, "current", "1 kA"),
        (999.0, "current", "999 A"),
        (-5.0, "current", "-5 A"),
        (0.1 + 0.2, "current", "300.00000000000004 mA"),
        (0.004, "resistance", "4 mohm"),
        (2200.0, "resistance", "2.2 kohm"),
        (4.7e6, "resistance", "4.7 Mohm"),
        (85.0, "temperature", "85 degC"),
        (-40.0, "temperature", "-40 degC"),
        (0.5, "temperature", "0.5 degC"),
        (15.0, "temperature_difference", "15 K"),
        (0.6, "thermal_resistance", "0.6 K/W"),
        (0.35, "ratio", "35 %"),
        (1.85, "ratio", "185 %"),
        (0.008, "ratio", "0.8 %"),
        (4.7e-3, "capacitance", "4700 uF"),
        (5.4e-12, "capacitance", "5.4 pF"),
        (2.5e-6, "cross_section", "2.5 mm2"),
        (3.5e-7, "cross_section", "0.35 mm2"),
        (1.2e-4, "cross_section", "120 mm2"),
        (0.018, "area", "1.8 dm2"),
        (0.048, "energy", "48 mJ"),
        (95e-9, "gate_charge", "95 nC"),
        (0.0035, "mass", "3.5 g"),
        (1800.0, "mass", "1800 kg"),
        (20e3, "bit_rate", "20 kbit/s"),
        (0.0039, "temperature_coefficient", "3900 ppm/K"),
        (0.02, "temperature_coefficient", "2 %/K"),
        (40.0, "i2t", "40 A2s"),
        (-97.0, "power_level", "-97 dBm"),
        (0.2, "attenuation_per_length", "0.2 dB/m"),
        (120e-12, "capacitance_per_length", "120 pF/m"),
        (2e6, "slew_rate", "2 V/us"),
    ],
)
def test_text_uses_the_unit_that_suits_the_size(value: float, dimension: str, written: str) -> None:
    """A quantity is written with one to three digits before the point where a unit allows it."""
    assert text(value, dimension) == written


@pytest.mark.parametrize(
    ("value", "dimension", "written"),
    [
        (216000.0, "charge", "60 Ah"),
        (360.0, "charge", "100 mAh"),
        (4050.0, "charge", "1125 mAh"),
        (1.1, "charge", "1.1 As"),
        (113399.99999999999, "charge", "113399.99999999999 As"),
        (90.0, "time", "90 s"),
        (120.0, "time", "2 min"),
        (5430.0, "time", "90.5 min"),
        (5431.0, "time", "5431 s"),
        (28800.0, "time", "8 h"),
        (2592000.0, "time", "30 d"),
        (262144.0, "data_size", "256 KiB"),
        (1504.0, "data_size", "1504 byte"),
        (4194304.0, "data_size", "4 MiB"),
    ],
)
def test_text_uses_hours_and_binary_multiples_only_where_they_are_exact(
    value: float, dimension: str, written: str
) -> None:
    """A unit that is no power of ten is taken where its number ends and is no longer than the other one."""
    assert text(value, dimension) == written


@pytest.mark.parametrize(
    ("value", "dimension", "written"),
    [
        (1e-20, "current", "1e-20 A"),
        (1e-15, "current", "0.001 pA"),
        (1e12, "power", "1000000 MW"),
        (1.5e300, "time", "1.5e300 s"),
        (5e-324, "length", "5e-324 m"),
        (1e-12, "ratio", "1e-10 %"),
    ],
)
def test_text_uses_an_exponent_only_beyond_all_prefixes(value: float, dimension: str, written: str) -> None:
    """Outside of the units the digits stay plain as long as they can be read, then an exponent takes over."""
    assert text(value, dimension) == written


@pytest.mark.parametrize("dimension", sorted(DIMENSIONS))
def test_zero_is_written_in_the_home_unit(dimension: str) -> None:
    """Zero, minus zero too, is written once and in the same unit always."""
    assert text(0.0, dimension) == text(-0.0, dimension) == f"0 {DIMENSIONS[dimension].home_unit}"
    assert display(-0.0, dimension, unicode=False) == text(0.0, dimension)


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf, True, False, None, "5", 10**400])
def test_what_is_no_finite_number_is_refused(value: object) -> None:
    """NaN, infinity, truth values, missing values and texts never become a quantity."""
    for write in (text, display):
        with pytest.raises(ValueError, match="a quantity is a finite number, not"):
            write(value, "current")  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="a quantity is a finite number, not"):
        number_text(value)  # type: ignore[arg-type]


def test_an_unknown_dimension_is_named() -> None:
    """A dimension that does not exist is an error of the caller that names it."""
    with pytest.raises(ValueError, match="there is no dimension named 'torque'"):
        text(1.0, "torque")


@pytest.mark.parametrize("name", DIMENSIONS)
def test_the_table_of_dimensions_is_sound(name: str) -> None:
    """Texts are ASCII, factors grow, and a unit equal to the model's unit has the factor one."""
    entry = DIMENSIONS[name]
    assert entry.name == name
    texts = [entry.name, entry.suffix, entry.si_unit, entry.label, *(unit for unit, _ in entry.units)]
    assert all(word.isascii() and word for word in texts)
    assert entry.suffix.startswith("_")
    factors = [factor for _, factor in entry.units]
    assert factors == sorted(set(factors))
    assert dict(entry.units).get(entry.si_unit, Decimal(1)) == 1


@pytest.mark.parametrize(
    ("name", "dimension", "key"),
    [
        ("rated_power_w", None, "rated_power"),
        ("rds_on_ohm", None, "rds_on"),
        ("theta_ja_k_per_w", None, "theta_ja"),
        ("alpha_per_k", None, "alpha"),
        ("loss_db_per_m", None, "loss"),
        ("wire_ohm_per_m", None, "wire"),
        ("flash_byte", None, "flash"),
        ("duty_ratio", None, "duty"),
        ("name", None, "name"),
        ("_w", None, "_w"),
        ("theta_ja_k_per_w", "thermal_resistance", "theta_ja"),
        ("area_m2", "cross_section", "area"),
    ],
)
def test_field_key_strips_the_longest_unit_suffix(name: str, dimension: str | None, key: str) -> None:
    """A file's key is the field name without its unit."""
    assert field_key(name, dimension) == key


def test_field_key_refuses_a_name_of_another_dimension() -> None:
    """A field whose name contradicts its dimension is a fault of the program and is named."""
    with pytest.raises(ValueError, match="the field rated_power_w holds a current and must end in _a"):
        field_key("rated_power_w", "current")


@pytest.mark.parametrize(
    ("value", "dimension", "digits", "shown", "ascii_shown"),
    [
        (0.0009637, "current", 4, "963.7 \u00b5A", "963.7 uA"),
        (0.00096374, "current", 4, "963.7 \u00b5A", "963.7 uA"),
        (120.0, "voltage", 4, "120 V", "120 V"),
        (0.99996, "current", 4, "1 A", "1 A"),
        (0.99994, "current", 4, "999.9 mA", "999.9 mA"),
        (2.345, "power", 3, "2.35 W", "2.35 W"),
        (0.004, "resistance", 4, "4 m\u03a9", "4 mohm"),
        (119.8 * 86400, "time", 4, "119.8 d", "119.8 d"),
        (146.04, "temperature", 4, "146 \u00b0C", "146 degC"),
        (2.5e-6, "cross_section", 4, "2.5 mm\u00b2", "2.5 mm2"),
        (40.0, "i2t", 4, "40 A\u00b2s", "40 A2s"),
        (30.0, "angle", 4, "30 \u00b0", "30 deg"),
        (1e-5, "length", 4, "10 \u00b5m", "10 um"),
        (3e-6, "slew_rate", 4, "0.000003 V/s", "0.000003 V/s"),
        (1.234567e-20, "current", 4, "1.235e-20 A", "1.235e-20 A"),
        (1.23456789, "voltage", 6, "1.23457 V", "1.23457 V"),
        (0.1 + 0.2, "ratio", 6, "30 %", "30 %"),
    ],
)
def test_display_rounds_and_uses_the_units_own_signs(
    value: float, dimension: str, digits: int, shown: str, ascii_shown: str
) -> None:
    """A screen shows at most the given digits, in micro, omega and degree signs or in ASCII."""
    assert display(value, dimension, digits=digits) == shown
    assert display(value, dimension, digits=digits, unicode=False) == ascii_shown


@pytest.mark.parametrize("digits", [0, 7, 17])
def test_a_figure_never_shows_more_than_six_digits(digits: int) -> None:
    """More than six significant digits, or none, are refused."""
    with pytest.raises(ValueError, match="1 to 6 significant digits"):
        display(1.0, "current", digits=digits)


@pytest.mark.parametrize("dimension", DIMENSIONS)
def test_micro_never_becomes_milli(dimension: str) -> None:
    """The ASCII form of each unit keeps its prefix: every label stands for one unit, and ASCII labels too."""
    units = [unit for unit, _ in DIMENSIONS[dimension].units]
    assert len({unit_label(unit) for unit in units}) == len(units)
    assert [unit_label(unit, unicode=False) for unit in units] == units
    assert all(("\u00b5" in unit_label(unit)) == (unit.startswith("u") or "/u" in unit) for unit in units)


@pytest.mark.parametrize(
    ("value", "dimension", "unit", "shown"),
    [
        (0.0009637, "current", "mA", "0.9637"),
        (0.0009637, "current", "uA", "963.7"),
        (56.74, "current", "A", "56.74"),
        (0.35, "ratio", "%", "35"),
        (216000.0, "charge", "Ah", "60"),
        (0.0, "power", "W", "0"),
        (1e-15, "power", "MW", "1e-21"),
    ],
)
def test_display_number_is_in_the_columns_unit(value: float, dimension: str, unit: str, shown: str) -> None:
    """A column's cell shows the number in the unit of the column's header, without the unit."""
    assert display_number(value, dimension, unit) == shown


def test_display_number_refuses_a_unit_of_something_else() -> None:
    """A header's unit that is not one of the dimension is a fault of the program and is named."""
    with pytest.raises(ValueError, match="a current is not written in W, only in pA, nA, uA, mA, A, kA"):
        display_number(1.0, "current", "W")


@pytest.mark.parametrize(
    ("value", "written"),
    [
        (1.85, "1.85"),
        (120.0, "120"),
        (0.0, "0"),
        (-0.0, "0"),
        (1e-9, "1e-9"),
        (1.5e20, "1.5e20"),
        (0.1 + 0.2, "0.30000000000000004"),
    ],
)
def test_a_bare_number_is_written_exactly(value: float, written: str) -> None:
    """A number without a unit is written without an exponent where that can be read, and reads back the same."""
    assert number_text(value) == written
    assert float(written) == value
