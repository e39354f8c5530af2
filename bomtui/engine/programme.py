"""The price over the years of a programme: price-down, learning by two conventions, present value, stock left."""

from collections.abc import Mapping
from decimal import Decimal
from itertools import accumulate, pairwise
from math import fsum, log

from bomtui.engine.calc import PLAIN, exact_of, formula
from bomtui.engine.cost_elements import amortised_cost
from bomtui.engine.price import order_quantity
from bomtui.engine.recost import Recosted, at_volume, spent_once
from bomtui.engine.rollup import Computed
from bomtui.model.ids import natural_key
from bomtui.model.lifetime import Lifetime, Year
from bomtui.model.money import LINE_DIGITS, Total, exact_sum, round_half_up
from bomtui.model.programme import LEARNING_CONVENTIONS, Programme
from bomtui.model.rollup import PartLine

WORK = ("placement", "test", "assembly")
"""Cost elements that learning makes cheaper."""

# Units that are added one by one before the rest of a sum is taken as an integral with its first corrections.
# Source: common practice; the rest is then good to far more digits than a price has.
ONE_BY_ONE: int = 1000
# Digits of a ratio of learning. Source: common practice; a price of 10,000 then keeps its second digit.
RATIO_DIGITS: int = 6


@formula(
    "round(price * (1 - price_down_ratio) ** year, 4)",
    "",
    "price falls by a share of the year before (common practice)",
)
def price_in_year(price: Decimal, price_down_ratio: Decimal, year: int) -> Decimal:
    """Price of a year, by the price-down agreed for the quoted price as a whole.

    Args:
        price: Price of the first year.
        price_down_ratio: Share by which each year's price is below that of the year before.
        year: Years after the first one.

    Source: common practice.
    """
    return round_half_up(price * (1 - price_down_ratio) ** year, LINE_DIGITS)


@formula(
    "units ** (log(learning_ratio) / log(2))",
    "",
    "Wright: the mean of all units falls to the ratio at every doubling",
)
def mean_of_all_ratio(units: int, learning_ratio: float) -> float:
    """Mean cost of all units so far over that of the first, by the cumulative-average convention.

    Args:
        units: Units so far, at least 1.
        learning_ratio: Mean cost at twice the units over that before, above 0.

    Source: learning curve of Wright (cumulative average).
    """
    return float(units ** (log(learning_ratio) / log(2)))


@formula(
    "unit ** (log(learning_ratio) / log(2))",
    "",
    "Crawford: the cost of the last unit falls to the ratio at every doubling",
)
def unit_ratio(unit: int, learning_ratio: float) -> float:
    """Cost of one unit over that of the first, by the unit convention.

    Args:
        unit: Its number, at least 1.
        learning_ratio: Cost of the unit of twice the number over that before, above 0.

    Source: learning curve of Crawford (unit curve).
    """
    return float(unit ** (log(learning_ratio) / log(2)))


@formula("round(amount / (1 + discount_ratio) ** year, 4)", "", "present value of a payment (definition)")
def present_value(amount: Decimal, discount_ratio: Decimal, year: int) -> Decimal:
    """What a later payment is worth at the start.

    Args:
        amount: The payment.
        discount_ratio: Interest of a year, above -1.
        year: Years from the start; 0 is the start itself.

    Source: definition.
    """
    return round_half_up(amount / (1 + discount_ratio) ** year, LINE_DIGITS)


@formula("stock + bought - base", "", "pieces left at the end of a year (definition)")
def pieces_left(stock: Decimal, bought: Decimal, base: Decimal) -> Decimal:
    """Pieces left at the end of a year.

    Args:
        stock: Pieces there at its beginning.
        bought: Pieces bought.
        base: Pieces needed, with attrition.

    Source: definition.
    """
    return stock + bought - base


@formula("pieces * unit_price", "", "money in pieces (definition)")
def money_in(pieces: Decimal, unit_price: Decimal) -> Decimal:
    """Money in some pieces.

    Args:
        pieces: Pieces.
        unit_price: Price of one.

    Source: definition.
    """
    return pieces * unit_price


@formula("round(total / vehicles, 4)", "", "mean over all vehicles (definition)")
def mean_over(total: Decimal, vehicles: int) -> Decimal:
    """Mean over all vehicles.

    Args:
        total: The whole.
        vehicles: Vehicles, above 0.

    Source: definition.
    """
    return round_half_up(total / vehicles, LINE_DIGITS)


@formula(
    "integral(low, high) + (cost(high) - cost(low)) / 2 + (slope(high) - slope(low)) / 12",
    "",
    "Euler-Maclaurin sum of a unit curve",
)
def units_between_ratio(low: int, high: int, learning_ratio: float) -> float:
    """Cost of the units above one number up to another over that of the first, by the unit convention.

    Args:
        low: Number above which units count, large against 1.
        high: Number of the last one.
        learning_ratio: Cost of the unit of twice the number over that before, above 0.

    Source: Euler-Maclaurin formula.
    """
    power = log(learning_ratio) / log(2)
    area = log(high / low) if power == -1 else (high ** (power + 1) - low ** (power + 1)) / (power + 1)
    ends = (high**power - low**power) / 2
    slopes = power * (high ** (power - 1) - low ** (power - 1)) / 12
    return float(area + ends + slopes)


