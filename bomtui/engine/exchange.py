"""Money of another currency in that of the proposal, at the rate that the proposal holds."""

from decimal import Decimal

from bomtui.engine.calc import Gate, formula
from bomtui.model.money import Money, without_rounding
from bomtui.model.programme import Programme


@formula("amount * worth", "", "amount times what one unit of its currency is worth, not rounded (definition)")
def exchanged(amount: Decimal, worth: Decimal) -> Decimal:
    """Amount in the currency of the proposal.

    Args:
        amount: Amount in the other currency.
        worth: What one unit of that currency is worth.

    Source: definition.
    """
    with without_rounding():
        return amount * worth


def worth_of(programme: Programme, currency: str, own_currency: str) -> Decimal | None:
    """Return what one unit of a currency is worth in that of the proposal; None where no rate from it is given.

    A rate is used in the direction in which it is written only, and only where it is above 0.
    """
    if currency == own_currency:
        return Decimal(1)
    rate = programme.exchange.get(currency)
    if rate is None or rate.worth is None or rate.worth.currency != own_currency or rate.worth.amount <= 0:
        return None
    return rate.worth.amount


def in_own_currency(
    calc: Gate, amount: Decimal | None, currency: str, programme: Programme, own_currency: str
) -> Decimal | None:
    """Return an amount in the currency of the proposal; None where it is unknown, or no rate is given.

    Args:
        calc: Gate.
        amount: The amount.
        currency: Its currency.
        programme: For the rates.
        own_currency: Currency of the proposal.
    """
    if currency == own_currency:
        return amount
    return calc.exact(exchanged, amount=amount, worth=worth_of(programme, currency, own_currency))


def own_amount(calc: Gate, money: Money | None, programme: Programme, own_currency: str) -> Decimal | None:
    """Return the amount of some money in the currency of the proposal; None where it is unknown."""
    return None if money is None else in_own_currency(calc, money.amount, money.currency, programme, own_currency)
