"""How numbers are written for the reader of a file: decimal mark, separator of cells, and where the currency stands."""

from dataclasses import dataclass
from typing import Literal

from bomtui.export.csv import Numeral
from bomtui.export.table import Cell, FigureCell, TableColumn, shown

CurrencyFormat = Literal["header", "code", "symbol"]
CURRENCY_FORMATS: tuple[CurrencyFormat, ...] = ("header", "code", "symbol")
"""header: in the header of the column only; code: behind each amount, as EUR; symbol: the same with its sign."""
SEPARATORS = {"comma": ",", "semicolon": ";", "tab": "\t"}

SYMBOLS = {
    "EUR": "\N{EURO SIGN}",
    "USD": "$",
    "GBP": "\N{POUND SIGN}",
    "JPY": "\N{YEN SIGN}",
    "INR": "\N{INDIAN RUPEE SIGN}",
}
"""Signs of currencies; any other one is written by its code."""


class NotationError(ValueError):
    """A decimal mark and a separator that cannot be told apart; the text is one sentence."""


@dataclass(frozen=True, slots=True)
class Notation:
    """How numbers are written.

    Attributes:
        decimal_comma: Whether the decimal mark is a comma.
        separator: What stands between two cells of a CSV file.
        currency: Where the currency of an amount stands, on pages and in sheets; a CSV file has it in the header.
    """

    decimal_comma: bool = False
    separator: str = ","
    currency: CurrencyFormat = "header"

    def __post_init__(self) -> None:
        """Refuse what nobody could read back."""
        if self.separator not in SEPARATORS.values():
            names = ", ".join(SEPARATORS)
            raise NotationError(f"expected one of {names} as separator of cells, found {self.separator!r}")
        if self.decimal_comma and self.separator == ",":
            raise NotationError("a decimal comma needs another separator of cells than a comma: semicolon or tab")

    def number(self, text: str) -> str:
        """Write a number that is printed with a point."""
        return text.replace(".", ",") if self.decimal_comma else text

    def cell(self, cell: Cell, column: TableColumn) -> str:
        """Write a cell for a page that people read."""
        if not isinstance(cell, Numeral | FigureCell):
            return shown(cell)
        text = self.number(shown(cell))
        return self.amount(text, column.unit) if column.kind == "amount" else text

    def amount(self, text: str, currency: str) -> str:
        """Write an amount with its currency, where that is asked for."""
        if self.currency == "header" or not currency:
            return text
        return f"{text} {self.currency_sign(currency)}"

    def currency_sign(self, currency: str) -> str:
        """Return what stands behind an amount."""
        return SYMBOLS.get(currency, currency) if self.currency == "symbol" else currency


PLAIN_NOTATION = Notation()
"""Decimal point, comma between cells, currency in the header."""
