"""Money: exact decimal amounts with a currency, rounded at named steps only."""

from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from decimal import ROUND_CEILING, ROUND_HALF_UP, Context, Decimal, localcontext
from functools import cache, cached_property
from math import lcm

from bomtui.model.base import Base

LINE_DIGITS = 4
"""Digits after the decimal mark of a printed line (common practice, no source)."""

_MINOR_UNIT_DIGITS = {
    **dict.fromkeys(("JPY", "KRW", "VND", "CLP", "ISK"), 0),
    **dict.fromkeys(("BHD", "IQD", "JOD", "KWD", "LYD", "OMR", "TND"), 3),
}


class CurrencyError(ValueError):
    """Two amounts of different currencies met without a rate between them."""


class Money(Base, frozen=True):
    """An exact amount of one currency.

    Attributes:
        amount: Exact decimal amount; floats are refused.
        currency: Three-letter code of ISO 4217.
    """

    amount: Decimal
    currency: str

    def __post_init__(self) -> None:
        """Refuse what would bring binary rounding or an unknown currency into a sum."""
        if not isinstance(self.amount, Decimal):
            message = f"money takes a Decimal amount, found {type(self.amount).__name__}"
            raise TypeError(message)
        if not self.amount.is_finite():
            message = f"money takes a finite amount, found {self.amount}"
            raise ValueError(message)
        if not is_currency(self.currency):
            message = f"'{self.currency}' is not a currency: three capital letters of ISO 4217 are expected"
            raise ValueError(message)

    def __add__(self, other: "Money") -> "Money":
        """Add an amount of the same currency."""
        self._same_currency(other)
        return Money(amount=self.amount + other.amount, currency=self.currency)

    def __sub__(self, other: "Money") -> "Money":
        """Subtract an amount of the same currency."""
        self._same_currency(other)
        return Money(amount=self.amount - other.amount, currency=self.currency)

    def _same_currency(self, other: "Money") -> None:
        if self.currency != other.currency:
            message = f"{self.currency} and {other.currency} do not add up without a rate"
            raise CurrencyError(message)


class Total(Base, frozen=True):
    """A sum of money in which some terms may be unknown.

    Attributes:
        amount: Sum of the known terms.
        unknown: How many terms are missing; where it is not 0 the amount is a lower bound.
    """

    amount: Decimal
    unknown: int = 0

    def __add__(self, other: "Total") -> "Total":
        """Add amounts and counts of missing terms, each to its like."""
        return Total(amount=self.amount + other.amount, unknown=self.unknown + other.unknown)


def is_currency(code: str) -> bool:
    """Tell whether a text has the form of an ISO 4217 code."""
    return len(code) == len("EUR") and code.isascii() and code.isalpha() and code.isupper()


def minor_unit_digits(currency: str) -> int:
    """Return the digits after the decimal mark of a currency's minor unit.

    Source: ISO 4217 list one.
    """
    return _MINOR_UNIT_DIGITS.get(currency, 2)


def round_half_up(amount: Decimal, digits: int) -> Decimal:
    """Round commercially (half away from zero) to a number of digits after the decimal mark."""
    return amount.quantize(_unit(digits), rounding=ROUND_HALF_UP)


def ceiling(amount: Decimal) -> int:
    """Return the smallest whole number that is not below the amount."""
    return int(amount.to_integral_value(rounding=ROUND_CEILING))


@contextmanager
def without_rounding() -> Iterator[None]:
    """Let sums, differences, products and halves keep every digit, whatever their number."""
    with localcontext(Context(prec=1000)):
        yield


def exact_sum(amounts: Iterable[Decimal]) -> Decimal:
    """Add amounts to the last digit."""
    with without_rounding():
        return sum(amounts, Decimal(0))


