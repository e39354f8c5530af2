"""What a parts list says of its purchase: money without a second source, left-over money, the next price rung."""

from collections.abc import Mapping
from dataclasses import dataclass

from bomtui.engine.calc import Gate, formula
from bomtui.model.bound import Value, at_least
from bomtui.model.part import Part, PriceBreak
from bomtui.model.rollup import CostRollup, PartLine

KINDS_MADE_TO_ORDER = frozenset(("passive", "connector", "board", "housing"))
"""Kinds that a review of second sources leaves out: drawn for the module, or sold by many (common practice)."""


@formula("part_cost / whole_cost", "", "definition")
def money_ratio(part_cost: float, whole_cost: float) -> float:
    """Share of an amount of money in another.

    Args:
        part_cost: The one amount.
        whole_cost: The other, above 0.

    Source: definition.
    """
    return part_cost / whole_cost


@formula("(rung_quantity - order_quantity) / order_quantity", "", "definition")
def missing_ratio(rung_quantity: float, order_quantity: float) -> float:
    """How far an order is below a price rung, over the order.

    Args:
        rung_quantity: Lower bound of the rung.
        order_quantity: Pieces ordered, above 0.

    Source: definition.
    """
    return (rung_quantity - order_quantity) / order_quantity


def is_single(part: Part | None) -> bool | None:
    """Tell whether a part has no alternate; None where it is not known, False for kinds that are not asked."""
    if part is None:
        return None
    return part.kind not in KINDS_MADE_TO_ORDER and not part.alternates


def single_source_ratio(calc: Gate, cost: CostRollup, parts: Mapping[str, Part]) -> Value:
    """Return the share of the money for parts, of the kinds asked, that goes to parts without an alternate."""
    asked = [line for line in cost.lines if _is_asked(parts.get(line.part))]
    single = [line for line in asked if is_single(parts.get(line.part)) is not False]
    return _ratio(calc, single, asked)


def _is_asked(part: Part | None) -> bool:
    return part is None or part.kind not in KINDS_MADE_TO_ORDER


def _ratio(calc: Gate, lines: list[PartLine], whole: list[PartLine]) -> Value:
    amounts = [line.line_price for line in whole]
    if None in amounts:
        return None
    whole_cost = calc.money([line.part for line in whole], amounts).amount
    cost = calc.money([line.part for line in lines], [line.line_price for line in lines]).amount
    return calc(
        money_ratio,
        part_cost=calc.given(float(cost), "money for these parts"),
        whole_cost=calc.given(float(whole_cost), "money for all parts asked"),
    )


def left_over_ratio(calc: Gate, cost: CostRollup) -> Value:
    """Return the money in pieces left after the programme over that for all parts; at least what is known of it."""
    left, parts = cost.excess_life_per_vehicle, cost.elements["parts"]
    if parts.unknown:
        return None
    ratio = calc(
        money_ratio,
        part_cost=calc.given(float(left.amount), "money left over, per vehicle"),
        whole_cost=calc.given(float(parts.amount), "money for parts, per vehicle"),
    )
    if left.unknown and isinstance(ratio, float):
        return at_least(ratio, frozenset((f"{left.unknown} parts",)))
    return ratio


@dataclass(frozen=True, slots=True)
class NextRung:
    """The next lower price of a part.

    Attributes:
        rung: The rung.
        missing: How far the order is below it, over the order.
        saving: How far its unit price is below the one paid, over that.
    """

    rung: PriceBreak
    missing: Value
    saving: Value


def next_rung(calc: Gate, line: PartLine, part: Part) -> NextRung | None:
    """Return the next rung above an order whose price is lower; None where there is none or the order is not known."""
    if line.order is None or line.unit_price is None or not line.order:
        return None
    above = [own for own in part.breaks if own.quantity > line.order and own.price < line.unit_price]
    if not above:
        return None
    rung = min(above, key=lambda own: own.quantity)
    return NextRung(
        rung,
        calc(
            missing_ratio,
            rung_quantity=calc.given(float(rung.quantity), "price rung"),
            order_quantity=calc.given(float(line.order), "order"),
        ),
        calc(
            money_ratio,
            part_cost=calc.given(float(line.unit_price - rung.price), "price above the next rung"),
            whole_cost=calc.given(float(line.unit_price), "unit price"),
        ),
    )


def largest_left_over(cost: CostRollup, number: int) -> list[PartLine]:
    """Return the parts of which most money is left over after the programme."""
    left = [(line.excess_life_per_vehicle, line) for line in cost.lines]
    known = [(-money, line.part, line) for money, line in left if money]
    return [line for _, _, line in sorted(known, key=lambda own: own[:2])[:number]]
