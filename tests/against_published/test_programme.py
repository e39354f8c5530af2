"""Learning curves, present value and break-even against published tables and worked examples."""

from decimal import Decimal
from math import fsum

import pytest

from bomtui.engine.break_even import pieces_to_earn
from bomtui.engine.calc import PLAIN
from bomtui.engine.cost_elements import amortised_cost
from bomtui.engine.price import need_with_attrition
from bomtui.engine.programme import cost_of_units, mean_of_all_ratio, present_value, price_in_year, unit_ratio

WRIGHT, CRAWFORD = "cumulative_average", "unit"


def _unit(unit: int, ratio: float) -> float:
    found = PLAIN(unit_ratio, unit=unit, learning_ratio=ratio)
    assert isinstance(found, float)
    return found


# Source: management-accounting workbook, chapter on learning curves: 80 % from 100 h. It prints 254.76 for the last
# eight; its own totals give 655.36 - 409.6 = 245.76.
WRIGHT_MEANS = {1: 100.0, 2: 80.0, 4: 64.0, 8: 51.2, 16: 40.96}


@pytest.mark.parametrize(("units", "mean"), WRIGHT_MEANS.items())
def test_cumulative_average_curve(units: int, mean: float) -> None:
    """The mean of all units falls to 80 % at every doubling, and the total is that mean times the units."""
    assert PLAIN(mean_of_all_ratio, units=units, learning_ratio=0.8) == pytest.approx(mean / 100)
    assert 100 * cost_of_units(units, 0.8, WRIGHT) == pytest.approx(mean * units)


def test_increment_of_the_cumulative_average_curve() -> None:
    """Units 9 to 16 take 245.76 h, the second unit alone 60 % of the first (Wideman, 2 x 80 - 100)."""
    sixteen, eight = (100 * cost_of_units(units, 0.8, WRIGHT) for units in (16, 8))
    assert sixteen - eight == pytest.approx(245.76)
    assert 100 * cost_of_units(2, 0.8, WRIGHT) - 100.0 == pytest.approx(60.0)


def test_unit_curve_is_another_convention() -> None:
    """Eight units on an 80 % unit curve from 100 take 534.591, not 409.6 (both models in Wideman's appendix)."""
    assert 100 * cost_of_units(8, 0.8, CRAWFORD) == pytest.approx(534.591, abs=0.001)
    assert 100 * cost_of_units(8, 0.8, WRIGHT) == pytest.approx(409.6)


def test_unit_curve_of_75_per_cent() -> None:
    """From 812 for the first the 250th takes 82.096; 120 at the 100th means 811.44 for the first.

    Source: table of learning-curve factors in a project-management handbook (inputs seen, results computed).
    """
    assert 812 * _unit(250, 0.75) == pytest.approx(82.096, abs=0.01)
    assert 120 / _unit(100, 0.75) == pytest.approx(811.44, abs=0.01)


@pytest.mark.parametrize("ratio", [0.5, 0.75, 0.8, 0.95])
def test_long_sums_are_as_good_as_adding_one_by_one(ratio: float) -> None:
    """Beyond a thousand units the sum by integral agrees with adding each unit, to 12 digits."""
    added = fsum(_unit(unit, ratio) for unit in range(1, 5001))
    assert cost_of_units(5000, ratio, CRAWFORD) == pytest.approx(added, rel=1e-12)


def _net_present(flows: list[str], rate: str) -> Decimal:
    values = [
        PLAIN.exact(present_value, amount=Decimal(flow), discount_ratio=Decimal(rate), year=year)
        for year, flow in enumerate(flows)
    ]
    return sum((value for value in values if value is not None), Decimal(0))


def test_net_present_value() -> None:
    """Five flows at 8 %, the first at the start, are worth 3065.2227; five at 28.1 % next to nothing.

    Source: example of the function `npv` of numpy-financial (flows of Gitman, Principles of Managerial Finance, result
    recomputed); the second is printed as -0.00847859 in the documentation of `numpy.npv`. Each flow is rounded here to
    4 digits, so a sum of five is good to 2.5 in the last one.
    """
    first = _net_present(["-40000", "5000", "8000", "12000", "30000"], "0.08")
    assert abs(first - Decimal("3065.2227")) <= Decimal("0.0003")
    second = _net_present(["-100", "39", "59", "55", "20"], "0.281")
    assert abs(second - Decimal("-0.00847859")) <= Decimal("0.0003")
    assert second - _net_present(["-200", "39", "59", "55", "20"], "0.281") == 100


# Source: accounting textbook problems (inputs published; the first two print their results, the third is computed).
@pytest.mark.parametrize(
    ("fixed", "price", "variable", "units"),
    [
        ("100000", "1.80", "0.80", 100000),
        ("48000", "75", "45", 1600),
        ("48000", "95", "45", 960),
        ("500000", "68.50", "50.95", 28491),
    ],
)
def test_break_even_is_rounded_up(fixed: str, price: str, variable: str, units: int) -> None:
    """Fixed cost over what a piece earns, the last piece whole: 28,490.03 are 28,491."""
    saving = Decimal(price) - Decimal(variable)
    assert PLAIN.exact(pieces_to_earn, gap=Decimal(fixed), saving=saving) == units


def test_one_off_cost_over_its_vehicles() -> None:
    """500,000 over 200,000 units are 2.50 each (identity)."""
    assert PLAIN.exact(amortised_cost, amount=Decimal(500000), volume_per_year=200000, years=1) == Decimal("2.5000")


def test_attrition_is_counted_on_what_is_needed() -> None:
    """1,000 good pieces at 5 % are 1,050 to order; 1,000 / 0.95 would be 1,053, another convention (identity)."""
    assert PLAIN.exact(need_with_attrition, need=Decimal(1000), attrition_ratio=Decimal("0.05")) == 1050


def test_price_down_of_the_worked_example() -> None:
    """55.0872 at 3 % a year: 53.4346, 51.8315, 50.2766, in sum 210.6299 (invented figures, worked by hand)."""
    prices = [
        PLAIN.exact(price_in_year, price=Decimal("55.0872"), price_down_ratio=Decimal("0.03"), year=year)
        for year in range(4)
    ]
    assert [str(price) for price in prices] == ["55.0872", "53.4346", "51.8315", "50.2766"]
    assert sum(price for price in prices if price is not None) == Decimal("210.6299")
