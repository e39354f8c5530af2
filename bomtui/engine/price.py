"""Order quantity, price rung, line price and rounding excess of one part, at its quantity over all modules."""

from decimal import Decimal

from bomtui.engine.calc import Gate, exact_of, formula
from bomtui.engine.exchange import in_own_currency
from bomtui.model.money import LINE_DIGITS, ceiling, round_half_up
from bomtui.model.part import Part, PriceBreak
from bomtui.model.programme import Programme
from bomtui.model.rollup import PartLine
from bomtui.model.settings import Rates
from bomtui.model.vehicle import Vehicle


@formula("ceil(quantity * volume_per_year)", "", "need of a year, whole pieces (definition)")
def yearly_need(quantity: Decimal, volume_per_year: int) -> Decimal:
    """Pieces needed in a year.

    Args:
        quantity: Quantity per vehicle over all modules.
        volume_per_year: Vehicles a year.

    Source: definition.
    """
    return Decimal(ceiling(quantity * volume_per_year))


@formula("ceil(need * (1 + attrition_ratio))", "", "pieces lost in assembly are ordered on top (common practice)")
def need_with_attrition(need: Decimal, attrition_ratio: Decimal) -> Decimal:
    """Pieces to order in a year so that enough survive assembly.

    Args:
        need: Pieces needed.
        attrition_ratio: Pieces lost over pieces needed.

    Source: common practice.
    """
    return Decimal(ceiling(need * (1 + attrition_ratio)))


@formula("max(moq, ceil(order_base / multiple) * multiple)", "", "minimum order and package multiple (common practice)")
def order_quantity(order_base: Decimal, moq: int, multiple: int) -> Decimal:
    """Pieces ordered in a year.

    Args:
        order_base: Pieces to order.
        moq: Smallest order.
        multiple: Orders come in multiples of this, above 0.

    Source: common practice.
    """
    return Decimal(max(moq, ceiling(order_base / multiple) * multiple))


@formula("round(unit_price * quantity, 4)", "", "line of a parts list, rounded half up to 4 digits (common practice)")
def line_price(unit_price: Decimal, quantity: Decimal) -> Decimal:
    """Price of a part per vehicle.

    Args:
        unit_price: Price of the rung.
        quantity: Quantity per vehicle.

    Source: common practice.
    """
    return round_half_up(unit_price * quantity, LINE_DIGITS)


@formula("(order - order_base) * unit_price", "", "money tied up in pieces beyond the need (definition)")
def first_order_excess(order: Decimal, order_base: Decimal, unit_price: Decimal) -> Decimal:
    """Money in pieces ordered beyond the need of a year.

    Args:
        order: Pieces ordered.
        order_base: Pieces needed with attrition.
        unit_price: Price of the rung.

    Source: definition.
    """
    return (order - order_base) * unit_price


@formula("left_over * unit_price / (volume_per_year * years)", "", "money left after the programme (definition)")
def life_excess(left_over: Decimal, unit_price: Decimal, volume_per_year: int, years: int) -> Decimal:
    """Money in pieces left after the programme, per vehicle built.

    Args:
        left_over: Pieces left.
        unit_price: Price of the rung.
        volume_per_year: Vehicles a year, above 0.
        years: Years of the programme, above 0.

    Source: definition.
    """
    return left_over * unit_price / (volume_per_year * years)


@formula("left_over_after_years(order_base, moq, multiple, years)", "", "each year orders only what stock lacks")
def left_over_with_carry_over(order_base: Decimal, moq: int, multiple: int, years: int) -> Decimal:
    """Pieces left after the programme when each year orders only what stock lacks.

    Args:
        order_base: Pieces needed in a year, with attrition.
        moq: Smallest order.
        multiple: Orders come in multiples of this, above 0.
        years: Years of the programme.

    Source: derivation: stock of a year is what the year before left.
    """
    # Stock depends on the stock before only, so it repeats: a programme of any length costs no more than one period.
    stocks = [Decimal(0)]
    first_seen = {stocks[0]: 0}
    for year in range(1, years + 1):
        stock = stocks[-1]
        if stock < order_base:
            stock += order_quantity(order_base - stock, moq, multiple)
        stock -= order_base
        if stock in first_seen:
            start = first_seen[stock]
            return stocks[start + (years - start) % (year - start)]
        first_seen[stock] = year
        stocks.append(stock)
    return stocks[-1]


