"""Prices of a row of a parts list or price list: one price, rungs in one cell, or a column for every rung."""

from decimal import Decimal
from itertools import pairwise
from typing import Any

from bomtui.model.money import is_currency
from bomtui.model.part import PriceBreak
from bomtui.storage.field_text import FieldError, read_field, shown
from bomtui.storage.tabular.answers import Question
from bomtui.storage.tabular.listing import Cell, Listing
from bomtui.storage.tabular.price_text import Price, other_mark, read_price, read_rungs

_ASK_CURRENCY = Question("currency", "prices do not say their currency; which one is it?", choices=("EUR", "USD"))


class RowPrices:
    """The prices of one row.

    Attributes:
        rungs: Unit price by the order quantity from which it holds.
        missing: What stands in a cell that says that there is no price.
        remarks: What deserves a look, one sentence each.
        is_missed: Whether it is to be said where there is none.
    """

    def __init__(self, listing: Listing) -> None:
        self.rungs: dict[int, Decimal] = {}
        self.missing = ""
        self.is_missed = True
        self.remarks: list[str] = []
        self._listing = listing
        self._currencies: set[str] = set()

    def take(self, cell: Cell, first: int) -> None:
        """Take a cell of prices.

        Args:
            cell: The cell.
            first: Order quantity from which a price without rung holds.

        Raises:
            FieldError: It holds no price, or a second one for a quantity.
        """
        mark = cell.decimal_mark or self._listing.decimal_mark or self._listing.found_mark.mark
        if cell.header.entry:
            self._add(int(cell.header.entry), cell, read_price(cell.text, mark), mark)
            return
        rungs = read_rungs(cell.text, mark)
        if rungs is None:
            self._add(first, cell, read_price(cell.text, mark), mark)
            return
        for least, price in rungs:
            self._add(least, cell, price, mark)

    def values(self, currency: str) -> dict[str, Any]:
        """Return the fields of a part.

        Args:
            currency: Currency of the row's own column; empty where it has none.

        Raises:
            FieldError: The prices have several currencies, or it is none.
        """
        if currency and not is_currency(currency):
            raise FieldError(shown(currency), "a currency (three capital letters of ISO 4217)")
        if not self.rungs:
            return {"currency": currency} if currency else {}
        said = self._currencies | ({currency} if currency else set())
        if len(said) > 1:
            raise FieldError(" and ".join(sorted(said)), "prices of one currency in a row")
        found = next(iter(said), "") or self._listing.answers.currency
        if not found and _ASK_CURRENCY not in self._listing.questions:
            self._listing.questions.append(_ASK_CURRENCY)
        ordered = sorted(self.rungs.items())
        for (least, price), (more, dearer) in pairwise(ordered):
            if dearer > price:
                self.remarks.append(f"the price rises from {price} ({least} pieces) to {dearer} ({more} pieces)")
        breaks = tuple(PriceBreak(quantity=least, price=price) for least, price in ordered)
        return {"breaks": breaks, "currency": found} if found else {"breaks": breaks}

    def _add(self, least: int, cell: Cell, price: Price | None, mark: str | None) -> None:
        if price is None:
            self.missing = self.missing or cell.text
            return
        if least in self.rungs:
            raise FieldError(f"{self.rungs[least]} and {price.amount}", f"one price from {least} pieces")
        self.rungs[least] = price.amount
        said = price.currency or cell.header.unit
        if said:
            self._currencies.add(said)
        if cell.text.strip() == f"${price.amount}":
            self.remarks.append(f"{shown(cell.text)} taken for US dollars")
        self.remarks.extend(_doubts(cell, price, mark))


def _doubts(cell: Cell, price: Price, mark: str | None) -> list[str]:
    found = []
    digits = "".join(sign for sign in cell.text if sign.isdigit() or sign in ".,")
    if len(digits) > 1 and digits.startswith("0") and digits[1].isdigit():
        found.append(f"the price {shown(cell.text)} can hardly be meant; likely cause: its decimal mark was lost")
    elif not price.amount:
        found.append("a price of 0 can hardly be meant; likely cause: a blank cell written as 0")
    if cell.mark is None and other_mark(cell.text, mark):
        found.append(f"{shown(cell.text)} has another decimal mark than most prices")
    return found


def read_plain(cell: Cell, listing: Listing) -> Any:  # noqa: ANN401 - a value has the type of its field
    """Read a cell of a plain field.

    Raises:
        FieldError: The field cannot take it.
    """
    cell.check_usable()
    info = cell.header.info
    if info is None:
        return cell.text
    mark = cell.decimal_mark or listing.decimal_mark
    text = cell.text
    if info.choices:
        text = next((choice for choice in info.choices if choice.casefold() == text.casefold()), text)
    return read_field(info, text, default_unit=cell.header.unit, decimal_mark=mark)
