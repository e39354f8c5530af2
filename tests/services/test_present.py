"""Figures as text: units, bounds, counts, and temperatures beyond a part's maximum."""

from decimal import Decimal
from math import inf

import pytest

from bomtui.model.bound import Range, Value
from bomtui.model.money import Total
from bomtui.model.rollup import ChannelUse, DeviceMode, Figure, PinUse
from bomtui.services import present

THREE = frozenset(("a", "b", "c"))
ONE = frozenset(("a",))
HOT = "over 150 degC (model >= 170 degC  1 unknown)"


@pytest.mark.parametrize(
    ("value", "dimension", "text"),
    [
        (963.7e-6, "current", "963.7 uA"),
        (0.0, "current", "0 A"),
        (Range(49e-6, inf, THREE), "current", ">= 49 uA  3 unknown"),
        (Range(0.0, 80.0, ONE), "temperature", "<= 80 degC  1 unknown"),
        (Range(-inf, 80.0, ONE), "temperature", "<= 80 degC  1 unknown"),
        (Range(-40.0, 80.0, ONE), "temperature", "-40 to 80 degC  1 unknown"),
        (Range(-inf, inf, ONE), "current", "unknown"),
        (None, "current", "unknown"),
        (1234567.0, "power", "1.235 MW"),
    ],
)
def test_values_say_how_well_they_are_known(value: Value, dimension: str, text: str) -> None:
    """A figure with unknown terms is never a bare number."""
    assert present.value_text(value, dimension) == text


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (0.5, "500"),
        (Range(0.049, inf, THREE), ">=49"),
        (Range(0.0, 0.08, ONE), "<=80"),
        (Range(0.01, 0.08, ONE), "10..80"),
        (None, "?"),
        (Range(-inf, inf, ONE), "?"),
    ],
)
def test_column_values_keep_their_bound(value: Value, text: str) -> None:
    """In a column the unit goes to the header and the bound stays."""
    assert present.column_text(value, "current", "mA") == text


@pytest.mark.parametrize(
    ("value", "limit_degc", "runaway", "text", "column"),
    [
        (118.24, 150.0, False, "118.2 degC", "118.2"),
        (150.0, 150.0, False, "150 degC", "150"),
        (246.53, 150.0, False, "over 150 degC (model 246.5 degC)", "over 150 (model 246.5)"),
        (246.53, None, False, "246.5 degC", "246.5"),
        (Range(170.0, inf, ONE), 150.0, False, HOT, "over 150 (model >=170)"),
        (Range(120.0, inf, ONE), 150.0, False, ">= 120 degC  1 unknown", ">=120"),
        (None, 150.0, False, "unknown", "?"),
        (9999.0, 150.0, True, "runaway", "runaway"),
    ],
)  # fmt: skip
def test_junctions_beyond_the_maximum_show_the_limit_first(
    value: Value,
    limit_degc: float | None,
    runaway: bool,
    text: str,
    column: str,
) -> None:
    """Beyond its maximum a chip has shut down: the limit is said, the model's number stands behind it."""
    assert present.junction_text(value, limit_degc, runaway=runaway) == text
    assert present.junction_column_text(value, limit_degc, runaway=runaway) == column


def test_what_is_surely_too_hot_is_not_ranked() -> None:
    """A device is over where one corner is surely beyond the maximum, or heat runs away; unknown is not over."""

    def mode(typ: Value, largest: Value, *, runaway: bool = False) -> DeviceMode:
        junction = Figure(typ=typ, max=largest)
        return DeviceMode(mode="M", power_w=junction, junction_degc=junction, runaway=runaway)

    assert present.is_over(mode(140.0, 151.0), 150.0)
    assert present.is_over(mode(None, None, runaway=True), None)
    assert not present.is_over(mode(140.0, 150.0), 150.0)
    assert not present.is_over(mode(140.0, Range(145.0, inf, ONE)), 150.0)
    assert not present.is_over(mode(400.0, 400.0), None)


def test_corners_are_both_shown() -> None:
    """Typical and worst stand side by side, once where they are the same."""
    assert present.corners_text(Figure(typ=963.7e-6, max=1.466e-3), "current") == "963.7 uA typ, 1.466 mA max"
    assert present.corners_text(Figure(typ=0.5, max=0.5), "current") == "500 mA"
    assert present.days_corners_text(Figure(typ=119.815, max=115.2)) == "119.8 days typ, 115.2 days worst"
    assert present.days_text(Range(0.0, 30.0, THREE)) == "<= 30 days  3 unknown"


