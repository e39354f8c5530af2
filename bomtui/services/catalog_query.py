"""Filters and orders of the catalog as people write them: `rds_on.max <= 10 mohm`, `price <= 1.20 EUR`, `-price`."""

import re
from dataclasses import dataclass, replace
from decimal import Decimal
from difflib import get_close_matches
from typing import TYPE_CHECKING

from bomtui.engine.calc import PLAIN
from bomtui.engine.heat import hot_resistance_ohm
from bomtui.model.fields import FieldInfo, field_table
from bomtui.model.part import Part
from bomtui.services.errors import BomtuiError
from bomtui.units import QuantityError, parse, parse_count

if TYPE_CHECKING:
    from bomtui.storage.catalog.filters import Limit, Order, Quantity

PRICE = "price"
HOT = "rds_on.hot"
_FORM = re.compile(r"\s*(?P<name>[A-Za-z_.]+)\s*(?P<sign><=|>=|!=|=|<|>)\s*(?P<value>.*?)\s*")
_MONEY = re.compile(r"(?P<amount>[0-9]+(?:\.[0-9]+)?)\s*(?P<currency>[A-Z]{3})")
_MICRO = 1_000_000
# Databases compare whole numbers of 64 bits.
_LARGEST = 2**63 - 1
_ALWAYS_SHOWN = frozenset(("mpn", "kind", "maker"))
_WORD_SIGNS = ("=", "!=")


@dataclass(frozen=True, slots=True)
class Named:
    """What a filter or order may name.

    Attributes:
        column: Column of the catalog.
        info: Its field.
    """

    column: str
    info: FieldInfo


def names() -> dict[str, Named]:
    """Return everything that a filter or order may name beside the price, by name.

    A parameter is named with its side, `rds_on.max`; without it the typical value is meant.
    """
    from bomtui.storage.catalog.filters import COLUMNS, HOT_RDS_ON
    from bomtui.storage.catalog.tables import FILTERS

    by_field = {info.name: info for info in field_table(Part)}
    found: dict[str, Named] = {}
    for column in COLUMNS:
        field, side = FILTERS.get(column, (column, ""))
        if field not in by_field:
            continue
        info = by_field[field]
        found[f"{info.key}.{side}" if side else info.key] = Named(column, info)
        if side == "typ":
            found[info.key] = Named(column, info)
    hot = replace(
        by_field["rds_on_ohm"], key=HOT, help="largest on-resistance at 150 degC: that at 25 degC times hot_rds_on"
    )
    found[HOT] = Named(HOT_RDS_ON, hot)
    return found


def hot_rds_on_ohm(part: Part) -> float | None:
    """Return the largest on-resistance of a part at 150 degC [ohm]; None where an input of it is unknown."""
    value = PLAIN(hot_resistance_ohm, cold_ohm=part.rds_on_ohm.upper, hot_ratio=part.hot_rds_on_ratio)
    return value if isinstance(value, float) else None


def limit_of(text: str, quantity: int) -> "Limit":
    """Read one filter.

    Args:
        text: `NAME SIGN VALUE`, as `channels >= 8` or `life_cycle = active`.
        quantity: Pieces of an order, for prices.

    Raises:
        BomtuiError: It cannot be read; the sentence says what is expected.
    """
    from bomtui.storage.catalog.filters import Limit, PriceAt

    form = _FORM.fullmatch(text)
    if form is None:
        raise BomtuiError(f"expected a filter such as 'channels >= 8', found '{text}'")
    name, sign, value = form["name"], form["sign"], form["value"]
    if name == PRICE:
        money = _MONEY.fullmatch(value)
        if money is None:
            raise BomtuiError(f"expected a price such as '1.20 EUR' in the filter '{text}', found '{value}'")
        micros = Decimal(money["amount"]) * _MICRO
        micro = int(micros)
        if micro != micros:
            raise BomtuiError(f"expected a price with at most 6 decimals in the filter '{text}', found '{value}'")
        if micro > _LARGEST:
            raise BomtuiError(f"expected a price of less than 13 digits in the filter '{text}', found '{value}'")
        return Limit(PriceAt(quantity, money["currency"]), sign, micro)  # type: ignore[arg-type]
    named = _named(name)
    return Limit(named.column, sign, _value(named.info, sign, value, text))  # type: ignore[arg-type]


def order_of(text: str, quantity: int, currency: str) -> "Order":
    """Read what an answer is ordered by.

    Args:
        text: A name, with a minus before it where the largest comes first.
        quantity: Pieces of an order, for prices.
        currency: Currency of the prices.

    Raises:
        BomtuiError: There is no such name.
    """
    from bomtui.storage.catalog.filters import Order, PriceAt

    name = text.removeprefix("-")
    of: Quantity = PriceAt(quantity, currency) if name == PRICE else _named(name).column
    return Order(of, descending=text.startswith("-"))


def asked_of(where: tuple[str, ...], sort: str) -> tuple[str, ...]:
    """Return the names that filters and an order ask for, each once."""
    forms = [_FORM.fullmatch(text) for text in where]
    named = [form["name"] for form in forms if form is not None]
    asked = dict.fromkeys([*named, *([sort.removeprefix("-")] if sort else [])])
    return tuple(name for name in asked if name not in _ALWAYS_SHOWN)


def _named(name: str) -> Named:
    known = names()
    if name in known:
        return known[name]
    near = get_close_matches(name, [*known, PRICE], n=1)
    hint = f"; did you mean '{near[0]}'?" if near else ""
    raise BomtuiError(f"expected one of {', '.join(sorted([*known, PRICE]))}, found '{name}'{hint}")


def _value(info: FieldInfo, sign: str, value: str, text: str) -> float | int | str:
    if info.dimension or info.shape == "count":
        try:
            return parse(value, info.dimension) if info.dimension else parse_count(value)
        except QuantityError as error:
            raise BomtuiError(f"the filter '{text}' cannot be read: {error}") from error
    if sign not in _WORD_SIGNS:
        raise BomtuiError(f"expected = or != for words in the filter '{text}', found {sign}")
    if info.choices and value not in info.choices:
        raise BomtuiError(f"expected one of {', '.join(info.choices)} in the filter '{text}', found '{value}'")
    return value
