"""A programme year by year: price-down, learning, what is spent once, stock carried over."""

from decimal import Decimal

import pytest

from bomtui.engine.programme import learned_ratios, lifetime
from bomtui.model.money import Total
from bomtui.model.programme import LEARNING_CONVENTIONS
from bomtui.model.proposal import Snapshot
from tests.engine.sides import computed, having, money, start, with_, with_rates
from tests.engine.test_cost_example import _example


def _programme(snapshot: Snapshot, **fields: object) -> Snapshot:
    return having(snapshot, programme=with_(snapshot.proposal.programme, **fields))


def test_the_worked_example_over_four_years() -> None:
    """The body box at 3 % price-down: its four prices, 210.6299 in sum, 52.6575 in the mean (worked by hand)."""
    found = lifetime(computed(_programme(_example(), price_down_ratio=0.03)))
    assert found is not None
    assert [str(year.price.amount) for year in found.years] == ["55.0872", "53.4346", "51.8315", "50.2766"]
    assert found.total == Total(amount=Decimal("210.6299") * 2000)
    assert (found.mean_price, found.vehicles) == (Decimal("52.6575"), 8000)
    assert (found.one_off, found.one_off_per_vehicle) == (Decimal(90000), Decimal("11.2500"))


def test_stock_of_the_worked_example_is_carried_over() -> None:
    """4,032 quads a year in reels of 2,500 at 1.10: 968, 1,936, 404 and 1,372 pieces are left (counted by hand)."""
    found = lifetime(computed(_example()))
    assert found is not None
    pieces = [Decimal(968), Decimal(1936), Decimal(404), Decimal(1372)]
    assert [year.stock.amount for year in found.years] == [count * Decimal("1.10") for count in pieces]
    anew = lifetime(computed(with_rates(_example(), carry_over=False)))
    assert anew is not None
    assert {year.stock.amount for year in anew.years} == {968 * Decimal("1.10")}


def test_a_plan_by_year_reads_each_rung_at_its_own_need() -> None:
    """1,000 and then 3,000 vehicles: the quad costs 1.32 and then 1.10; 90,000 spread over 4,000 are 22.50."""
    found = lifetime(computed(_programme(_example(), volumes={"2028": 3000, "2027": 1000})))
    assert found is not None
    assert [(year.name, year.volume) for year in found.years] == [("2027", 1000), ("2028", 3000)]
    # Without one-off cost the box takes 43.8372 at 1.10; at 1.32 two quads cost 0.44 more, with attrition and freight
    # 0.44 (1.008) (1.03) = 0.4568.
    first, second = (year.price.amount for year in found.years)
    assert second == Decimal("66.3372")
    assert first - second == pytest.approx(Decimal("0.4568"), abs=Decimal("0.0001"))
    assert found.one_off_per_vehicle == Decimal("22.5000")


def test_a_year_without_vehicles_costs_nothing_and_keeps_its_stock() -> None:
    """A gap year pays nothing; what is in stock before it is there after it."""
    found = lifetime(computed(_programme(_example(), volumes={"1": 2000, "2": 0, "3": 2000})))
    assert found is not None
    assert found.years[1].paid.amount == 0
    assert found.years[1].stock == found.years[0].stock
    assert lifetime(computed(_programme(_example(), volumes={"1": 0}))) is None


def test_spent_once_is_paid_in_the_price_or_at_the_start() -> None:
    """Without price-down both ways pay the same; at 8 % what is paid at the start is worth more."""
    found = lifetime(computed(_programme(_example(), discount_ratio=0.08)))
    assert found is not None
    assert found.paid_once.amount == found.total.amount
    assert found.present_value is not None
    assert found.paid_once_present_value is not None
    # 22,500 a year for four years at 8 % are worth 74,522.85 (annuity 3.312127), 15,477.15 less than 90,000.
    gap = found.paid_once_present_value.amount - found.present_value.amount
    assert gap == pytest.approx(Decimal("15477.15"), abs=Decimal("0.05"))
    assert lifetime(computed(_example())).present_value is None  # type: ignore[union-attr]


def test_learning_by_both_conventions() -> None:
    """At 80 % a second year of as many vehicles costs 0.6 of the first by the cumulative average; more by the unit."""
    assert learned_ratios([500, 500], 0.8, "cumulative_average") == [Decimal(1), Decimal("0.600000")]
    unit = learned_ratios([500, 500], 0.8, "unit")[1]
    assert unit is not None
    # The integral of x ** -0.32193 from 500 to 1,000 over that from 0 to 500 is 2 ** 0.67807 - 1 = 0.6.
    assert Decimal("0.600") < unit < Decimal("0.615")
    assert learned_ratios([500, 500], 1.0, "unit") == [1, 1]
    assert learned_ratios([500, 500], 0.0, "unit") == [None, None]
    assert learned_ratios([0, 500, 500], 0.8, "cumulative_average")[0] is None


@pytest.mark.parametrize("convention", LEARNING_CONVENTIONS)
def test_learning_makes_work_cheaper_and_nothing_else(convention: str) -> None:
    """With a learning ratio later years cost less by what placement, test and assembly fall, and no more than these."""
    plain, learned = (
        lifetime(computed(_programme(_example(), learning_ratio=ratio)), convention) for ratio in (1.0, 0.9)
    )
    assert plain is not None
    assert learned is not None
    assert learned.years[0].price == plain.years[0].price
    saved = plain.years[-1].price.amount - learned.years[-1].price.amount
    assert 0 < saved < Decimal("2.4860") + Decimal("1.9000")
    assert learned.convention == convention


def test_unknowns_stay_counted() -> None:
    """An unknown one-off cost, an unknown price and an unknown volume are never nothing."""
    found = lifetime(computed(with_rates(start(), one_off=None)))
    assert found is not None
    assert (found.one_off, found.one_off_per_vehicle) == (None, None)
    assert found.total.unknown == 4
    assert found.paid_once.unknown == 1
    blank = having(start(), vehicle=with_(start().proposal.vehicle, years=None))
    assert lifetime(computed(blank)) is None


def test_a_variant_has_a_one_off_cost_of_its_own() -> None:
    """What a variant says of itself stands before the rate of the proposal."""
    plain = with_rates(start(), one_off=money("60000"))
    variant = with_(plain.proposal.variants["one"], one_off=money("30000"))
    own = computed(having(plain, variants={"one": variant}))
    assert computed(plain).result.cost.elements["one_off"].amount == Decimal("10.0000")
    assert own.result.cost.elements["one_off"].amount == Decimal("5.0000")