def test_money_keeps_its_digits_and_its_gaps() -> None:
    """Amounts are rounded half up once, and a total with missing terms is a lower bound."""
    assert present.money_text(Total(amount=Decimal("439.2334")), "EUR") == "439.2334 EUR"
    assert present.money_text(Total(amount=Decimal("12.5"), unknown=2), "EUR") == ">= 12.5000 EUR  2 unknown"
    assert present.money_text(Decimal("58062.1150"), "EUR", 2) == "58062.12 EUR"
    assert present.money_text(None, "EUR") == "unknown"
    assert present.decimal_text(Decimal("227.80")) == "227.8"
    assert present.decimal_text(Decimal(100)) == "100"


def test_counts_of_channels_and_pins() -> None:
    """What does not say how much it has makes the count a bound."""
    pins = PinUse(used=9, total=20, plain_used=9, plain_total=20, analog_used=0, needs={}, short={})
    blind = PinUse(used=9, total=0, plain_used=9, plain_total=0, analog_used=0, needs={}, short={}, unknown=("U1",))
    assert present.channels_text(ChannelUse(used=22, total=28)) == "22/28"
    assert present.channels_text(ChannelUse(used=22, total=28, unknown=1)) == "22/>=28"
    assert present.pins_text(pins) == "9/20"
    assert present.pins_text(blind) == ">=9/?"


def test_missing_terms_are_counted_once() -> None:
    """A term that both corners lack counts once; a figure of which nothing is known counts one."""
    assert present.unknown_count(1.0, Range(0.0, inf, THREE), Range(0.0, inf, ONE)) == 3
    assert present.unknown_count(None, None, Range(0.0, inf, ONE)) == 2
    assert present.unknown_count(1.0, 2.0) == 0


def test_long_lists_say_how_much_is_left_out() -> None:
    """A list that is cut names how many more there are."""
    assert present.listed(["a", "b", "c"], 2) == "a, b and 1 more"
    assert present.listed(["a", "b"], 2) == "a, b"
    assert present.counted(1, "part", "parts") == "1 part"
    assert present.counted(2, "part", "parts") == "2 parts"


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (14.252, "14.252"),
        (0.5, "0.500"),
        (0.0, "0.000"),
        (0.0004, "<0.001"),
        (0.0005, "0.001"),
        (1234.5678, "1234.57"),
        (Range(0.0, inf, ONE), ">=0.000"),
        (Range(0.25, inf, ONE), ">=0.250"),
        (Range(0.25, 0.5, ONE), "0.250..0.500"),
        (None, "?"),
    ],
)
def test_aligned_values_have_their_decimal_marks_below_each_other(value: Value, text: str) -> None:
    """As many digits stand behind every mark, never more than six in all, and what is not nothing is not 0."""
    assert present.aligned_text(value, "current", "A", 3) == text


def test_amounts_in_a_column_keep_their_bound() -> None:
    """The currency goes to the header, the bound stays, an unknown is a question mark."""
    assert present.amount_column_text(Total(amount=Decimal("439.2334"))) == "439.2334"
    assert present.amount_column_text(Total(amount=Decimal("12.5"), unknown=2)) == ">=12.5000"
    assert present.amount_column_text(Decimal("2.48")) == "2.4800"
    assert present.amount_column_text(None) == "?"


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [
        ("no rail", "", "no rail"),
        (3.3, "V", "3.3 V"),
        (131.0, "", "131"),
        (162.04, "degC", "162 degC"),
        (Range(9.0, inf, ONE), "", ">= 9  1 unknown"),
        (Range(0.9, inf, ONE), "A", ">= 900 mA  1 unknown"),
        (None, "A", "unknown"),
    ],
)
def test_what_a_finding_compares_has_its_unit(value: Value | str, unit: str, text: str) -> None:
    """Words stay words, counts have no unit, quantities theirs, and bounds say so."""
    assert present.measured_text(value, unit) == text


def test_corners_may_leave_the_count_to_what_stands_beside_them() -> None:
    """A meter that says how much is unknown does not say it twice."""
    figure = Figure(typ=Range(49e-6, inf, THREE), max=Range(60e-6, inf, THREE))
    assert present.corners_text(figure, "current") == ">= 49 uA  3 unknown typ, >= 60 uA  3 unknown max"
    assert present.corners_text(figure, "current", with_count=False) == ">= 49 uA typ, >= 60 uA max"
    days = Figure(typ=Range(0.0, 30.0, THREE), max=Range(0.0, 20.0, THREE))
    assert present.days_corners_text(days, with_count=False) == "<= 30 days typ, <= 20 days worst"
