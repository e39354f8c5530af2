"""Text to number in the model's units; the dimension that is expected decides what may be read."""

from __future__ import annotations

import math
import re
from decimal import Context, Decimal
from functools import lru_cache

from bomtui.model.quantity import DIMENSIONS, dimension_named
from bomtui.model.quantity import text as canonical_text
from bomtui.units import pint_units
from bomtui.units.grammar import MAX_TEXT_LENGTH, QuantityError, ascii_unit, is_unit_text, shown, split
from bomtui.units.table import LETTER_MARKS, SAME_QUANTITY, UNITS, Unit

# Every product of a text's digits and a factor of the table fits.
_EXACT = Context(prec=4 * MAX_TEXT_LENGTH)

# The plain form of the program's own files, which needs no further look; all else goes through the grammar.
_CANONICAL = re.compile(r"(-?[0-9]{1,20}(?:\.[0-9]{1,20})?) ([A-Za-z0-9/%]{1,12})")

_MAX_COUNT = 10**12

# What people write for a temperature, and what it means; the sentence then names the spelling that is read.
_TEMPERATURE_HINTS = {"C": "degC", "F": "degF", "deg": "degC"}


def parse(text: str, dimension: str, *, default_unit: str | None = None, decimal_mark: str | None = None) -> float:
    """Read a quantity.

    Args:
        text: What was written: "55 W", "4 mΩ", "2k2", "-40 °C", "35 %".
        dimension: Key of `bomtui.model.quantity.DIMENSIONS`.
        default_unit: Unit of a bare number, where a column's header shows it; "1" for a ratio of 0..1. Without it a
            bare number is refused.
        decimal_mark: "." or "," where the text's origin is known to use it. Without it the text itself must tell.

    Returns:
        The value in the dimension's unit of the model; exactly the float nearest to the number written.

    Raises:
        QuantityError: The text is not such a quantity; the error's text is one sentence for the person who wrote it.
        ValueError: There is no such dimension.
    """
    if len(text) > MAX_TEXT_LENGTH:
        # The cache of the next call keeps its arguments; a text of many megabytes has no place in it.
        parse_exact(text, dimension, default_unit=default_unit, decimal_mark=decimal_mark)
    return _parse_float(text, dimension, default_unit, decimal_mark)


@lru_cache(maxsize=8192)
def _parse_float(text: str, dimension: str, default_unit: str | None, decimal_mark: str | None) -> float:
    exact = parse_exact(text, dimension, default_unit=default_unit, decimal_mark=decimal_mark)
    value = float(exact)
    if math.isinf(value) or (value == 0 and exact):
        raise QuantityError(f"expected {_expected(dimension)}, found {shown(text)}, which is beyond any such quantity")
    # A written "-0 A" is plain zero.
    return value or 0.0


def parse_exact(
    text: str, dimension: str, *, default_unit: str | None = None, decimal_mark: str | None = None
) -> Decimal:
    """Read a quantity as `parse` does, as the exact decimal number in the dimension's unit of the model."""
    expected = _expected(dimension)
    canonical = _CANONICAL.fullmatch(text) if decimal_mark is None else None
    if canonical is not None:
        known = UNITS.get(canonical[2])
        if known is not None and known.dimension == SAME_QUANTITY.get(dimension, dimension):
            return _in_model_unit(Decimal(canonical[1]), known)
    written = split(text, expected, decimal_mark, LETTER_MARKS.get(dimension))
    if written.unit:
        unit = _unit(written.unit, dimension, f"found {{what}} in {shown(text)}", written.number)
    elif default_unit is None:
        raise QuantityError(f"expected {expected}, found {shown(text)}, a number without its unit")
    elif default_unit == "1" and dimension == "ratio":
        if abs(written.number) > 1:
            raise QuantityError(f"expected a ratio of 0..1 or a percentage, found {shown(text)}: write it with its %")
        return written.number
    else:
        unit = _given_unit(default_unit, dimension, "found {what} as the column's unit")
    return _in_model_unit(written.number, unit)


