"""Text of a number, with or without a unit, as people write it.

A text is consumed to its end or refused; nothing in it is evaluated. The case of every letter is kept, because 3 mW and
3 MW differ by nine powers of ten.

Sources: decimal marks and digit groups of three, ISO 80000-1 and SI brochure, 9th edition, 5.4.4 (a space groups, a
point or a comma is the decimal mark); points, commas and apostrophes as group marks are common practice. A letter in
place of the decimal mark (2k2, 4R7, 5p4): IEC 60062; with the unit's own letter (3V3): common practice.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from typing import NoReturn

MAX_TEXT_LENGTH = 80
"""No quantity that a person writes is longer; longer text is refused before it is looked at."""

_SHOWN_LENGTH = 40

# Characters that only look different. NFKC would do more than is wanted: it turns a superscript two into a plain two.
_SAME_CHARACTERS = str.maketrans(
    {
        "\N{OHM SIGN}": "\N{GREEK CAPITAL LETTER OMEGA}",
        "\N{GREEK SMALL LETTER MU}": "\N{MICRO SIGN}",
        "\N{MINUS SIGN}": "-",
        "\N{DEGREE CELSIUS}": "\N{DEGREE SIGN}C",
        "\N{DEGREE FAHRENHEIT}": "\N{DEGREE SIGN}F",
        "\N{NO-BREAK SPACE}": " ",
        "\N{FIGURE SPACE}": " ",
        "\N{NARROW NO-BREAK SPACE}": " ",
        "\N{THIN SPACE}": " ",
        "\N{RIGHT SINGLE QUOTATION MARK}": "'",
    }
)

# Spelling of a unit's own signs in the ASCII of the unit table.
_UNIT_CHARACTERS = str.maketrans(
    {
        "\N{GREEK CAPITAL LETTER OMEGA}": "ohm",
        "\N{MICRO SIGN}": "u",
        "\N{DEGREE SIGN}": "deg",
        "\N{SUPERSCRIPT TWO}": "2",
        "\N{SUPERSCRIPT THREE}": "3",
        "\N{MIDDLE DOT}": ".",
        "*": ".",
    }
)

# A space belongs to the number only before a group of exactly three digits: "0.0039 1/K" is 0.0039 and 1/K.
_NUMBER = re.compile(
    r"(?P<sign>[+-]?)"
    r"(?P<body>(?:[0-9]|[.,'](?=[0-9])|[ ](?=[0-9]{3}(?![0-9])))+)"
    r"(?:[eE](?P<exponent>[+-]?[0-9]{1,3})(?![0-9]))?"
)
_GROUPED = re.compile(r"[1-9][0-9]{0,2}(?:(?P<mark>[.,' ])[0-9]{3})(?:(?P=mark)[0-9]{3})*")
_FACTOR = r"[A-Za-z\u00b5\u03a9\u00b0%]+[2-4\u00b2\u00b3]?"
_UNIT = re.compile(rf"(?:1?/)?{_FACTOR}(?:[A-Za-z]|[.*\u00b7]{_FACTOR})*(?:/{_FACTOR})*")
_MAX_UNIT_LENGTH = 24

_LETTER_MARK = re.compile(r"(?P<letter>[A-Za-z\u00b5\u03a9])(?P<decimals>[0-9]*)(?P<symbol>[A-Za-z\u03a9]*)")


class QuantityError(ValueError):
    """Text that is not the wanted quantity; its text is one clear sentence for the person who wrote it."""


@dataclass(frozen=True, slots=True)
class LetterMark:
    """How a letter may stand for the decimal mark of one dimension.

    Attributes:
        symbol: Unit symbol of the table without prefix ("ohm"), which may also follow the digits (4p7F).
        letters: Each letter that may stand between digits, with the unit text it means.
        closing: Those that may also end the text without decimals (47k).
    """

    symbol: str
    letters: dict[str, str]
    closing: frozenset[str]


@dataclass(frozen=True, slots=True)
class Written:
    """A text taken apart: exact number and unit text in the ASCII of the unit table, empty for a bare number."""

    number: Decimal
    unit: str


def shown(text: str) -> str:
    """Quote a text for a message: shortened, with control and other unprintable characters escaped."""
    short = text if len(text) <= _SHOWN_LENGTH else f"{text[:_SHOWN_LENGTH]}..."
    return '"' + "".join(sign if sign.isprintable() else ascii(sign)[1:-1] for sign in short) + '"'


def split(text: str, expected: str, decimal_mark: str | None, letter_mark: LetterMark | None = None) -> Written:
    """Take a text apart into one number and one unit.

    Args:
        text: What was written.
        expected: What a message says was expected.
        decimal_mark: "." or "," where it is known, None where only the text itself can tell.
        letter_mark: Letters that may stand for the decimal mark, if any.

    Raises:
        QuantityError: The text is not one number, followed by at most one unit, or can be read in two ways.
    """
    if decimal_mark not in {None, ".", ","}:
        raise ValueError(f'the decimal mark is "." or ",", not {decimal_mark!r}')
    if len(text) > MAX_TEXT_LENGTH:
        raise QuantityError(f"expected {expected}, found a text of {len(text)} characters beginning {shown(text)}")
    plain = text.translate(_SAME_CHARACTERS).strip()
    if not plain:
        raise QuantityError(f"expected {expected}, found nothing")
    match = _NUMBER.match(plain)
    if match is None:
        raise QuantityError(f"expected {expected}, found {shown(text)}, which does not begin with a number")
    rest = plain[match.end() :]
    if letter_mark is not None and match["exponent"] is None and match["body"].isdigit():
        written = _with_letter_mark(match["sign"] + match["body"], rest, letter_mark)
        if written is not None:
            return written
    unit = rest.strip()
    if unit and (len(unit) > _MAX_UNIT_LENGTH or _UNIT.fullmatch(unit) is None):
        raise QuantityError(f"expected {expected}, found {shown(text)}, in which {shown(unit)} is not one unit")
    digits = _plain_digits(match["body"], decimal_mark, text, unit)
    return Written(Decimal(f"{match['sign']}{digits}e{match['exponent'] or 0}"), ascii_unit(unit))


def ascii_unit(unit: str) -> str:
    """Spell a unit text in the ASCII of the unit table: "µΩ" as "uohm", "mm²" as "mm2", "°C/W" as "degC/W"."""
    return unit.translate(_SAME_CHARACTERS).translate(_UNIT_CHARACTERS)


def is_unit_text(unit: str) -> bool:
    """Say whether a text has the form of one unit."""
    return len(unit) <= _MAX_UNIT_LENGTH and _UNIT.fullmatch(unit.translate(_SAME_CHARACTERS)) is not None


def _with_letter_mark(whole: str, rest: str, mark: LetterMark) -> Written | None:
    """Read "2k2", "4R7", "4p7F", "0R"; None where the text is not written so."""
    match = _LETTER_MARK.fullmatch(rest)
    if match is None:
        return None
    letter, decimals, symbol = match["letter"], match["decimals"], ascii_unit(match["symbol"])
    if letter not in mark.letters or symbol not in {"", mark.symbol}:
        return None
    if not decimals and (symbol or letter not in mark.closing):
        return None
    return Written(Decimal(f"{whole}.{decimals or 0}"), mark.letters[letter])


def _plain_digits(body: str, decimal_mark: str | None, text: str, unit: str) -> str:
    """Turn digits with group and decimal marks into digits with at most one point."""
    whole, decimals = _halves(body, decimal_mark, text, unit)
    if whole and not whole.isdigit():
        if _GROUPED.fullmatch(whole) is None:
            _refuse_groups(text, decimal_mark)
        whole = re.sub("[.,' ]", "", whole)
    if decimals and not decimals.isdigit():
        _refuse_groups(text, decimal_mark)
    return f"{whole or 0}.{decimals or 0}"


def _halves(body: str, decimal_mark: str | None, text: str, unit: str) -> tuple[str, str]:
    """Cut a number at its decimal mark; where none is declared, find the only mark that can be one."""
    if decimal_mark is not None:
        whole, _, decimals = body.partition(decimal_mark)
        return whole, decimals
    points, commas = body.count("."), body.count(",")
    if points and commas:
        # Two different marks: the last one is the decimal mark, the other one groups.
        last = "." if body.rindex(".") > body.rindex(",") else ","
        whole, _, decimals = body.rpartition(last)
        return whole, decimals
    if points + commas > 1:
        return body, ""
    if commas and _GROUPED.fullmatch(body):
        raise QuantityError(_two_readings(body, text, unit))
    whole, _, decimals = body.partition("," if commas else ".")
    return whole, decimals


def _two_readings(body: str, text: str, unit: str) -> str:
    tail = f" {unit}" if unit else ""
    decimal, grouped = body.replace(",", "."), body.replace(",", "")
    return (
        f"{shown(text)} can mean {decimal}{tail} or {grouped}{tail}: "
        "write it without the comma, or state which sign is the decimal mark"
    )


def _refuse_groups(text: str, decimal_mark: str | None) -> NoReturn:
    told = "" if decimal_mark is None else f' where the decimal mark is "{decimal_mark}"'
    wanted = f"a number with one decimal mark and groups of three digits{told}"
    raise QuantityError(f"expected {wanted}, found {shown(text)}")
