"""Text to number: what people write for each quantity, and the sentences about what does not fit."""

from decimal import Decimal

import pytest

from bomtui.units import QuantityError, check_unit, parse, parse_exact


@pytest.mark.parametrize(
    ("text", "dimension", "value"),
    [
        ("55 W", "power", 55.0),
        ("55W", "power", 55.0),
        ("55 Watt", "power", 55.0),
        ("13.5V", "voltage", 13.5),
        ("13.5 VDC", "voltage", 13.5),
        ("4 mohm", "resistance", 0.004),
        ("4m\u03a9", "resistance", 0.004),
        ("4 m\u2126", "resistance", 0.004),
        ("2.2 kOhm", "resistance", 2200.0),
        ("4 mOhm", "resistance", 0.004),
        ("470 R", "resistance", 470.0),
        ("5 \u03a9", "resistance", 5.0),
        ("5 \u2126", "resistance", 5.0),
        ("100 uA", "current", 1e-4),
        ("100 \u00b5A", "current", 1e-4),
        ("100 \u03bcA", "current", 1e-4),
        ("\u22125 A", "current", -5.0),
        ("5\u00a0A", "current", 5.0),
        ("5\u202fA", "current", 5.0),
        ("1,5 A", "current", 1.5),
        ("1.234,5 A", "current", 1234.5),
        ("4.7 \u00b5F", "capacitance", 4.7e-6),
        ("4.7 \u03bcF", "capacitance", 4.7e-6),
        ("85 degC", "temperature", 85.0),
        ("85 \u00b0C", "temperature", 85.0),
        ("85 \u2103", "temperature", 85.0),
        ("-40 \u00b0C", "temperature", -40.0),
        ("185 \u00b0F", "temperature", 85.0),
        ("30 K/W", "thermal_resistance", 30.0),
        ("150 \u00b0C/W", "thermal_resistance", 150.0),
        ("150 degC/W", "thermal_resistance", 150.0),
        ("50 %", "ratio", 0.5),
        ("50%", "ratio", 0.5),
        ("35 %", "ratio", 0.35),
        ("100 ppm/degC", "temperature_coefficient", 1e-4),
        ("0.0039 1/K", "temperature_coefficient", 0.0039),
        ("0.39 %/K", "temperature_coefficient", 0.0039),
        ("2 mm\u00b2", "area", 2e-6),
        ("2 mm2", "cross_section", 2e-6),
        ("1.8 dm2", "area", 0.018),
        ("60 Ah", "charge", 216000.0),
        ("1 As", "charge", 1.0),
        ("1 A\u00b7s", "charge", 1.0),
        ("95 nC", "gate_charge", 95e-9),
        ("4 mJ", "energy", 0.004),
        ("1 Wh", "energy", 3600.0),
        ("20 kHz", "frequency", 20000.0),
        ("500 kbit/s", "bit_rate", 500000.0),
        ("256 kB", "data_size", 262144.0),
        ("32 Mbit", "data_size", 4194304.0),
        ("40 A\u00b2s", "i2t", 40.0),
        ("5 dBm", "power_level", 5.0),
        ("-5 \u00b0", "angle", -5.0),
        ("2 h", "time", 7200.0),
        ("0.35 mm\u00b2", "cross_section", 3.5e-7),
        ("17 m\u03a9/m", "resistance_per_length", 0.017),
        ("5 V/\u00b5s", "slew_rate", 5e6),
    ],
)
def test_what_people_write_is_read(text: str, dimension: str, value: float) -> None:
    """The usual spellings of a quantity give the same number each time."""
    assert parse(text, dimension) == value


def test_the_case_of_a_unit_is_kept() -> None:
    """Milli and mega stay nine powers of ten apart, and a current of megaamperes is read as written."""
    assert parse("3 mW", "power") == 0.003
    assert parse("3 MW", "power") == 3e6
    assert parse("10 mA", "current") == 0.01
    assert parse("10 MA", "current") == 1e7


@pytest.mark.parametrize(
    ("text", "dimension", "hint"),
    [
        ("3 mw", "power", "did you mean mW or MW?"),
        ("5 KHz", "frequency", "did you mean kHz?"),
        ("5 ma", "current", "did you mean mA or MA?"),
        ("85 DEGC", "temperature", "did you mean degC?"),
    ],
)
def test_a_unit_in_the_wrong_case_is_asked_about(text: str, dimension: str, hint: str) -> None:
    """A spelling that differs in case only is never taken, and its candidates are named."""
    with pytest.raises(QuantityError) as caught:
        parse(text, dimension)
    assert str(caught.value).endswith(hint)