def parse_number(text: str, *, decimal_mark: str | None = None) -> Decimal:
    """Read a bare number, exactly.

    Raises:
        QuantityError: The text is not one number, carries a unit, or can be read in two ways.
    """
    expected = "a number"
    written = split(text, expected, decimal_mark)
    if written.unit:
        raise QuantityError(f"expected a number without a unit, found {shown(text)}")
    return written.number


def parse_count(text: str, *, decimal_mark: str | None = None) -> int:
    """Read a whole number of pieces, zero or more.

    Raises:
        QuantityError: The text is not one whole number, is negative, or can be read in two ways.
    """
    number = parse_number(text, decimal_mark=decimal_mark)
    if number != number.to_integral_value() or not 0 <= number <= _MAX_COUNT:
        raise QuantityError(f"expected a whole number, zero or more, found {shown(text)}")
    return int(number)


def check_unit(unit: str, dimension: str) -> None:
    """Check that a unit, for example one of a column's header, is a unit of the dimension.

    Raises:
        QuantityError: It is unknown or a unit of something else.
        ValueError: There is no such dimension.
    """
    if unit == "1" and dimension == "ratio":
        return
    _given_unit(unit, dimension, "found {what}")


def _given_unit(unit: str, dimension: str, found: str) -> Unit:
    """Look up a unit that stands apart from its numbers; nothing but the text of one unit goes further."""
    if not is_unit_text(unit):
        raise QuantityError(f"expected a unit of {_expected(dimension)}, found {shown(unit)}")
    return _unit(ascii_unit(unit), dimension, found, None)


def _unit(token: str, dimension: str, found: str, number: Decimal | None) -> Unit:
    """Look up a unit and hold it against the expected dimension."""
    unit = UNITS.get(token) or pint_units.find(token)
    if unit is None:
        what = f"the unknown unit {shown(token)}"
        raise QuantityError(
            f"expected {_expected(dimension)}, {found.format(what=what)}{_spelling_hint(token, dimension)}"
        )
    if unit.dimension != SAME_QUANTITY.get(dimension, dimension):
        what = f"{_with_article(DIMENSIONS[unit.dimension].label)} ({token})"
        hint = _dimension_hint(token, unit, dimension, number)
        raise QuantityError(f"expected {_expected(dimension)}, {found.format(what=what)}{hint}")
    return unit


def _in_model_unit(number: Decimal, unit: Unit) -> Decimal:
    scaled = _EXACT.multiply(_EXACT.subtract(number, unit.shift), unit.factor)
    return scaled if unit.divisor == 1 else _EXACT.divide(scaled, unit.divisor)


def _expected(dimension: str) -> str:
    kind = dimension_named(dimension)
    return f"{_with_article(kind.label)} ({kind.home_unit})"


def _with_article(label: str) -> str:
    return f"{'an' if label[0] in 'aeiou' else 'a'} {label}"


def _spelling_hint(token: str, dimension: str) -> str:
    """Name the units that differ only in case: the person chooses, because milli and mega differ only in case."""
    wanted = SAME_QUANTITY.get(dimension, dimension)
    folded = token.casefold()
    alike = [known for known, unit in UNITS.items() if unit.dimension == wanted and known.casefold() == folded]
    return f"; did you mean {' or '.join(alike)}?" if alike else ""


def _dimension_hint(token: str, unit: Unit, dimension: str, number: Decimal | None) -> str:
    if dimension == "temperature" and token in _TEMPERATURE_HINTS:
        return f"; write {_TEMPERATURE_HINTS[token]}"
    if dimension == "temperature" and unit.dimension == "temperature_difference" and number is not None:
        # SI brochure 2.3.1: t/degC = T/K - 273.15.
        level = float(_EXACT.subtract(_in_model_unit(number, unit), Decimal("273.15")))
        return f"; a level is written in degC, {canonical_text(level, dimension)} if kelvins were meant"
    if dimension == "temperature_difference" and unit.dimension == "temperature":
        return "; a difference is written in K"
    return ""
