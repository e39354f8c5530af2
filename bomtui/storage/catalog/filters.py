"""Filters and orders of the catalog over typed columns and prices; what is unknown meets no filter and comes last."""

import operator
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Literal

from sqlalchemy import ColumnElement, Float, and_, case, func, or_, select
from sqlalchemy.ext.compiler import compiles

from bomtui.storage.catalog.tables import FILTERS, PART, PRICE

Operator = Literal["<", "<=", "=", "!=", ">=", ">"]
OPERATORS: dict[Operator, Callable[[Any, Any], Any]] = {
    "<": operator.lt,
    "<=": operator.le,
    "=": operator.eq,
    "!=": operator.ne,
    ">=": operator.ge,
    ">": operator.gt,
}
TEXT_COLUMNS = ("key", "kind", "family", "maker", "mpn", "package", "grade", "life_cycle", "safety", "origin")
_OTHER_SIDE = {
    column: other
    for column, (field, side) in FILTERS.items()
    for other, (same, its_side) in FILTERS.items()
    if field == same and {side, its_side} == {"typ", "max"}
}
COLUMNS = (*TEXT_COLUMNS, *FILTERS)
"""Columns that may be filtered and ordered by."""
HOT_RDS_ON = "rds_on_hot_ohm"
"""Largest on-resistance at 150 degC, worked out while it is asked for."""


@dataclass(frozen=True, slots=True)
class PriceAt:
    """The price of one piece where so many are ordered at once.

    Attributes:
        quantity: Pieces of the order.
        currency: Only prices in this currency count; others are unknown.
    """

    quantity: int
    currency: str


Quantity = str | PriceAt
"""A column of `COLUMNS`, `HOT_RDS_ON`, or a price in whole micro-units."""


class _HotRatio(ColumnElement[float]):
    """On-resistance at 150 degC over that at 25 degC, which stands among all that is known of a part."""

    inherit_cache = True
    type = Float()


@compiles(_HotRatio, "sqlite")
def _in_a_file(*_: object, **__: object) -> str:
    return "json_extract(part.params, '$.hot_rds_on_ratio')"


@compiles(_HotRatio, "postgresql")
def _on_a_server(*_: object, **__: object) -> str:
    return "CAST(CAST(part.params AS json) ->> 'hot_rds_on_ratio' AS double precision)"


@dataclass(frozen=True, slots=True)
class Limit:
    """One condition on a part.

    Attributes:
        of: What is compared.
        operator: How.
        value: With what: a number in the unit of the column, a text for a column of `TEXT_COLUMNS`.
    """

    of: Quantity
    operator: Operator
    value: float | int | str


@dataclass(frozen=True, slots=True)
class Order:
    """What an answer is ordered by.

    Attributes:
        of: What it is.
        descending: Whether the largest comes first.
    """

    of: Quantity
    descending: bool = False


@dataclass(frozen=True, slots=True)
class Mark:
    """Where a page ends.

    Attributes:
        value: What the answer is ordered by, in the last row; None where it is unknown, or nothing orders the answer.
        id: Identity of the last row.
    """

    value: float | int | str | None
    id: int


def expression(of: Quantity) -> ColumnElement[Any]:
    """Return what a filter or order looks at.

    Raises:
        KeyError: There is no such column.
    """
    if isinstance(of, PriceAt):
        # The rung with the largest quantity not above the order; below the lowest rung the lowest serves.
        reached = PRICE.c.quantity <= of.quantity
        rung = (
            select(PRICE.c.micro)
            .where(PRICE.c.part_id == PART.c.id, PRICE.c.currency == of.currency)
            .order_by(reached.desc(), case((reached, -PRICE.c.quantity), else_=PRICE.c.quantity))
            .limit(1)
        )
        return rung.scalar_subquery()
    if of == HOT_RDS_ON:
        return expression("rds_on_max_ohm") * _HotRatio()
    if of not in COLUMNS:
        raise KeyError(of)
    # Of a parameter of which one value is given this serves for both corners, as in every figure.
    other = _OTHER_SIDE.get(of)
    return PART.c[of] if other is None else func.coalesce(PART.c[of], PART.c[other])


def condition(limit: Limit) -> ColumnElement[bool]:
    """Return the condition of a limit."""
    found: ColumnElement[bool] = OPERATORS[limit.operator](expression(limit.of), limit.value)
    return found


def ordering(order: Order) -> tuple[ColumnElement[Any], ...]:
    """Return what orders an answer: the unknown last, equals in the order in which they came into the catalog."""
    value = expression(order.of)
    return (value.is_(None), value.desc() if order.descending else value, PART.c.id)


def beyond(order: Order, mark: Mark) -> ColumnElement[bool]:
    """Return the condition of the rows that follow a mark."""
    value = expression(order.of)
    later = PART.c.id > mark.id
    if mark.value is None:
        return and_(value.is_(None), later)
    further = value < mark.value if order.descending else value > mark.value
    return or_(further, and_(value == mark.value, later), value.is_(None))
