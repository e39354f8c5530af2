"""What is written is read back as the very same number, whatever the number and the quantity."""

import math
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bomtui.model.quantity import DIMENSIONS, display, display_number, number_text, text, unit_label
from bomtui.units import QuantityError, parse, parse_exact, parse_number
from bomtui.units.grammar import split

ANY_FLOAT = st.floats(allow_nan=False, allow_infinity=False)
USUAL = st.builds(
    lambda digits, exponent: float(f"{digits}e{exponent}"), st.integers(-9_999_999, 9_999_999), st.integers(-18, 12)
)
DIMENSION = st.sampled_from(sorted(DIMENSIONS))


@settings(max_examples=300)
@given(value=ANY_FLOAT | USUAL, dimension=DIMENSION)
def test_a_written_quantity_reads_back_exactly(value: float, dimension: str) -> None:
    """Write and read give the same float, in ASCII, and writing again gives the same text."""
    written = text(value, dimension)
    assert written.isascii()
    assert parse(written, dimension) == value
    assert text(parse(written, dimension), dimension) == written


@pytest.mark.parametrize("dimension", sorted(DIMENSIONS))
@given(value=USUAL)
@settings(max_examples=40)
def test_each_dimension_reads_back_exactly(dimension: str, value: float) -> None:
    """Numbers of everyday size in every dimension read back the same with the units' own signs too."""
    written = text(value, dimension)
    number, unit = written.split(" ")
    assert parse(written, dimension) == value
    assert parse(f"{number}\N{NO-BREAK SPACE}{unit_label(unit)}", dimension) == value
    assert parse(f"{number.replace('-', chr(0x2212))}{unit}", dimension) == value
    assert parse(number, dimension, default_unit=unit) == value


@given(value=USUAL, dimension=DIMENSION, digits=st.integers(1, 6))
def test_a_display_is_near_the_value(value: float, dimension: str, digits: int) -> None:
    """The rounded text lies within half a unit of its last digit and shows no more digits than asked for."""
    shown = display(value, dimension, digits=digits)
    read = parse_exact(shown, dimension)
    exact = Decimal(repr(value))
    assert abs(read - exact) <= abs(exact) * Decimal(5).scaleb(-digits)
    significant = shown.split(" ")[0].partition("e")[0].replace(".", "").strip("-0")
    assert len(significant) <= digits
    unit = DIMENSIONS[dimension].home_unit
    assert Decimal(display_number(value, dimension, unit, digits)).is_finite()


@given(value=ANY_FLOAT | USUAL)
def test_a_written_number_reads_back_exactly(value: float) -> None:
    """A bare number is read back as the same float."""
    assert float(parse_number(number_text(value))) == value


@given(value=USUAL, dimension=DIMENSION)
def test_the_short_way_reads_as_the_grammar_does(value: float, dimension: str) -> None:
    """The plain form of the program's own files takes a shorter way to the same exact number."""
    written = text(value, dimension)
    taken_apart = split(written, "a quantity", None)
    assert parse_exact(written, dimension) == parse_exact(written, dimension, decimal_mark=".")
    assert f"{taken_apart.number} {taken_apart.unit}".split(" ")[1] == written.split(" ")[1]


@given(
    text=st.text(max_size=90) | st.text("0123456789.,' -+eRkKmMVA%\u00b5\u03a9\u00b0C/*()", max_size=20),
    dimension=DIMENSION,
)
@settings(max_examples=200)
def test_any_text_is_a_finite_number_or_one_sentence(text: str, dimension: str) -> None:
    """No text raises anything else, becomes NaN or infinity, or gives a sentence that could act on a terminal."""
    try:
        value: float | None = parse(text, dimension)
        sentence = ""
    except QuantityError as refusal:
        value, sentence = None, str(refusal)
    assert (value is None) == bool(sentence)
    assert value is None or math.isfinite(value)
    assert sentence == "" or (sentence.isprintable() and len(sentence) < 400)


@given(whole=st.integers(1000, 10**9), decimals=st.integers(0, 99))
def test_groups_and_marks_never_change_the_number(whole: int, decimals: int) -> None:
    """Every national way to write a number gives the same one, declared or where both marks are there."""
    exact = Decimal(f"{whole}.{decimals:02}")
    grouped = f"{whole:,}"
    for group in (",", "'", " ", "\u00a0", "\u2007", "\u202f"):
        written = f"{grouped.replace(',', group)}.{decimals:02}"
        assert parse_number(written) == parse_number(written, decimal_mark=".") == exact
    for group in (".", "'", " ", "\u00a0", "\u2007", "\u202f"):
        written = f"{grouped.replace(',', group)},{decimals:02}"
        assert parse_number(written) == parse_number(written, decimal_mark=",") == exact
