"""Money: exact amounts, refused floats, and splits that add up."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bomtui.model.money import (
    CurrencyError,
    Money,
    Proportion,
    Total,
    ceiling,
    is_currency,
    round_half_up,
    rounded_to_add,
)

AMOUNTS = st.decimals(min_value=-10_000, max_value=10_000, places=6, allow_nan=False)
WEIGHTS = st.dictionaries(
    st.text("abcdef", min_size=1, max_size=3),
    st.decimals(min_value=0, max_value=500, places=2, allow_nan=False),
    min_size=1,
    max_size=8,
).filter(lambda weights: any(weights.values()))


@given(AMOUNTS, WEIGHTS, st.integers(0, 4))
def test_shares_add_to_the_total(total: Decimal, weights: dict[str, Decimal], digits: int) -> None:
    """Whatever is split, the shares add to it exactly, nobody without weight gets any, and none is a unit off."""
    shares = Proportion(weights).largest_remainder(total, digits)
    assert sum(shares.values()) == total
    unit = Decimal(1).scaleb(-digits)
    weight_sum = sum(weights.values())
    for key, share in shares.items():
        assert weights[key] or not share
        assert abs(share - total * weights[key] / weight_sum) < 2 * unit


@given(st.decimals(min_value=0, max_value=999, places=4, allow_nan=False), WEIGHTS)
def test_order_of_the_weights_changes_no_share(total: Decimal, weights: dict[str, Decimal]) -> None:
    """Ties go by key, never by the order in which weights are given."""
    backwards = dict(reversed(weights.items()))
    assert Proportion(weights).largest_remainder(total, 4) == Proportion(backwards).largest_remainder(total, 4)


def test_ties_go_in_alphabetical_order() -> None:
    """Of equal remainders the first key in the alphabet gets the unit."""
    shares = Proportion({"b": Decimal(1), "a": Decimal(1)}).largest_remainder(Decimal("0.01"), 2)
    assert shares == {"b": Decimal("0.00"), "a": Decimal("0.01")}


@pytest.mark.parametrize("weights", [{}, {"a": Decimal(0)}, {"a": Decimal(-1), "b": Decimal(2)}])
def test_nothing_to_split_by_is_refused(weights: dict[str, Decimal]) -> None:
    """Without a positive weight, or with a negative one, there is no split."""
    with pytest.raises(ValueError, match="none is negative and one at least is above 0"):
        Proportion(weights).largest_remainder(Decimal(1), 2)


def test_floats_do_not_get_in() -> None:
    """A binary float is refused at the door, with a sentence."""
    with pytest.raises(TypeError, match="money takes a Decimal amount, found float"):
        Money(amount=0.1, currency="EUR")  # type: ignore[arg-type]


@pytest.mark.parametrize("amount", ["NaN", "Infinity"])
def test_amounts_are_finite(amount: str) -> None:
    """Not-a-number and infinity are no money."""
    with pytest.raises(ValueError, match="finite"):
        Money(amount=Decimal(amount), currency="EUR")


@pytest.mark.parametrize("currency", ["", "eur", "EURO", "E1R", "€"])
def test_currencies_are_three_capitals(currency: str) -> None:
    """Anything but three capital letters is refused."""
    assert not is_currency(currency)
    with pytest.raises(ValueError, match="three capital letters of ISO 4217"):
        Money(amount=Decimal(1), currency=currency)


def test_currencies_do_not_mix() -> None:
    """Two currencies add up only with a rate, which addition does not have."""
    euros, dollars = (Money(amount=Decimal("1.10"), currency=currency) for currency in ("EUR", "USD"))
    assert euros + euros == Money(amount=Decimal("2.20"), currency="EUR")
    assert euros - euros == Money(amount=Decimal("0.00"), currency="EUR")
    with pytest.raises(CurrencyError, match="EUR and USD do not add up without a rate"):
        euros + dollars


def test_totals_add_amounts_and_gaps() -> None:
    """A sum of totals misses what its terms miss."""
    assert Total(amount=Decimal(1), unknown=1) + Total(amount=Decimal(2), unknown=2) == Total(
        amount=Decimal(3), unknown=3
    )


@pytest.mark.parametrize(("amount", "whole"), [("1.2", 2), ("2", 2), ("0", 0), ("-1.2", -1)])
def test_ceiling(amount: str, whole: int) -> None:
    """A started piece is a whole one."""
    assert ceiling(Decimal(amount)) == whole


def test_round_half_up_is_away_from_zero() -> None:
    """Half a unit goes away from zero on both sides."""
    assert round_half_up(Decimal("0.00005"), 4) == Decimal("0.0001")
    assert round_half_up(Decimal("-0.00005"), 4) == Decimal("-0.0001")


@given(AMOUNTS, WEIGHTS)
def test_whole_units_are_shared_alike(total: Decimal, weights: dict[str, Decimal]) -> None:
    """Shares in whole units are those of the split; an amount that is no whole number of units has none."""
    proportion = Proportion(weights)
    whole = round_half_up(total, 4)
    units = proportion.share_units(whole, 4)
    assert units == [int(share * 10_000) for share in proportion.largest_remainder(whole, 4).values()]
    assert (proportion.share_units(total, 4) is None) == (total != whole)


@given(st.dictionaries(st.text("abcdef", min_size=1, max_size=3), AMOUNTS, max_size=8), st.integers(0, 5))
def test_rounded_amounts_add_to_the_rounded_sum_and_turn_with_their_signs(
    amounts: dict[str, Decimal], digits: int
) -> None:
    """Whatever is rounded adds up, and with all signs turned every result only turns its own."""
    rounded = rounded_to_add(amounts, digits)
    assert sum(rounded.values(), Decimal(0)) == round_half_up(sum(amounts.values(), Decimal(0)), digits)
    assert all(abs(rounded[key] - amounts[key]) < Decimal("1.51").scaleb(-digits) for key in amounts)
    turned = rounded_to_add({key: -amount for key, amount in amounts.items()}, digits)
    assert turned == {key: -amount for key, amount in rounded.items()}
