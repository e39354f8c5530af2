"""Order quantity, price rung and rounding excess of one part."""

from decimal import Decimal

import pytest

from bomtui.engine.calc import PLAIN
from bomtui.engine.price import left_over_with_carry_over, part_line, rung_of
from bomtui.model.part import Part, PriceBreak
from bomtui.model.settings import Rates
from bomtui.model.vehicle import Vehicle

LADDER = tuple(
    PriceBreak(quantity=quantity, price=Decimal(price)) for quantity, price in ((100, "2.00"), (1000, "1.50"))
)
PART = Part(kind="sensor", moq=100, multiple=100, currency="EUR", breaks=LADDER)
VEHICLE = Vehicle(supply="12 V", volume_per_year=600, years=8)
RATES = Rates(attrition_ratio=0.0)


@pytest.mark.parametrize(
    ("order", "rung", "below"), [(99, 100, True), (100, 100, False), (999, 100, False), (1000, 1000, False)]
)
def test_rung_boundaries(order: int, rung: int, below: bool) -> None:
    """A rung starts at its own bound; below the lowest the lowest serves and says so."""
    found, flagged = rung_of(LADDER, order)
    assert found is not None
    assert (found.quantity, flagged) == (rung, below)


def test_rungs_need_no_order() -> None:
    """A ladder written from the largest quantity down gives the same rung."""
    assert rung_of(LADDER[::-1], 1500) == rung_of(LADDER, 1500)


def test_no_breaks_no_price() -> None:
    """A part without prices has an unknown line, not a free one."""
    line = part_line(
        PLAIN, "x", Part(kind="sensor", moq=1, multiple=1, currency="EUR"), Decimal(1), VEHICLE, RATES, "EUR"
    )
    assert (line.unit_price, line.line_price, line.order) == (None, None, 600)


@pytest.mark.parametrize("missing", ["moq", "multiple", "breaks"])
def test_missing_order_data_leaves_the_price_unknown(missing: str) -> None:
    """Without minimum order, multiple or price breaks there is no rung to read."""
    known = {"moq": 100, "multiple": 100, "breaks": LADDER}
    known.pop(missing)
    line = part_line(PLAIN, "x", Part(kind="sensor", currency="EUR", **known), Decimal(1), VEHICLE, RATES, "EUR")  # type: ignore[arg-type]
    assert line.line_price is None


def test_other_currency_is_unknown_without_a_rate() -> None:
    """A price in another currency than the proposal's is not added as if it were the same."""
    line = part_line(PLAIN, "x", PART, Decimal(1), VEHICLE, RATES, "USD")
    assert line.line_price is None


def test_need_is_rounded_up_and_ordered_in_multiples() -> None:
    """1.8 dm2 for 601 vehicles is 1,082 dm2, ordered as 1,100."""
    vehicle = Vehicle(supply="12 V", volume_per_year=601, years=8)
    line = part_line(PLAIN, "board", PART, Decimal("1.8"), vehicle, RATES, "EUR")
    assert (line.need, line.order, line.rung) == (1082, 1100, 1000)
    assert line.line_price == Decimal("2.7000")


def test_attrition_raises_the_order_and_is_no_excess() -> None:
    """Pieces ordered for attrition are needed: excess starts above them."""
    line = part_line(PLAIN, "x", PART, Decimal(1), VEHICLE, Rates(attrition_ratio=0.01), "EUR")
    assert (line.need, line.order_base, line.order) == (600, 606, 700)
    assert line.excess_per_year == Decimal(94) * Decimal("2.00")


@pytest.mark.parametrize(
    ("need", "moq", "multiple", "years", "left"),
    [
        (600, 3000, 3000, 8, 1200),  # a reel of 3,000 lasts five years: two reels for 4,800 pieces
        (600, 600, 600, 8, 0),
        (600, 1000, 1000, 1, 400),
        (600, 1000, 1000, 3, 200),  # 1,000 + 1,000 cover 1,800
    ],
)
def test_left_over_with_carry_over(need: int, moq: int, multiple: int, years: int, left: int) -> None:
    """Each year orders only what stock lacks; worked by hand."""
    assert left_over_with_carry_over(Decimal(need), moq, multiple, years) == left


def test_any_number_of_years_is_quick() -> None:
    """Stock repeats, so a million years are the same as counting them one by one for a few."""
    for years in range(40):
        stock = Decimal(0)
        for _ in range(years):
            if stock < 700:
                stock += 3000
            stock -= 700
        assert left_over_with_carry_over(Decimal(700), 3000, 3000, years) == stock
    assert left_over_with_carry_over(Decimal(700), 3000, 3000, 10**9) >= 0


def test_without_carry_over_every_year_leaves_its_excess() -> None:
    """Where left-over pieces are thrown away, the excess of every year counts."""
    line = part_line(PLAIN, "x", PART, Decimal(1), Vehicle(supply="12 V", volume_per_year=650, years=4), RATES, "EUR")
    thrown = part_line(
        PLAIN,
        "x",
        PART,
        Decimal(1),
        Vehicle(supply="12 V", volume_per_year=650, years=4),
        Rates(attrition_ratio=0.0, carry_over=False),
        "EUR",
    )
    assert line.excess_life_per_vehicle == Decimal(0)
    assert thrown.excess_life_per_vehicle == Decimal(200) * 2 / 2600