def rounded_to_add(
    amounts: Mapping[str, Decimal], digits: int, printed_sum: Decimal | None = None
) -> dict[str, Decimal]:
    """Round signed amounts half up so that they add to their rounded sum.

    The units that rounding leaves over or takes too many go, one each, to the amounts that it moved furthest the
    other way, ties in alphabetical order of the keys; with all signs turned every result only turns its sign.

    Args:
        amounts: Amount per key.
        digits: Digits after the decimal mark.
        printed_sum: Their sum as it is printed elsewhere, a unit or so from the rounded one; None for the rounded one.

    Source: method of largest remainders (Hamilton apportionment), on what half-up rounding leaves.
    """
    rounded = {key: round_half_up(amount, digits) for key, amount in amounts.items()}
    with without_rounding():
        wanted = round_half_up(exact_sum(amounts.values()), digits) if printed_sum is None else printed_sum
        left = wanted - exact_sum(rounded.values())
        units = int(left.scaleb(digits))
        sign = 1 if units > 0 else -1
        lost = sorted((-sign * (amounts[key] - rounded[key]), key) for key in amounts)
    for _, key in lost[: abs(units)]:
        rounded[key] += sign * _unit(digits)
    return rounded


class Proportion:
    """Weights by which amounts are split, made ready once for all of them.

    Attributes:
        weights: Weight per key; nobody changes them any more.
    """

    def __init__(self, weights: Mapping[str, Decimal]) -> None:
        """Take weights; to split by them, none may be negative and one at least must be above 0."""
        self.weights = weights

    @cached_property
    def _whole(self) -> dict[str, int]:
        """Whole numbers in the same proportion: exact, and much quicker than decimals."""
        return _whole_weights(self.weights)

    def __eq__(self, other: object) -> bool:
        """Compare the weights."""
        if not isinstance(other, Proportion):
            return NotImplemented
        return self.weights == other.weights

    __hash__ = None  # type: ignore[assignment]

    @cached_property
    def _whole_sum(self) -> int:
        """Their sum, above 0; raises ValueError where nothing can be split by them."""
        if min(self._whole.values(), default=0) < 0 or not any(self._whole.values()):
            message = "an amount is split by weights of which none is negative and one at least is above 0"
            raise ValueError(message)
        return sum(self._whole.values())

    def largest_remainder(self, total: Decimal, digits: int) -> dict[str, Decimal]:
        """Split an amount so that the shares add to it exactly.

        Each share is rounded down to the given digits; the missing units go, one each, to the largest remainders,
        ties in alphabetical order of the keys. What the total holds below the given digits goes to the first of them.

        Args:
            total: Amount to split; may be negative.
            digits: Digits after the decimal mark of a share.

        Returns:
            A share per key, in the order of the keys.

        Raises:
            ValueError: A weight is negative or all are 0.

        Source: method of largest remainders (Hamilton apportionment), see electoral mathematics handbooks.
        """
        if total < 0:
            return {key: -share for key, share in self.largest_remainder(-total, digits).items()}
        scaled = total.scaleb(digits)
        units = int(scaled)
        unit = _unit(digits)
        result = {key: share * unit for key, share in zip(self._whole, self._shared(units), strict=True)}
        if units != scaled:
            remainders = [(-(units * weight % self._whole_sum), key) for key, weight in self._whole.items() if weight]
            _, first = min(remainders)
            result[first] += total - units * unit
        return result

    def share_units(self, total: Decimal, digits: int) -> list[int] | None:
        """Split an amount like `largest_remainder`, in whole units of the given digits.

        Returns:
            A share per key, in the order of the keys; None where the total is not a whole number of units.

        Raises:
            ValueError: A weight is negative or all are 0.
        """
        scaled = total.scaleb(digits)
        units = int(scaled)
        if units != scaled:
            return None
        return self._shared(units) if units >= 0 else [-share for share in self._shared(-units)]

    def _shared(self, units: int) -> list[int]:
        whole_sum = self._whole_sum
        shares = [units * weight // whole_sum for weight in self._whole.values()]
        left = units - sum(shares)
        if left:
            rests = [-(units * weight % whole_sum) for weight in self._whole.values()]
            order = sorted(zip(rests, self._whole, range(len(rests)), strict=True))
            for _, _, row in order[:left]:
                shares[row] += 1
        return shares


@cache
def _unit(digits: int) -> Decimal:
    return Decimal(1).scaleb(-digits)


def _whole_weights(weights: Mapping[str, Decimal]) -> dict[str, int]:
    """Return whole numbers in the same proportion as the weights."""
    whole = {key: int(weight) for key, weight in weights.items()}
    if whole == weights:
        return whole
    ratios = {key: weight.as_integer_ratio() for key, weight in weights.items()}
    multiple = lcm(*(bottom for _, bottom in ratios.values()))
    return {key: top * (multiple // bottom) for key, (top, bottom) in ratios.items()}
