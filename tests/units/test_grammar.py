"""How a number may be written, and what is refused instead of guessed."""

from decimal import Decimal

import pytest

from bomtui.units import QuantityError, parse, parse_count, parse_exact, parse_number


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("470", "470"),
        ("+5", "5"),
        ("-5", "-5"),
        ("\u22125", "-5"),
        (".5", "0.5"),
        (",5", "0.5"),
        ("1.5", "1.5"),
        ("1,5", "1.5"),
        ("1,23", "1.23"),
        ("1,2345", "1.2345"),
        ("0,123", "0.123"),
        ("1234,567", "1234.567"),
        ("1.234", "1.234"),
        ("1.234,50", "1234.50"),
        ("1,234.5", "1234.5"),
        ("3,400.60", "3400.60"),
        ("1.234.123", "1234123"),
        ("1,234,567", "1234567"),
        ("12 345", "12345"),
        ("12 345,123", "12345.123"),
        ("12\u00a0345,123", "12345.123"),
        ("12\u2007345,123", "12345.123"),
        ("12\u202f345,123", "12345.123"),
        ("12\u2009345.5", "12345.5"),
        ("1'355.90", "1355.90"),
        ("1\u2019355.90", "1355.90"),
        ("1 355,90", "1355.90"),
        ("1.5e3", "1500"),
        ("1E-3", "0.001"),
        ("1e+3", "1000"),
        ("  7 ", "7"),
        ("7\n", "7"),
        ("\u00a07\u00a0", "7"),
    ],
)
def test_a_number_with_one_reading_is_read(text: str, number: str) -> None:
    """Marks and groups that leave one reading are read exactly."""
    assert parse_number(text) == Decimal(number)


@pytest.mark.parametrize("text", ["1.355,90", "1355,9", "1 355,90", "1\u00a0355,90", "1'355,90"])
def test_a_declared_comma_is_the_decimal_mark(text: str) -> None:
    """Each spelling of a comma country means the same number where the comma is declared."""
    assert parse_number(text, decimal_mark=",") == Decimal("1355.9")


@pytest.mark.parametrize("text", ["1,355.90", "1355.9", "1 355.90", "1'355.90"])
def test_a_declared_point_is_the_decimal_mark(text: str) -> None:
    """Each spelling of a point country means the same number where the point is declared."""
    assert parse_number(text, decimal_mark=".") == Decimal("1355.9")


def test_a_declared_mark_settles_what_is_ambiguous() -> None:
    """Three digits behind one comma or point mean what the declared mark says, and 9,99 is never 999."""
    assert parse_number("1,234", decimal_mark=",") == Decimal("1.234")
    assert parse_number("1,234", decimal_mark=".") == 1234
    assert parse_number("1.234", decimal_mark=",") == 1234
    assert parse_number("9,99", decimal_mark=",") == parse_number("9,99") == Decimal("9.99")


@pytest.mark.parametrize(
    ("text", "mark"),
    [("25.00", ","), ("0.85", ","), ("0.123", ","), ("1.2.3,4", ","), ("9,99", "."), ("1,2,3.4", "."), ("1,5,5", ".")],
)
def test_a_number_against_the_declared_mark_is_refused(text: str, mark: str) -> None:
    """A group mark that does not stand between groups of three is not just removed."""
    with pytest.raises(QuantityError, match="groups of three digits where the decimal mark is") as caught:
        parse_number(text, decimal_mark=mark)
    assert f'"{text}"' in str(caught.value)


@pytest.mark.parametrize(("text", "readings"), [("1,234", "1.234 or 1234"), ("12,345", "12.345 or 12345")])
def test_an_ambiguous_comma_names_both_readings(text: str, readings: str) -> None:
    """One comma before exactly three digits is not guessed."""
    with pytest.raises(QuantityError) as caught:
        parse_number(text)
    assert str(caught.value) == (
        f'"{text}" can mean {readings}: write it without the comma, or state which sign is the decimal mark'
    )


