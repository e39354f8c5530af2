"""What a change does to a figure."""

from decimal import Decimal

from bomtui.engine.calc import PLAIN
from bomtui.engine.difference import change_a, rough_cost
from bomtui.model.bound import at_least


def test_a_change_of_current() -> None:
    """After less before, in either direction."""
    assert change_a(PLAIN, 5.0, 3.0) == 2.0
    assert change_a(PLAIN, 3.0, 5.0) == -2.0


def test_bounds_are_not_subtracted() -> None:
    """What is unknown on both sides may be the same or not, so the change is unknown."""
    bound = at_least(3.0, frozenset(("x",)))
    assert change_a(PLAIN, bound, bound) is None
    assert change_a(PLAIN, None, 1.0) is None


def test_rough_cost() -> None:
    """The rough cost of 2 m at 0.30 and two chips at 1.25 is exact."""
    rough = PLAIN.exact(rough_cost, wires_m=Decimal(2), wire_rate=Decimal("0.30"), pieces=2, unit_price=Decimal("1.25"))
    assert rough == Decimal("3.10")
