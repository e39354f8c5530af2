"""Rounding, minor units, apportionment and price breaks against published tables and worked examples."""

from decimal import ROUND_HALF_EVEN, Decimal

import pytest

from bomtui.engine.price import rung_of
from bomtui.model.money import Proportion, minor_unit_digits, round_half_up
from bomtui.model.part import PriceBreak

# Source: ISO 4217 list one, from an open snapshot of about 2012 (BYR, since replaced, and CLF are left out).
MINOR_UNITS = {
    0: ("JPY", "KRW", "VND", "CLP", "ISK"),
    2: ("USD", "EUR", "HUF", "CHF"),
    3: ("BHD", "IQD", "JOD", "KWD", "LYD", "OMR", "TND"),
}

# Source: definition of commercial rounding (half away from zero) beside IEEE 754 roundTiesToEven; values from memory,
# recomputed with decimals.
HALVES = [
    ("0.125", 2, "0.13", "0.12"),
    ("2.665", 2, "2.67", "2.66"),
    ("2.675", 2, "2.68", "2.68"),
    ("0.5", 0, "1", "0"),
    ("2.5", 0, "3", "2"),
    ("-2.5", 0, "-3", "-2"),
]

# Source: apportionment of 60 seats by the populations of 1790 (Hamilton's method), electowiki "Hamilton method".
POPULATIONS = {
    "VA": 630560, "MA": 475327, "PA": 432879, "NC": 353523, "NY": 331589, "MD": 278514, "CT": 236841, "SC": 206236,
    "NJ": 179570, "NH": 141822, "VT": 85533, "GA": 70835, "KY": 68705, "RI": 68446, "DE": 55540,
}  # fmt: skip
SEATS = {
    "VA": 11, "MA": 8, "PA": 7, "NC": 6, "NY": 6, "MD": 5, "CT": 4, "SC": 3, "NJ": 3, "NH": 2, "VT": 1, "GA": 1,
    "KY": 1, "RI": 1, "DE": 1,
}  # fmt: skip


@pytest.mark.parametrize(("digits", "codes"), MINOR_UNITS.items())
def test_minor_units(digits: int, codes: tuple[str, ...]) -> None:
    """Each currency has the digits of ISO 4217."""
    assert {code: minor_unit_digits(code) for code in codes} == dict.fromkeys(codes, digits)


@pytest.mark.parametrize(("amount", "digits", "half_up", "half_even"), HALVES)
def test_commercial_rounding(amount: str, digits: int, half_up: str, half_even: str) -> None:
    """Money is rounded half away from zero, which differs from rounding half to even where the table says so."""
    assert round_half_up(Decimal(amount), digits) == Decimal(half_up)
    even = Decimal(amount).quantize(Decimal(1).scaleb(-digits), rounding=ROUND_HALF_EVEN)
    assert even == Decimal(half_even)


def _seats(total: int, weights: dict[str, int]) -> dict[str, int]:
    shares = Proportion({key: Decimal(weight) for key, weight in weights.items()}).largest_remainder(Decimal(total), 0)
    return {key: int(share) for key, share in shares.items()}


def test_apportionment_of_1790() -> None:
    """Sixty seats fall to the fifteen states as the published table says."""
    assert _seats(60, POPULATIONS) == SEATS


# Source: worked examples of two public notes on largest remainders (seen second-hand; quotas 3.5, 2.1, 1.4 and so on).
@pytest.mark.parametrize(
    ("total", "weights", "shares"),
    [(7, [50, 30, 20], [4, 2, 1]), (4, [500, 300, 110, 20], [2, 1, 1, 0]), (100, [1, 1, 1], [34, 33, 33])],
)
def test_small_apportionments(total: int, weights: list[int], shares: list[int]) -> None:
    """Three small splits come out as published; ties go in the order of the keys."""
    named = {f"k{row}": weight for row, weight in enumerate(weights)}
    assert list(_seats(total, named).values()) == shares


def _ladder(*rungs: tuple[int, str]) -> tuple[PriceBreak, ...]:
    return tuple(PriceBreak(quantity=quantity, price=Decimal(price)) for quantity, price in rungs)


def _total(breaks: tuple[PriceBreak, ...], demand: int, order: int, per_order: str, holding: str) -> Decimal:
    """Yearly cost with all-units discount: purchase at the order's own rung, ordering, and holding of half an order."""
    rung, _ = rung_of(breaks, order)
    assert rung is not None
    return (
        demand * rung.price
        + Decimal(demand) / order * Decimal(per_order)
        + Decimal(order) / 2 * Decimal(holding) * rung.price
    )


# Source: textbook problems on all-units quantity discounts; the first prints 42417.9, 40822.5, 40080, 41221, the second
# its best order of 1000 (totals recomputed); the third is Heizer and Render's example, values from memory.
FIRST = _ladder((1, "53"), (50, "51.5"), (100, "49.5"), (200, "48"), (500, "47"))
SECOND = _ladder((1, "5.00"), (1000, "4.90"), (2000, "4.85"))
THIRD = _ladder((1, "5.00"), (1000, "4.80"), (2000, "4.75"))
EXAMPLES = [
    (FIRST, 800, "60", "0.30", {79: "42417.87", 100: "40822.5", 200: "40080", 500: "41221"}, 200),
    (SECOND, 5000, "49", "0.20", {700: "25700", 1000: "25235", 2000: "25342.5"}, 1000),
    (THIRD, 5000, "49", "0.20", {700: "25700", 1000: "24725", 2000: "24822.5"}, 1000),
]


@pytest.mark.parametrize(("breaks", "demand", "per_order", "holding", "totals", "best"), EXAMPLES)
def test_all_units_discount(
    breaks: tuple[PriceBreak, ...], demand: int, per_order: str, holding: str, totals: dict[int, str], best: int
) -> None:
    """Read at the order's own rung, the yearly totals are the textbook's, and the deepest discount is not the best."""
    found = {order: _total(breaks, demand, order, per_order, holding) for order in totals}
    for order, total in totals.items():
        assert float(found[order]) == pytest.approx(float(total), abs=0.05), order
    assert min(found, key=lambda order: found[order]) == best
