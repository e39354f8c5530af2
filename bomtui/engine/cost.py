"""Cost of a variant per vehicle: parts at their aggregated rung, work, wire and networks.

Every element is rounded once, at the vehicle; modules, subsystems, common and reserve are shares of it by largest
remainder, so that all ways of adding up give the same total to the last digit.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from bomtui.engine.allocation import COMMON, RESERVE, part_weights
from bomtui.engine.calc import Gate, exact_of, formula
from bomtui.engine.changes import changed_keys
from bomtui.engine.price import part_line
from bomtui.engine.quantities import ModuleQuantities, Weights
from bomtui.model.ids import natural_key
from bomtui.model.money import LINE_DIGITS, Money, Proportion, Total, round_half_up
from bomtui.model.part import PART_KINDS, Part
from bomtui.model.proposal import Proposal
from bomtui.model.rollup import COST_ELEMENTS, CostRollup, ModuleCost, PartLine


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


FOR_EVERY_LOAD = frozenset(("parts", "placement", "test", "wire", "wire_ends"))
"""Elements to which a load adds something as soon as a module serves it."""


@dataclass(frozen=True, slots=True)
class ModuleShare:
    """What the cost of one module is made from.

    Attributes:
        parts: Its share of the line price of each priced part.
        elements: Its share of each other cost element.
        missing: How many terms each of these elements lacks.
        amounts: Its quantities.
    """

    parts: dict[str, Decimal]
    elements: dict[str, Decimal]
    missing: dict[str, int]
    amounts: ModuleQuantities


@dataclass(frozen=True, slots=True)
class Split:
    """An amount of the vehicle, the weights by which it was split, and the share of each module."""

    amount: Decimal
    by: Proportion
    shares: dict[str, Decimal]


@dataclass(frozen=True, slots=True)
class CostMemo:
    """Cost of a former snapshot with what it was computed from, so that equal inputs need no second pass."""

    proposal: Proposal
    parts: Mapping[str, Part]
    quantities: Mapping[str, ModuleQuantities]
    unserved: int
    needs: Mapping[str, Weights]
    splits: Mapping[str, Split]
    shares: Mapping[str, ModuleShare]
    result: CostRollup


def cost_rollup(
    calc: Gate,
    proposal: Proposal,
    parts: Mapping[str, Part],
    quantities: Mapping[str, ModuleQuantities],
    unserved: int,
    previous: CostMemo | None = None,
) -> CostMemo:
    """Cost a variant.

    Args:
        calc: Gate.
        proposal: For vehicle, rates and currency.
        parts: Frozen parts by key.
        quantities: Quantities per module.
        unserved: Loads that no module serves: their drivers and wires are missing from the cost, and counted so.
        previous: Result of a former snapshot, reused where its inputs are the same.
    """
    former = previous if previous is not None and _same_terms(previous, proposal, parts) else None
    if former is not None and former.unserved == unserved and former.quantities == quantities:
        return CostMemo(
            proposal, parts, quantities, unserved, former.needs, former.splits, former.shares, former.result
        )
    needs = _needs(quantities)
    lines = _lines(calc, proposal, parts, needs, former)
    missing: dict[str, int] = {}
    shares = {module: ModuleShare({}, {}, missing, amounts) for module, amounts in quantities.items()}
    for line in lines:
        if line.line_price is not None:
            for module, share in line.per_module.items():
                shares[module].parts[line.part] = share
    elements: dict[str, Total] = {}
    splits: dict[str, Split] = {}
    for name, total, by in _elements(calc, proposal, lines, quantities):
        elements[name] = total
        if name in FOR_EVERY_LOAD:
            elements[name] = Total(amount=total.amount, unknown=total.unknown + unserved)
        if name == "parts":
            continue
        missing[name] = 1 if total.unknown else 0
        kept = None if former is None else former.splits.get(name)
        if kept is None or kept.amount != total.amount or kept.by != by:
            kept = Split(total.amount, by, calc.split(total.amount, by, f"{name} by module"))
        splits[name] = kept
        for module, share in kept.shares.items():
            shares[module].elements[name] = share
    modules = {
        module: former.result.modules[module]
        if former is not None and former.shares.get(module) == share
        else _module_cost(calc, proposal, parts, module, share)
        for module, share in shares.items()
    }
    result = _summed(calc, lines, elements, modules)
    return CostMemo(proposal, parts, quantities, unserved, needs, splits, shares, result)


def _same_terms(previous: CostMemo, proposal: Proposal, parts: Mapping[str, Part]) -> bool:
    """Tell whether prices, rates and volume of everything that was costed before are the same now."""
    return (
        not changed_keys(parts, previous.parts) & previous.needs.keys()
        and previous.proposal.settings is proposal.settings
        and previous.proposal.vehicle is proposal.vehicle
        and previous.proposal.proposal is proposal.proposal
    )


def _needs(quantities: Mapping[str, ModuleQuantities]) -> dict[str, Weights]:
    """Return the quantity of each part in each module that has it."""
    needs: dict[str, Weights] = {}
    for module, amounts in quantities.items():
        for key, quantity in amounts.parts.items():
            needs.setdefault(key, {})[module] = quantity
    return needs


def _lines(
    calc: Gate,
    proposal: Proposal,
    parts: Mapping[str, Part],
    needs: Mapping[str, Weights],
    former: CostMemo | None,
) -> tuple[PartLine, ...]:
    kept = {} if former is None else {line.part: line for line in former.result.lines}
    currency = proposal.proposal.currency
    lines = []
    for key in sorted(needs, key=lambda key: (_kind_order(parts.get(key)), natural_key(key))):
        per_module = needs[key]
        if former is not None and former.needs.get(key) == per_module:
            lines.append(kept[key])
            continue
        quantity = calc.counted(per_module, f"quantity of {key}")
        line = part_line(calc, key, parts.get(key), quantity, proposal.vehicle, proposal.settings.rates, currency)
        shares = (
            {} if line.line_price is None else calc.split(line.line_price, Proportion(per_module), f"{key} by module")
        )
        lines.append(_with_shares(line, shares))
    return tuple(lines)


def _with_shares(line: PartLine, shares: dict[str, Decimal]) -> PartLine:
    values = {name: getattr(line, name) for name in PartLine.__struct_fields__}
    return PartLine(**{**values, "per_module": shares})


def _kind_order(part: Part | None) -> int:
    return len(PART_KINDS) if part is None else PART_KINDS.index(part.kind)


def _elements(
    calc: Gate, proposal: Proposal, lines: tuple[PartLine, ...], quantities: Mapping[str, ModuleQuantities]
) -> list[tuple[str, Total, Proportion]]:
    rates, vehicle = proposal.settings.rates, proposal.vehicle
    parts = calc.money([line.part for line in lines], [line.line_price for line in lines])
    part_shares = {module: Decimal(0) for module in quantities}
    for line in lines:
        for module, share in line.per_module.items():
            part_shares[module] += share
    pieces = {module: amounts.placed_pieces for module, amounts in quantities.items()}
    ways = {module: Decimal(amounts.test_ways) for module, amounts in quantities.items()}
    metres = {module: amounts.length_m for module, amounts in quantities.items()}
    ends = {
        module: Decimal(amounts.wires * proposal.settings.counting.wire_ends) for module, amounts in quantities.items()
    }
    one = {module: Decimal(1) for module in quantities}
    missing = sum(amounts.unknown_lengths for amounts in quantities.values())
    attrition = _ratio_element(calc, rates.attrition_ratio, "attrition", parts)
    parts_and_attrition = Total(
        amount=calc.money(("parts", "attrition"), (parts.amount, attrition.amount)).amount,
        unknown=parts.unknown + attrition.unknown,
    )
    test = calc.exact(
        two_rate_cost,
        rate=_amount(rates.test_per_module, proposal),
        amount=calc.counted(one, "modules"),
        second_rate=_amount(rates.test_per_way, proposal),
        second_amount=calc.counted(ways, "tested ways"),
    )
    test_weights = _test_weights(ways, _amount(rates.test_per_module, proposal), _amount(rates.test_per_way, proposal))
    tested = _total(calc, test)
    unsure = sum(amounts.unknown_contacts for amounts in quantities.values())
    one_off = calc.exact(
        amortised_cost,
        amount=_amount(rates.one_off, proposal),
        volume_per_year=vehicle.volume_per_year,
        years=vehicle.years,
    )
    wire = _rate_element(calc, _amount(rates.wire_per_metre, proposal), metres, "wire metres")
    by_parts, evenly = Proportion(part_shares), Proportion(one)
    found: dict[str, tuple[Total, Proportion]] = {
        "parts": (parts, by_parts),
        "attrition": (attrition, by_parts),
        "freight": (_ratio_element(calc, rates.freight_ratio, "freight", parts_and_attrition), by_parts),
        "duty": (_ratio_element(calc, rates.duty_ratio, "duty", parts_and_attrition), by_parts),
        "placement": (
            _rate_element(calc, _amount(rates.placement, proposal), pieces, "placed pieces"),
            Proportion(pieces),
        ),
        "test": (Total(amount=tested.amount, unknown=tested.unknown + unsure), Proportion(test_weights)),
        "assembly": (_rate_element(calc, _amount(rates.assembly_per_module, proposal), one, "modules"), evenly),
        "wire": (Total(amount=wire.amount, unknown=wire.unknown + missing), Proportion(metres)),
        "wire_ends": (_rate_element(calc, _amount(rates.wire_end, proposal), ends, "wire ends"), Proportion(ends)),
        "network": (_rate_element(calc, _amount(rates.bus_node, proposal), one, "modules"), evenly),
        "one_off": (
            _total(calc, one_off) if quantities else Total(amount=calc.given(Decimal(0), "no module to pay it for")),
            evenly,
        ),
    }
    return [(name, *found[name]) for name in COST_ELEMENTS]


def _test_weights(ways: Weights, per_module: Decimal | None, per_way: Decimal | None) -> Weights:
    if per_module is None or per_way is None:
        return ways
    return {module: per_module + per_way * count for module, count in ways.items()}


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


def _amount(rate: Money | None, proposal: Proposal) -> Decimal | None:
    return rate.amount if rate is not None and rate.currency == proposal.proposal.currency else None


def _module_cost(
    calc: Gate,
    proposal: Proposal,
    parts: Mapping[str, Part],
    module: str,
    share: ModuleShare,
) -> ModuleCost:
    amounts, keys = share.amounts, share.amounts.keys
    above_a = proposal.settings.counting.power_contact_above_a
    names: dict[str, list[str]] = {COMMON: [], RESERVE: []}
    pieces: dict[str, list[Decimal]] = {COMMON: [], RESERVE: []}

    def shared_out(name: str, amount: Decimal, by: Proportion) -> None:
        for owner, piece in calc.split(amount, by, f"{name} in {module}: weight").items():
            names.setdefault(owner, []).append(name)
            pieces.setdefault(owner, []).append(piece)

    for key, amount in share.parts.items():
        shared_out(key, amount, part_weights(key, parts.get(key), keys, above_a))
    by_wire = {"wire": keys.metres, "wire_ends": keys.wires}
    for name, amount in share.elements.items():
        shared_out(name, amount, by_wire.get(name, keys.points))
    part_sum = calc.money(list(share.parts), list(share.parts.values())).amount
    own = {"parts": Total(amount=part_sum, unknown=len(amounts.parts) - len(share.parts))}
    own |= {name: Total(amount=amount, unknown=share.missing[name]) for name, amount in share.elements.items()}
    total = calc.totals(list(own), list(own.values()))
    # A share misses what the module misses, and whatever its split was made without.
    shares = {
        owner: Total(amount=calc.money(names[owner], amounts_of_owner).amount, unknown=total.unknown + amounts.unsplit)
        for owner, amounts_of_owner in pieces.items()
    }
    return ModuleCost(
        elements=own,
        subsystems={
            owner: shares[owner] for owner in sorted(shares, key=natural_key) if owner not in {COMMON, RESERVE}
        },
        common=shares[COMMON],
        reserve=shares[RESERVE],
        total=total,
    )


def _summed(
    calc: Gate, lines: tuple[PartLine, ...], elements: dict[str, Total], modules: dict[str, ModuleCost]
) -> CostRollup:
    holders: dict[str, dict[str, Total]] = {}
    for module, cost in modules.items():
        for owner, share in cost.subsystems.items():
            holders.setdefault(owner, {})[module] = share
    subsystems = {
        owner: calc.totals(list(holders[owner]), list(holders[owner].values()))
        for owner in sorted(holders, key=natural_key)
    }
    return CostRollup(
        lines=lines,
        elements=elements,
        total=calc.totals(list(elements), list(elements.values())),
        modules=modules,
        subsystems=subsystems,
        common=calc.totals(list(modules), [cost.common for cost in modules.values()]),
        reserve=calc.totals(list(modules), [cost.reserve for cost in modules.values()]),
        excess_per_year=calc.money([line.part for line in lines], [line.excess_per_year for line in lines]),
        excess_life_per_vehicle=calc.money(
            [line.part for line in lines], [line.excess_life_per_vehicle for line in lines]
        ),
    )