@formula("(order - order_base) * years", "", "every year orders anew (setting)")
def left_over_without_carry_over(order: Decimal, order_base: Decimal, years: int) -> Decimal:
    """Pieces left after the programme when every year orders anew.

    Args:
        order: Pieces ordered in a year.
        order_base: Pieces needed in a year, with attrition.
        years: Years of the programme.

    Source: definition.
    """
    return (order - order_base) * years


@formula("price", "", "price of the rung with the largest lower bound not above the order (common practice)")
def rung_price(price: Decimal, rung: int, order: Decimal) -> Decimal:  # noqa: ARG001 - printed with the price they decide
    """Unit price of an order.

    Args:
        price: Price of the rung.
        rung: Lower bound of the rung; below the lowest rung, that of the lowest.
        order: Pieces ordered.

    Source: common practice.
    """
    return price


def rung_of(breaks: tuple[PriceBreak, ...], order: int) -> tuple[PriceBreak | None, bool]:
    """Return the price rung of an order quantity, and whether the order is below the lowest.

    The rung is the one with the largest lower bound not above the order; below the lowest rung the lowest serves,
    flagged.
    """
    if not breaks:
        return None, False
    lawful = [rung for rung in breaks if rung.quantity <= order]
    if lawful:
        return max(lawful, key=lambda rung: rung.quantity), False
    return min(breaks, key=lambda rung: rung.quantity), True


def part_line(
    calc: Gate,
    key: str,
    part: Part | None,
    quantity: Decimal,
    vehicle: Vehicle,
    rates: Rates,
    currency: str,
    programme: Programme | None = None,
) -> PartLine:
    """Price one part at its quantity over all modules.

    Args:
        calc: Gate.
        key: Catalog key.
        part: Frozen part; None where the proposal has none.
        quantity: Quantity per average vehicle.
        vehicle: For volume and years.
        rates: For attrition and carry-over.
        currency: Currency of the proposal; a price in another one is unknown until a rate is given.
        programme: For these rates; None where there are none.

    Returns:
        The line as if every vehicle were the same, without its modules.
    """
    need = calc.exact(yearly_need, quantity=quantity, volume_per_year=vehicle.volume_per_year)
    base = calc.exact(
        need_with_attrition,
        need=need,
        attrition_ratio=exact_of(calc, rates.attrition_ratio, "settings.rates.attrition"),
    )
    moq = None if part is None else part.moq
    multiple = None if part is None else part.multiple
    order = calc.exact(order_quantity, order_base=base, moq=moq, multiple=multiple)
    breaks = () if part is None else part.breaks
    rung, below = (None, False) if order is None else rung_of(breaks, int(order))
    quoted = None if rung is None else calc.exact(rung_price, price=rung.price, rung=rung.quantity, order=order)
    own = "" if part is None else part.currency
    price = in_own_currency(calc, quoted, own, Programme() if programme is None else programme, currency)
    if price is None:
        # A rung without a price that counts is none.
        rung, below = None, False
    return PartLine(
        part=key,
        quantity=quantity,
        lean=quantity,
        full=quantity,
        need=_whole(need),
        order_base=_whole(base),
        order=_whole(order),
        rung=None if rung is None else rung.quantity,
        below_lowest=below,
        unit_price=price,
        line_price=calc.exact(line_price, unit_price=price, quantity=quantity),
        excess_per_year=calc.exact(first_order_excess, order=order, order_base=base, unit_price=price),
        excess_life_per_vehicle=_life_excess(calc, order, base, moq, multiple, price, vehicle, rates),
        per_module={},
        quantities={},
    )


def _life_excess(
    calc: Gate,
    order: Decimal | None,
    base: Decimal | None,
    moq: int | None,
    multiple: int | None,
    price: Decimal | None,
    vehicle: Vehicle,
    rates: Rates,
) -> Decimal | None:
    if rates.carry_over:
        left = calc.exact(left_over_with_carry_over, order_base=base, moq=moq, multiple=multiple, years=vehicle.years)
    else:
        left = calc.exact(left_over_without_carry_over, order=order, order_base=base, years=vehicle.years)
    return calc.exact(
        life_excess, left_over=left, unit_price=price, volume_per_year=vehicle.volume_per_year, years=vehicle.years
    )


def _whole(number: Decimal | None) -> int | None:
    return None if number is None else int(number)