def test_an_ambiguous_quantity_names_both_readings_with_the_unit() -> None:
    """The two readings of a quantity carry its unit."""
    with pytest.raises(QuantityError, match=r'"1,234 A" can mean 1\.234 A or 1234 A'):
        parse("1,234 A", "current")


@pytest.mark.parametrize(
    "text",
    [
        "11,11.11",
        "1.2.3",
        "1,2,3",
        "1.2.3,4",
        "1.234.56",
        "0,123,456",
        "1 234 56",
        "1,234.567,8",
        "12 34",
        "1''000",
        "1 234.567 890",
    ],
)
def test_groups_that_are_no_groups_are_refused(text: str) -> None:
    """Group marks between other than three digits make no number."""
    with pytest.raises(QuantityError, match="expected a number"):
        parse_number(text)


@pytest.mark.parametrize(
    "text",
    [
        "",
        " ",
        "\u00a0",
        "-",
        "+",
        ".",
        ",",
        "e5",
        "R",
        "M",
        "nan",
        "inf",
        "-inf",
        "infinity",
        "NaN W",
        "\u00b15",
        "~5",
        "<5",
    ],
)
def test_a_text_without_a_number_in_front_is_refused(text: str) -> None:
    """Signs, letters, NaN and infinity alone are no number, and a tolerance is none either."""
    with pytest.raises(QuantityError, match="expected a number, found"):
        parse_number(text)


@pytest.mark.parametrize(
    "text",
    [
        "5.",
        "5,",
        "--5",
        "- 5",
        "5 5",
        "5-5",
        "1e",
        "1e5000",
        "1e9999999999",
        "1_000",
        "0x10",
        "5 .5",
        "12\t345",
        "12\n345",
        "\u0665",
        "5\u0665",
        "1/3",
        "9**9**9",
        "(5+3)*2",
    ],
)
def test_a_text_is_consumed_to_its_end_or_refused(text: str) -> None:
    """Nothing is dropped behind a number, nothing is computed, and only the digits 0 to 9 are digits."""
    with pytest.raises(QuantityError, match="expected a number"):
        parse_number(text)


@pytest.mark.parametrize(
    ("text", "dimension"),
    [
        ("12 V/24 V", "voltage"),
        ("(5+3)*2 W", "power"),
        ("9**9**9 W", "power"),
        ("250 mW (1/4 W)", "power"),
        ("1/3 W", "power"),
        ("\u00b15 %", "ratio"),
        ("-40..125 \u00b0C", "temperature"),
        ("5-10 A", "current"),
        ("nan W", "power"),
        ("inf W", "power"),
        ("10 A A", "current"),
        ("3 A rms", "current"),
        ("5 \u20ac", "power"),
        ("A", "current"),
        ("", "current"),
        ("5 W;", "power"),
        ("5 W\x00", "power"),
        ("5 A\u200b", "current"),
        ("5 mm2.", "area"),
        ("5 A/", "current"),
        ("5 %%/", "ratio"),
    ],
)
def test_more_or_less_than_one_number_and_one_unit_is_refused(text: str, dimension: str) -> None:
    """Ranges, lists, tolerances, sums and anything behind the unit are named in one sentence."""
    with pytest.raises(QuantityError) as caught:
        parse(text, dimension)
    sentence = str(caught.value)
    assert sentence.startswith("expected a")
    assert "found" in sentence
    assert sentence.isprintable()


@pytest.mark.parametrize("tail", [" W", "**9**9 W", " " * 100 + "W", ","])
def test_a_text_without_end_is_refused_by_its_length(tail: str) -> None:
    """Forty megabytes are not looked at, and the sentence stays short."""
    with pytest.raises(QuantityError, match=r"found a text of 4[0-9]{7} characters beginning") as caught:
        parse("9" * 40_000_000 + tail, "power")
    assert len(str(caught.value)) < 200


def test_a_sentence_carries_no_control_sequence() -> None:
    """What would act on a terminal is shown as its escape."""
    with pytest.raises(QuantityError) as caught:
        parse("5 \x1b[31mA\u202e", "current")
    assert "\\x1b[31mA\\u202e" in str(caught.value)
    assert str(caught.value).isprintable()