@formula("later_ratio / first_ratio", "", "mean of a year over that of the first year (definition)")
def learned_ratio(later_ratio: float, first_ratio: float) -> float:
    """Share of the first year's cost that is left.

    Args:
        later_ratio: Mean cost of a year over that of the first unit.
        first_ratio: The same of the first year.

    Source: definition.
    """
    return later_ratio / first_ratio


@formula("(up_to_ratio - before_ratio) / units", "", "mean of the units of a year (definition)")
def mean_of_year_ratio(up_to_ratio: float, before_ratio: float, units: int) -> float:
    """Mean cost of the units of a year over that of the first unit.

    Args:
        up_to_ratio: Cost of all units up to its end over that of the first.
        before_ratio: Cost of all units before it, likewise.
        units: Units of the year, above 0.

    Source: definition.
    """
    return (up_to_ratio - before_ratio) / units


@formula("mean_ratio * units", "", "mean times number (definition)")
def all_of_mean_ratio(mean_ratio: float, units: int) -> float:
    """Cost of all units over that of the first.

    Args:
        mean_ratio: Their mean over that of the first.
        units: How many.

    Source: definition.
    """
    return mean_ratio * units


def cost_of_units(units: int, learning_ratio: float, convention: str) -> float:
    """Return the cost of the first units together over that of the first one.

    Args:
        units: How many.
        learning_ratio: What is left at every doubling, above 0.
        convention: One of `LEARNING_CONVENTIONS`.
    """
    if not units:
        return 0.0
    if convention == LEARNING_CONVENTIONS[0]:
        mean = PLAIN(mean_of_all_ratio, units=units, learning_ratio=learning_ratio)
        return _number(PLAIN(all_of_mean_ratio, mean_ratio=mean, units=units))
    counted = min(units, ONE_BY_ONE)
    costs = [_number(PLAIN(unit_ratio, unit=unit, learning_ratio=learning_ratio)) for unit in range(1, counted + 1)]
    if counted < units:
        costs.append(_number(PLAIN(units_between_ratio, low=counted, high=units, learning_ratio=learning_ratio)))
    return fsum(costs)


def learned_ratios(volumes: list[int], learning_ratio: float, convention: str) -> list[Decimal | None]:
    """Return per year what is left of the cost of work in the first year that builds anything.

    The rates of the proposal are taken as the mean of that year.

    Args:
        volumes: Vehicles built in each year.
        learning_ratio: What is left at every doubling; at 0 or below nothing can be said.
        convention: One of `LEARNING_CONVENTIONS`.
    """
    if learning_ratio == 1:
        return [Decimal(1)] * len(volumes)
    if learning_ratio <= 0:
        return [None] * len(volumes)
    ends = [cost_of_units(built, learning_ratio, convention) for built in (0, *accumulate(volumes))]
    means = [
        PLAIN(mean_of_year_ratio, up_to_ratio=up_to, before_ratio=before, units=volume) if volume else None
        for (before, up_to), volume in zip(pairwise(ends), volumes, strict=True)
    ]
    first = next((mean for mean in means if mean is not None), None)
    ratios = [PLAIN(learned_ratio, later_ratio=mean, first_ratio=first) for mean in means]
    return [None if ratio is None else round_half_up(Decimal(repr(_number(ratio))), RATIO_DIGITS) for ratio in ratios]


def _number(value: object) -> float:
    """Return a value that no unknown went into."""
    if not isinstance(value, float):
        raise TypeError("a learning curve of known numbers is a number")
    return value


def lifetime(side: Computed, convention: str | None = None) -> Lifetime | None:
    """Cost a variant over its programme; None where it has no years or no vehicles.

    The price of a year is read at the rungs of that year's own need. What is spent once is shared by all vehicles of
    the programme; the price-down holds for the quoted price as a whole.

    Args:
        side: The computed variant.
        convention: Of which cost the learning ratio is said; None for that of the proposal.
    """
    proposal = side.snapshot.proposal
    programme = proposal.programme
    names, volumes = years_of(side)
    vehicles = sum(volumes)
    if not vehicles:
        return None
    convention = programme.learning_convention if convention is None else convention
    ratios = learned_ratios(volumes, programme.learning_ratio, convention)
    at = {volume: at_volume(side, volume) for volume in set(volumes) if volume}
    once = spent_once(side)
    share = PLAIN.exact(amortised_cost, amount=once, volume_per_year=vehicles, years=1)
    apart = [_year_cost(at.get(volume), ratio) for volume, ratio in zip(volumes, ratios, strict=True)]
    missing = Total(amount=Decimal(0), unknown=1)
    shared = [own + (missing if share is None else Total(amount=share)) for own in apart]
    prices, prices_apart = (_down(costs, volumes, programme) for costs in (shared, apart))
    paid, paid_apart = (_paid(costs, volumes) for costs in (prices, prices_apart))
    stocks = _stocks(side, at, volumes)
    total = _sum(paid)
    start = missing if once is None else Total(amount=once)
    return Lifetime(
        years=tuple(
            Year(name=name, volume=volume, price=price, paid=money, stock=stock)
            for name, volume, price, money, stock in zip(names, volumes, prices, paid, stocks, strict=True)
        ),
        vehicles=vehicles,
        total=total,
        mean_price=_exact(PLAIN.exact(mean_over, total=total.amount, vehicles=vehicles)),
        present_value=_present(paid, programme),
        one_off=once,
        one_off_per_vehicle=share,
        paid_once=_sum([start, *paid_apart]),
        paid_once_present_value=_present(paid_apart, programme, start),
        convention=convention,
    )