@pytest.mark.parametrize(
    ("text", "dimension", "sentence"),
    [
        ("5 W", "current", 'expected a current (A), found a power (W) in "5 W"'),
        ("4 mAh", "current", 'expected a current (A), found a charge (mAh) in "4 mAh"'),
        ("4 Ah", "current", 'expected a current (A), found a charge (Ah) in "4 Ah"'),
        ("5 A", "energy", 'expected an energy (J), found a current (A) in "5 A"'),
        ("5 dB", "ratio", 'expected a ratio (%), found an attenuation (dB) in "5 dB"'),
        ("5 dBm", "power", 'expected a power (W), found a power level (dBm) in "5 dBm"'),
        ("5 m", "resistance", 'expected a resistance (ohm), found a length (m) in "5 m"'),
        ("5 kbit", "bit_rate", 'expected a bit rate (bit/s), found a data size (kbit) in "5 kbit"'),
        ("3 bit/s", "frequency", 'expected a frequency (Hz), found a bit rate (bit/s) in "3 bit/s"'),
        ("85 C", "temperature", 'expected a temperature (degC), found a charge (C) in "85 C"; write degC'),
        ("85 F", "temperature", 'expected a temperature (degC), found a capacitance (F) in "85 F"; write degF'),
        (
            "358.15 K",
            "temperature",
            (
                'expected a temperature (degC), found a temperature difference (K) in "358.15 K"; '
                "a level is written in degC, 85 degC if kelvins were meant"
            ),
        ),
        (
            "20 \u00b0C",
            "temperature_difference",
            (
                'expected a temperature difference (K), found a temperature (degC) in "20 \u00b0C"; '
                "a difference is written in K"
            ),
        ),
        ("5 A", "cross_section", 'expected a cross-section (mm2), found a current (A) in "5 A"'),
        ("5 week", "current", 'expected a current (A), found a time (week) in "5 week"'),
        ("5 xyz", "current", 'expected a current (A), found the unknown unit "xyz" in "5 xyz"'),
    ],
)
def test_a_wrong_dimension_names_both(text: str, dimension: str, sentence: str) -> None:
    """What was expected and what was found are both named, each with its unit."""
    with pytest.raises(QuantityError) as caught:
        parse(text, dimension)
    assert str(caught.value) == sentence


@pytest.mark.parametrize(
    ("text", "dimension"), [("470", "resistance"), ("0", "current"), ("0.5", "ratio"), ("50", "ratio")]
)
def test_a_bare_number_is_refused(text: str, dimension: str) -> None:
    """A number without a unit is not guessed to be in any unit, zero included."""
    with pytest.raises(QuantityError, match=f'found "{text}", a number without its unit'):
        parse(text, dimension)


def test_a_bare_number_takes_the_columns_unit() -> None:
    """Where a header shows the unit a bare number is in it, and a unit in the cell still stands above it."""
    assert parse("5", "current", default_unit="mA") == 0.005
    assert parse("5 A", "current", default_unit="mA") == 5.0
    assert parse("4,5", "resistance", default_unit="m\u03a9") == 0.0045
    assert parse("2k2", "resistance", default_unit="ohm") == 2200.0
    assert parse("35", "ratio", default_unit="%") == 0.35
    assert parse("85", "temperature", default_unit="\u00b0C") == 85.0


def test_a_column_of_zero_to_one_takes_no_percentage_by_mistake() -> None:
    """In a column of 0..1 the number 35 is an error and never 35 times the load."""
    assert parse("0.35", "ratio", default_unit="1") == 0.35
    assert parse("35 %", "ratio", default_unit="1") == 0.35
    with pytest.raises(
        QuantityError, match=r'expected a ratio of 0\.\.1 or a percentage, found "35": write it with its %'
    ):
        parse("35", "ratio", default_unit="1")


@pytest.mark.parametrize(
    ("unit", "sentence"),
    [
        ("W", "expected a current (A), found a power (W)"),
        ("Xyz", 'expected a current (A), found the unknown unit "Xyz"'),
        ("A or mA", 'expected a unit of a current (A), found "A or mA"'),
        ("9**9**9", 'expected a unit of a current (A), found "9**9**9"'),
        ("1", 'expected a unit of a current (A), found "1"'),
        ("", 'expected a unit of a current (A), found ""'),
    ],
)
def test_a_headers_unit_is_checked(unit: str, sentence: str) -> None:
    """A header's unit is held against the column's dimension, alone and as the unit of a bare number."""
    with pytest.raises(QuantityError) as caught:
        check_unit(unit, "current")
    assert str(caught.value) == sentence
    with pytest.raises(QuantityError):
        parse("5", "current", default_unit=unit)


@pytest.mark.parametrize(
    ("unit", "dimension"), [("mA", "current"), ("1", "ratio"), ("%", "ratio"), ("\u00b5F", "capacitance")]
)
def test_a_fitting_headers_unit_passes(unit: str, dimension: str) -> None:
    """A header's unit that fits lets a bare number through."""
    check_unit(unit, dimension)
    assert parse("1", dimension, default_unit=unit) > 0


@pytest.mark.parametrize("text", ["1e400 A", "-1e400 A", "1e-400 A"])
def test_a_number_beyond_floats_is_refused(text: str) -> None:
    """No text becomes infinity, and no text other than a zero becomes zero."""
    with pytest.raises(QuantityError, match="beyond any such quantity"):
        parse(text, "current")


def test_the_value_is_the_float_nearest_to_the_text() -> None:
    """Scaling happens in exact decimal numbers, so 0.3 mA is the float 0.0003 and 60 Ah is 216000 As to the bit."""
    assert parse("0.3 mA", "current") == 0.0003
    assert parse("4.35 uA", "current") == 4.35e-6
    assert parse_exact("0.1 mAh", "charge") == Decimal("0.36")
    assert parse_exact("33.3333 Ah", "charge") == Decimal("119999.88")
    assert str(parse("-0 A", "current")) == "0.0"


def test_an_unknown_dimension_is_a_fault_of_the_caller() -> None:
    """A dimension that does not exist is named, and it is no fault of the text."""
    with pytest.raises(ValueError, match="there is no dimension named 'torque'") as caught:
        parse("5 Nm", "torque")
    assert not isinstance(caught.value, QuantityError)
