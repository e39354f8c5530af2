"""Other currencies: at the rate that the proposal holds, in the direction in which it is written, never guessed."""

import datetime
from decimal import Decimal

import pytest

from bomtui.engine.calc import PLAIN
from bomtui.engine.exchange import in_own_currency, own_amount, worth_of
from bomtui.model.money import Money
from bomtui.model.programme import Exchange, Programme
from bomtui.rules.run import review
from tests.engine.sides import VARIANT, computed, having, money, start, with_rates

DAY = datetime.date(2026, 5, 4)


def _programme(worth: Money | None) -> Programme:
    return Programme(exchange={"USD": Exchange(worth=worth, date=DAY)})


def test_an_amount_is_taken_over_without_rounding() -> None:
    """4.5109 USD at 0.92 are 4.150028 EUR, of which the line of a parts list is rounded, not the price."""
    own = in_own_currency(PLAIN, Decimal("4.5109"), "USD", _programme(money("0.92")), "EUR")
    assert own == Decimal("4.150028")
    line = next(line for line in computed(start()).result.cost.lines if line.part == "mcu")
    assert (line.unit_price, line.line_price) == (Decimal("4.150028"), Decimal("4.1500"))


def test_a_rate_is_not_turned_round() -> None:
    """What a dollar is worth in euros says nothing of what a euro is worth in dollars."""
    programme = _programme(money("0.92"))
    assert worth_of(programme, "USD", "EUR") == Decimal("0.92")
    assert worth_of(programme, "EUR", "USD") is None
    assert worth_of(programme, "USD", "CHF") is None
    assert worth_of(programme, "EUR", "EUR") == 1


@pytest.mark.parametrize("worth", [None, money("0"), money("-1"), money("0.92", "CHF")])
def test_no_rate_is_no_price(worth: Money | None) -> None:
    """Without a rate above 0 into the proposal's own currency a price is unknown, never taken as it stands."""
    programme = _programme(worth)
    assert in_own_currency(PLAIN, Decimal(4), "USD", programme, "EUR") is None
    assert own_amount(PLAIN, money("4", "USD"), programme, "EUR") is None
    found = computed(having(start(), programme=programme)).result.cost
    assert next(line for line in found.lines if line.part == "mcu").line_price is None
    assert found.elements["parts"].unknown == 1


def test_a_rate_of_work_in_another_currency_is_taken_over_too() -> None:
    """Wire at 0.50 USD a metre is 0.46 EUR; without a rate the element is unknown."""
    dollars = with_rates(start(), wire_per_metre=money("0.50", "USD"))
    metres = computed(dollars).result.wire_length_m
    assert computed(dollars).result.cost.elements["wire"].amount == metres * Decimal("0.46")
    unrated = having(dollars, programme=Programme())
    assert computed(unrated).result.cost.elements["wire"].unknown == 1


def test_a_rate_without_a_day_and_one_that_lacks_are_findings() -> None:
    """Both the day and the worth of a rate are asked for; a full one leaves nothing to ask."""

    def missing(exchange: Exchange) -> set[str]:
        snapshot = having(start(), programme=Programme(exchange={"USD": exchange}))
        result = computed(snapshot).result
        found = review(snapshot, VARIANT, result, computed(snapshot).serving).findings
        return {own.place for own in found if own.rule == "data.missing" and "exchange" in own.place}

    assert missing(Exchange(worth=money("0.92"), date=DAY)) == set()
    assert missing(Exchange(worth=money("0.92"))) == {"programme.exchange.USD.date"}
    assert missing(Exchange(date=DAY)) == {"programme.exchange.USD.worth"}