@pytest.mark.parametrize(
    ("text", "dimension", "exact"),
    [
        ("2k2", "resistance", "2200"),
        ("2K2", "resistance", "2200"),
        ("2k7", "resistance", "2700"),
        ("4R7", "resistance", "4.7"),
        ("0R", "resistance", "0"),
        ("0R1", "resistance", "0.1"),
        ("4m7", "resistance", "0.0047"),
        ("4L7", "resistance", "0.0047"),
        ("4M7", "resistance", "4.7e6"),
        ("12k", "resistance", "12000"),
        ("470R", "resistance", "470"),
        ("4\u03a97", "resistance", "4.7"),
        ("4\u21267", "resistance", "4.7"),
        ("4k7\u03a9", "resistance", "4700"),
        ("5p4", "capacitance", "5.4e-12"),
        ("4p7F", "capacitance", "4.7e-12"),
        ("4\u00b57", "capacitance", "4.7e-6"),
        ("4\u03bc7", "capacitance", "4.7e-6"),
        ("4u7", "inductance", "4.7e-6"),
        ("100n", "capacitance", "1e-7"),
        ("3V3", "voltage", "3.3"),
        ("-3V3", "voltage", "-3.3"),
        ("2A5", "current", "2.5"),
    ],
)
def test_a_letter_may_stand_for_the_decimal_mark(text: str, dimension: str, exact: str) -> None:
    """Marking codes are read to their last digit."""
    assert parse_exact(text, dimension) == Decimal(exact)


@pytest.mark.parametrize(
    ("text", "dimension"),
    [
        ("R", "resistance"),
        ("M", "resistance"),
        ("R47", "resistance"),
        ("5p4", "current"),
        ("5p4", "resistance"),
        ("2k2F", "resistance"),
        ("2k2k2", "resistance"),
        ("2.2k2", "resistance"),
        ("12 k", "resistance"),
        ("5m", "resistance"),
        ("4R7", "inductance"),
        ("2k2", "power"),
        ("3V3V3", "voltage"),
        ("2k 2", "resistance"),
    ],
)
def test_a_letter_that_means_nothing_there_is_refused(text: str, dimension: str) -> None:
    """A lone letter, a designator and a letter of another quantity are no number."""
    with pytest.raises(QuantityError, match="expected a"):
        parse(text, dimension)


@pytest.mark.parametrize(
    ("text", "count"), [("0", 0), ("12", 12), ("12.0", 12), ("12 000", 12000), ("1,234,567", 1234567)]
)
def test_a_count_is_a_whole_number(text: str, count: int) -> None:
    """Whole numbers of pieces are read, with groups where they are clear."""
    assert parse_count(text) == count


@pytest.mark.parametrize("text", ["12.5", "-1", "1e30", "1.234"])
def test_a_count_that_is_not_whole_is_refused(text: str) -> None:
    """Fractions, negative and absurd numbers are no count."""
    with pytest.raises(QuantityError, match="expected a whole number, zero or more, found"):
        parse_count(text)


def test_a_count_is_not_guessed() -> None:
    """An ambiguous comma stays ambiguous in a count, and a declared mark settles it."""
    with pytest.raises(QuantityError, match=r"can mean 1\.234 or 1234"):
        parse_count("1,234")
    assert parse_count("1,234", decimal_mark=".") == parse_count("1.234", decimal_mark=",") == 1234


def test_a_bare_number_carries_no_unit() -> None:
    """A unit where none belongs is said."""
    with pytest.raises(QuantityError, match='expected a number without a unit, found "5 A"'):
        parse_number("5 A")


@pytest.mark.parametrize("mark", [";", "", ".,"])
def test_an_impossible_decimal_mark_is_a_fault_of_the_caller(mark: str) -> None:
    """Only point and comma can be declared."""
    with pytest.raises(ValueError, match="the decimal mark is"):
        parse_number("5", decimal_mark=mark)
