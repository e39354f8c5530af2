"""Cost elements of one vehicle: rates of the proposal times what the vehicle takes of its modules."""

from collections.abc import Mapping
from decimal import Decimal

from bomtui.engine.calc import Gate, exact_of, formula
from bomtui.engine.exchange import own_amount
from bomtui.engine.quantities import Amounts, Weights
from bomtui.model.money import LINE_DIGITS, Money, Proportion, Total, round_half_up
from bomtui.model.proposal import Proposal
from bomtui.model.rollup import COST_ELEMENTS, PartLine


@formula("round(rate * amount, 4)", "", "rate times quantity, rounded half up to 4 digits (common practice)")
def element_cost(rate: Decimal, amount: Decimal) -> Decimal:
    """Cost element of a vehicle.

    Args:
        rate: Money for one.
        amount: How many, or a sum of money where the rate is a ratio.

    Source: common practice.
    """
    return round_half_up(rate * amount, LINE_DIGITS)


@formula("round(rate * amount + second_rate * second_amount, 4)", "", "fixed part and part per way (common practice)")
def two_rate_cost(rate: Decimal, amount: Decimal, second_rate: Decimal, second_amount: Decimal) -> Decimal:
    """Cost element with a rate per module and one per way.

    Args:
        rate: Money per module.
        amount: Modules.
        second_rate: Money per way.
        second_amount: Ways.

    Source: common practice.
    """
    return round_half_up(rate * amount + second_rate * second_amount, LINE_DIGITS)


@formula("round(amount / (volume_per_year * years), 4)", "", "one-off cost over all vehicles built (definition)")
def amortised_cost(amount: Decimal, volume_per_year: int, years: int) -> Decimal:
    """One-off cost per vehicle.

    Args:
        amount: One-off cost of the programme.
        volume_per_year: Vehicles a year, above 0.
        years: Years of the programme, above 0.

    Source: definition.
    """
    return round_half_up(amount / (volume_per_year * years), LINE_DIGITS)


def cost_elements(
    calc: Gate,
    proposal: Proposal,
    parts: Total,
    lines: tuple[PartLine, ...],
    amounts: Mapping[str, Amounts],
    one_off: Money | None,
) -> list[tuple[str, Total, Proportion]]:
    """Return each cost element of a vehicle, and the weights by which modules share it.

    Args:
        calc: Gate.
        proposal: For rates, volume and years.
        parts: Cost of its parts.
        lines: Its parts list, for the shares.
        amounts: What it takes of each module.
        one_off: One-off cost of the variant; None for that of the rates.
    """
    rates, vehicle = proposal.settings.rates, proposal.vehicle
    part_shares = {module: Decimal(0) for module in amounts}
    for line in lines:
        for module, share in line.per_module.items():
            part_shares[module] += share
    pieces = {module: own.placed_pieces for module, own in amounts.items()}
    ways = {module: own.test_ways for module, own in amounts.items()}
    metres = {module: own.length_m for module, own in amounts.items()}
    ends = {module: own.wire_ends for module, own in amounts.items()}
    boxes = {module: own.modules for module, own in amounts.items()}
    missing = sum(own.unknown_lengths for own in amounts.values())
    attrition = _ratio_element(calc, rates.attrition_ratio, "attrition", parts)
    parts_and_attrition = Total(
        amount=calc.money(("parts", "attrition"), (parts.amount, attrition.amount)).amount,
        unknown=parts.unknown + attrition.unknown,
    )
    test = calc.exact(
        two_rate_cost,
        rate=_amount(calc, rates.test_per_module, proposal),
        amount=calc.counted(boxes, "modules"),
        second_rate=_amount(calc, rates.test_per_way, proposal),
        second_amount=calc.counted(ways, "tested ways"),
    )
    test_weights = _test_weights(
        boxes, ways, _amount(calc, rates.test_per_module, proposal), _amount(calc, rates.test_per_way, proposal)
    )
    tested = _total(calc, test)
    unsure = sum(own.unknown_contacts for own in amounts.values())
    spent_once = calc.exact(
        amortised_cost,
        amount=_amount(calc, rates.one_off if one_off is None else one_off, proposal),
        volume_per_year=vehicle.volume_per_year,
        years=vehicle.years,
    )
    wire = _rate_element(calc, _amount(calc, rates.wire_per_metre, proposal), metres, "wire metres")
    by_parts, by_boxes = Proportion(part_shares), Proportion(boxes)
    found: dict[str, tuple[Total, Proportion]] = {
        "parts": (parts, by_parts),
        "attrition": (attrition, by_parts),
        "freight": (_ratio_element(calc, rates.freight_ratio, "freight", parts_and_attrition), by_parts),
        "duty": (_ratio_element(calc, rates.duty_ratio, "duty", parts_and_attrition), by_parts),
        "placement": (
            _rate_element(calc, _amount(calc, rates.placement, proposal), pieces, "placed pieces"),
            Proportion(pieces),
        ),
        "test": (Total(amount=tested.amount, unknown=tested.unknown + unsure), Proportion(test_weights)),
        "assembly": (
            _rate_element(calc, _amount(calc, rates.assembly_per_module, proposal), boxes, "modules"),
            by_boxes,
        ),
        "wire": (Total(amount=wire.amount, unknown=wire.unknown + missing), Proportion(metres)),
        "wire_ends": (
            _rate_element(calc, _amount(calc, rates.wire_end, proposal), ends, "wire ends"),
            Proportion(ends),
        ),
        "network": (_rate_element(calc, _amount(calc, rates.bus_node, proposal), boxes, "modules"), by_boxes),
        "one_off": (
            _total(calc, spent_once) if amounts else Total(amount=calc.given(Decimal(0), "no module to pay it for")),
            # It is spent once for a module, however few vehicles have it.
            Proportion(dict.fromkeys(amounts, Decimal(1))),
        ),
    }
    return [(name, *found[name]) for name in COST_ELEMENTS]


def _test_weights(boxes: Weights, ways: Weights, per_module: Decimal | None, per_way: Decimal | None) -> Weights:
    if per_module is None or per_way is None:
        return ways
    return {module: per_module * boxes[module] + per_way * count for module, count in ways.items()}


def _ratio_element(calc: Gate, share_ratio: float | None, name: str, base: Total) -> Total:
    rate = None if share_ratio is None else exact_of(calc, share_ratio, f"settings.rates.{name}")
    known = _total(calc, calc.exact(element_cost, rate=rate, amount=base.amount))
    # A ratio of 0 makes nothing of unknown parts either; any other ratio carries them on.
    carried = 0 if rate == 0 else base.unknown
    return Total(amount=known.amount, unknown=known.unknown + carried)


def _rate_element(calc: Gate, rate: Decimal | None, amounts: Weights, what: str) -> Total:
    return _total(calc, calc.exact(element_cost, rate=rate, amount=calc.counted(amounts, what)))


def _total(calc: Gate, amount: Decimal | None) -> Total:
    if amount is None:
        return Total(amount=calc.given(Decimal(0), "nothing known to add; counted as unknown"), unknown=1)
    return Total(amount=amount)


def _amount(calc: Gate, rate: Money | None, proposal: Proposal) -> Decimal | None:
    return own_amount(calc, rate, proposal.programme, proposal.proposal.currency)
