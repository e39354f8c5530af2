"""What a change does to a figure: after less before, and what a place costs by first estimate."""

from decimal import Decimal

from bomtui.engine.calc import Gate, formula
from bomtui.model.bound import Value


@formula("after_a - before_a", "A", "definition")
def current_change_a(after_a: float, before_a: float) -> float:
    """Change of a current.

    Args:
        after_a: Current after [A].
        before_a: Current before [A].

    Source: definition.
    """
    return after_a - before_a


@formula("after - before", "", "definition")
def exact_change(after: Decimal, before: Decimal) -> Decimal:
    """Change of an exact figure.

    Args:
        after: Figure after.
        before: Figure before.

    Source: definition.
    """
    return after - before


@formula("(after - before) / abs(before)", "", "definition")
def change_ratio(after: Decimal, before: Decimal) -> Decimal:
    """Change of an exact figure over what it was.

    Args:
        after: Figure after.
        before: Figure before, not 0.

    Source: definition.
    """
    return (after - before) / abs(before)


@formula("amount / total", "", "definition")
def share_of(amount: Decimal, total: Decimal) -> Decimal:
    """Share of a whole.

    Args:
        amount: Part of the whole.
        total: The whole, not 0.

    Source: definition.
    """
    return amount / total


@formula("wires_m * wire_rate + pieces * unit_price", "", "wire and chip alone (common practice)")
def rough_cost(wires_m: Decimal, wire_rate: Decimal, pieces: int, unit_price: Decimal) -> Decimal:
    """First estimate of what serving a load somewhere costs, to choose what is costed exactly.

    Args:
        wires_m: Metres of its wires.
        wire_rate: Money for one metre.
        pieces: Chips that have to be added.
        unit_price: Price of one, at the rung that it reaches with them.

    Source: common practice; no figure that is shown rests on it.
    """
    return wires_m * wire_rate + pieces * unit_price


def change_a(calc: Gate, after_a: Value, before_a: Value) -> float | None:
    """Return by how much a current changes [A]; None where either is not known exactly.

    What is unknown on both sides may be the same or not: bounds are not subtracted.
    """
    if not isinstance(after_a, float) or not isinstance(before_a, float):
        return None
    change = calc(current_change_a, after_a=after_a, before_a=before_a)
    return change if isinstance(change, float) else None
