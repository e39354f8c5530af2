"""Which mode decides: above the limit before undecided, undecided before within it, and of these the worst."""

from math import inf

from bomtui.model.bound import Range
from bomtui.rules.comparing import worst_of


def at_least(low: float) -> Range:
    """A figure of which only the least is known."""
    return Range(low, inf, frozenset({"something"}))


def test_the_mode_with_the_largest_least_figure_speaks_for_what_is_undecided() -> None:
    """Of modes that may be above the limit the one is named in which it is surely the most."""
    worst = worst_of({"A": at_least(1.0), "B": at_least(3.0), "C": at_least(2.0), "D": None}, 5.0)
    assert (worst.mode, worst.value, worst.over) == ("B", at_least(3.0), None)


def test_what_is_surely_above_comes_before_what_may_be() -> None:
    """A mode above the limit decides, the one with the most above it; without one, and nothing unknown, the largest."""
    assert worst_of({"A": 6.0, "B": at_least(3.0), "C": at_least(7.0)}, 5.0).mode == "C"
    assert worst_of({"A": 2.0, "B": 4.0, "C": 3.0}, 5.0) == ("B", 4.0, False)
    assert worst_of({}, 5.0) == ("", None, None)
