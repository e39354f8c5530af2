"""Prices as people write them in a cell: a number with a currency sign or code before or after it, or price rungs.

Codes: ISO 4217. Signs: common practice; the dollar sign alone is taken for the US dollar and said.
"""

import re
from collections.abc import Mapping
from decimal import Decimal
from functools import lru_cache
from typing import NamedTuple

from bomtui import units
from bomtui.model.money import is_currency
from bomtui.storage.field_text import FieldError, shown

SIGNS: Mapping[str, str] = {
    "\N{EURO SIGN}": "EUR",
    "\N{POUND SIGN}": "GBP",
    "\N{YEN SIGN}": "JPY",
    "$": "USD",
    "US$": "USD",
    "z\N{LATIN SMALL LETTER L WITH STROKE}": "PLN",
    "K\N{LATIN SMALL LETTER C WITH CARON}": "CZK",
    "Fr.": "CHF",
    "SFr.": "CHF",
    "Euro": "EUR",
    "euro": "EUR",
}

NO_PRICE = frozenset(
    ("", "-", "--", "\N{EN DASH}", "\N{EM DASH}", "n/a", "na", "tbd", "t.b.d.", "on request", "request", "auf anfrage",
     "a. a.", "a.a.", "unknown", "?")
)  # fmt: skip
"""What people write where there is no price yet; it is unknown, never 0."""

_PRICE = re.compile(
    r"(?P<before>[^\d\s.,'+(-][^\d.,'+(-]*)?\s*(?P<number>[+-]?[\d.,'](?:[\d.,'\u2019 \u00a0\u2007\u2009\u202f]*\d)?"
    r"(?:[eE][+-]?\d{1,3})?)\s*(?P<after>[^\d\s].*)?"
)
_RUNG = re.compile(
    r"\s*(?:ab|from|>=)?\s*(?P<least>\d{1,9})\s*(?:\+|-\s*\d{1,9}|pcs|stk|st)?\s*[:=@]\s*(?P<price>.+?)\s*",
    re.IGNORECASE,
)
_AMBIGUOUS = re.compile(r"[1-9]\d{0,2}(?P<mark>[.,])\d{3}")
_NUMBER_WITH_MARK = re.compile(r"\d([.,])\d+$")


class Price(NamedTuple):
    """An amount of a cell, and the currency that it says; None where it says none."""

    amount: Decimal
    currency: str | None


def currency_of(text: str) -> str | None:
    """Return the currency that a sign or code means; None where it is none."""
    stripped = text.strip()
    if stripped in SIGNS:
        return SIGNS[stripped]
    return stripped if is_currency(stripped) else None


@lru_cache(maxsize=8192)
def read_price(text: str, decimal_mark: str | None) -> Price | None:
    """Read the price of a cell.

    Args:
        text: The cell.
        decimal_mark: "." or "," where the column or a person says so; a number that can only be read with the other
            one is read with it all the same.

    Returns:
        The price; None where the cell says that there is none.

    Raises:
        FieldError: It is no price, or can be read in two ways.
    """
    stripped = text.strip()
    if stripped.casefold() in NO_PRICE:
        return None
    match = _PRICE.fullmatch(stripped)
    if match is None:
        raise FieldError(shown(text), "a price")
    sides = [side.strip() for side in (match["before"], match["after"]) if side and side.strip()]
    currency = currency_of(sides[0]) if len(sides) == 1 else None
    if sides and currency is None:
        raise FieldError(shown(text), "a price, with at most a currency beside it")
    return Price(_amount(match["number"], text, decimal_mark), currency)


def read_rungs(text: str, decimal_mark: str | None) -> list[tuple[int, Price]] | None:
    """Read price rungs of one cell, `1: 1,42 | 10: 1,18` or `1-9 = 0.50; 10+ = 0.44`; None where it holds none.

    Raises:
        FieldError: A rung is none, or two begin at one quantity.
    """
    separator = "|" if "|" in text else ";"
    pieces = [piece for piece in text.split(separator) if piece.strip()]
    matches = [_RUNG.fullmatch(piece) for piece in pieces]
    if not any(matches):
        return None
    rungs: dict[int, Price] = {}
    for piece, match in zip(pieces, matches, strict=True):
        if match is None or not int(match["least"]):
            raise FieldError(shown(piece.strip()), "a price rung such as 100: 0.92")
        price = read_price(match["price"], decimal_mark)
        if price is None:
            continue
        least = int(match["least"])
        if least in rungs:
            both = f"{rungs[least].amount} and {price.amount}"
            raise FieldError(both, f"one price from {least} pieces")
        rungs[least] = price
    return sorted(rungs.items())


def _amount(number: str, text: str, decimal_mark: str | None) -> Decimal:
    if _AMBIGUOUS.fullmatch(number) and decimal_mark is None:
        mark = number[-4]
        whole, decimals = number.split(mark)
        raise FieldError(
            shown(text),
            "a price",
            f"{shown(text)} can mean {whole}.{decimals} or {whole}{decimals}: say which sign is the decimal mark",
        )
    amount = _with_mark(number, text, decimal_mark)
    if amount < 0:
        raise FieldError(shown(text), "a price, not negative")
    return amount


def _with_mark(number: str, text: str, decimal_mark: str | None) -> Decimal:
    try:
        return units.parse_number(number, decimal_mark=decimal_mark)
    except units.QuantityError as error:
        if decimal_mark is None:
            raise FieldError(shown(text), "a price", str(error)) from None
    try:
        return units.parse_number(number)
    except units.QuantityError as error:
        raise FieldError(shown(text), "a price", str(error)) from None


def other_mark(text: str, decimal_mark: str | None) -> bool:
    """Tell whether a cell uses another decimal mark than its column."""
    match = _NUMBER_WITH_MARK.search(text.strip("".join({*SIGNS, " "})))
    return decimal_mark is not None and match is not None and match[1] != decimal_mark and not _AMBIGUOUS.search(text)