def years_of(side: Computed) -> tuple[list[str], list[int]]:
    """Return the names of the years and the vehicles built in each; none where they are not known."""
    vehicle, planned = side.snapshot.proposal.vehicle, side.snapshot.proposal.programme.volumes
    if planned:
        names = sorted(planned, key=natural_key)
        return names, [planned[name] for name in names]
    if vehicle.volume_per_year is None or vehicle.years is None:
        return [], []
    return [f"year {number}" for number in range(1, vehicle.years + 1)], [vehicle.volume_per_year] * vehicle.years


def _year_cost(cost: Recosted | None, learned: Decimal | None) -> Total:
    """Return what a vehicle costs in a year, without what is spent once; a year without vehicles costs nothing."""
    if cost is None:
        return Total(amount=Decimal(0))
    unknown = 0
    amounts = []
    for name, element in cost.elements.items():
        if name == "one_off":
            continue
        unknown += element.unknown
        amount = (
            element.amount if name not in WORK else PLAIN.exact(money_in, pieces=learned, unit_price=element.amount)
        )
        unknown += amount is None
        amounts += [] if amount is None else [round_half_up(amount, LINE_DIGITS)]
    return Total(amount=exact_sum(amounts), unknown=unknown)


def _down(costs: list[Total], volumes: list[int], programme: Programme) -> list[Total]:
    down = exact_of(PLAIN, programme.price_down_ratio, "programme.price_down")
    return [
        Total(
            amount=_exact(PLAIN.exact(price_in_year, price=cost.amount, price_down_ratio=down, year=year)),
            unknown=cost.unknown,
        )
        if volume
        else Total(amount=Decimal(0))
        for year, (cost, volume) in enumerate(zip(costs, volumes, strict=True))
    ]


def _paid(prices: list[Total], volumes: list[int]) -> list[Total]:
    return [
        Total(
            amount=_exact(PLAIN.exact(money_in, pieces=Decimal(volume), unit_price=price.amount)), unknown=price.unknown
        )
        for price, volume in zip(prices, volumes, strict=True)
    ]


def _sum(totals: list[Total]) -> Total:
    return PLAIN.totals([str(number) for number in range(len(totals))], totals)


def _present(paid: list[Total], programme: Programme, start: Total | None = None) -> Total | None:
    """Return the present value of what is paid at the start and at the end of each year."""
    if programme.discount_ratio is None:
        return None
    rate = exact_of(PLAIN, programme.discount_ratio, "programme.discount")
    flows = [*enumerate(paid, start=1), *([] if start is None else [(0, start)])]
    return _sum(
        [
            Total(
                amount=_exact(PLAIN.exact(present_value, amount=flow.amount, discount_ratio=rate, year=year)),
                unknown=flow.unknown,
            )
            for year, flow in flows
        ]
    )


def _exact(amount: Decimal | None) -> Decimal:
    """Return an amount of which no input is unknown."""
    if amount is None:
        raise ValueError("a formula of known amounts has a value")
    return amount


def _stocks(side: Computed, at: Mapping[int, Recosted], volumes: list[int]) -> list[Total]:
    """Return the money in pieces left at the end of each year."""
    carry = side.snapshot.proposal.settings.rates.carry_over
    stock: dict[str, Decimal | None] = dict.fromkeys(side.cost.needs, Decimal(0))
    totals = [Total(amount=Decimal(0))]
    for volume in volumes:
        if not volume:
            # A year without vehicles orders nothing and uses nothing.
            totals.append(totals[-1])
            continue
        lines = at[volume].lines
        stock = {key: _left(side, lines[key], left if carry else Decimal(0)) for key, left in stock.items()}
        money = [PLAIN.exact(money_in, pieces=left, unit_price=lines[key].unit_price) for key, left in stock.items()]
        totals.append(PLAIN.money(list(stock), money))
    return totals[1:]


def _left(side: Computed, line: PartLine, stock: Decimal | None) -> Decimal | None:
    part = side.snapshot.parts.get(line.part)
    if part is None or line.order_base is None or stock is None:
        return None
    base = Decimal(line.order_base)
    bought: Decimal | None = Decimal(0)
    if stock < base:
        bought = PLAIN.exact(order_quantity, order_base=base - stock, moq=part.moq, multiple=part.multiple)
    return PLAIN.exact(pieces_left, stock=stock, bought=bought, base=base)
