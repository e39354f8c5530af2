"""Cost of a variant per average vehicle: parts at their aggregated rung, work, wire and networks.

The lean and the full-fit vehicle are costed beside it at the same unit prices, because order quantity and price rung
follow from what all vehicles together need.

Every element is rounded once, at the vehicle; modules, subsystems, common and reserve are shares of it by largest
remainder, so that all ways of adding up give the same total to the last digit.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from bomtui.engine.allocation import COMMON, RESERVE, part_weights
from bomtui.engine.calc import Gate
from bomtui.engine.changes import changed_keys
from bomtui.engine.cost_elements import cost_elements
from bomtui.engine.fitment import Unserved
from bomtui.engine.price import line_price, part_line
from bomtui.engine.quantities import Amounts, ModuleQuantities, Weights
from bomtui.model.ids import natural_key
from bomtui.model.money import Money, Proportion, Total
from bomtui.model.part import PART_KINDS, Part
from bomtui.model.proposal import Proposal
from bomtui.model.rollup import CostRollup, ModuleCost, PartLine, VehicleCost

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
    missing: Mapping[str, int]
    amounts: ModuleQuantities


@dataclass(frozen=True, slots=True)
class Split:
    """An amount of the vehicle, the weights by which it was split, and the share of each module."""

    amount: Decimal
    by: Proportion
    shares: dict[str, Decimal]


@dataclass(frozen=True, slots=True)
class Need:
    """Quantity of a part in each module that has it: average, lean and full-fit."""

    average: Weights
    lean: Weights
    full: Weights


@dataclass(frozen=True, slots=True)
class CostMemo:
    """Cost of a former snapshot with what it was computed from, so that equal inputs need no second pass."""

    proposal: Proposal
    parts: Mapping[str, Part]
    quantities: Mapping[str, ModuleQuantities]
    unserved: Unserved
    one_off: Money | None
    needs: Mapping[str, Need]
    splits: Mapping[str, Split]
    missing: Mapping[str, int]
    result: CostRollup


def cost_rollup(
    calc: Gate,
    proposal: Proposal,
    parts: Mapping[str, Part],
    quantities: Mapping[str, ModuleQuantities],
    unserved: Unserved,
    previous: CostMemo | None = None,
    one_off: Money | None = None,
) -> CostMemo:
    """Cost a variant.

    Args:
        calc: Gate.
        proposal: For vehicle, rates and currency.
        parts: Frozen parts by key.
        quantities: Quantities per module.
        unserved: Loads that no module serves: their drivers and wires are missing from the cost, and counted so.
        previous: Result of a former snapshot, reused where its inputs are the same.
        one_off: One-off cost of the variant; None for that of the rates.
    """
    former = previous if previous is not None and _same_terms(previous, proposal, parts, one_off) else None
    if former is not None and former.unserved == unserved and former.quantities == quantities:
        return CostMemo(
            proposal, parts, quantities, unserved, one_off, former.needs, former.splits, former.missing, former.result
        )
    needs = _needs(quantities) if former is None else _renewed_needs(quantities, former)
    lines = _lines(calc, proposal, parts, needs, former)
    missing: dict[str, int] = {}
    elements: dict[str, Total] = {}
    splits: dict[str, Split] = {}
    average = {module: amounts.average for module, amounts in quantities.items()}
    parts_cost = calc.money([line.part for line in lines], [line.line_price for line in lines])
    for name, total, by in cost_elements(calc, proposal, parts_cost, lines, average, one_off):
        elements[name] = with_unserved(name, total, unserved.average)
        if name == "parts":
            continue
        missing[name] = 1 if total.unknown else 0
        kept = None if former is None else former.splits.get(name)
        if kept is None or kept.amount != total.amount or kept.by != by:
            kept = Split(total.amount, by, calc.split(total.amount, by, f"{name} by module"))
        splits[name] = kept
    kept_modules = {} if former is None else former.result.modules
    touched = _touched(former, quantities, lines, splits, missing)
    modules = {
        module: _module_cost(calc, proposal, parts, module, _share(module, lines, splits, missing, amounts))
        if module in touched
        else kept_modules[module]
        for module, amounts in quantities.items()
    }
    others = _lean_and_full(calc, proposal, lines, quantities, unserved, one_off)
    result = _summed(calc, lines, elements, modules, others)
    return CostMemo(proposal, parts, quantities, unserved, one_off, needs, splits, missing, result)


def _same_terms(previous: CostMemo, proposal: Proposal, parts: Mapping[str, Part], one_off: Money | None) -> bool:
    """Tell whether prices, rates and volume of everything that was costed before are the same now."""
    return (
        not changed_keys(parts, previous.parts) & previous.needs.keys()
        and previous.proposal.settings is proposal.settings
        and previous.proposal.vehicle is proposal.vehicle
        and previous.proposal.proposal is proposal.proposal
        and previous.proposal.programme is proposal.programme
        and previous.one_off == one_off
    )


def _touched(
    former: CostMemo | None,
    quantities: Mapping[str, ModuleQuantities],
    lines: tuple[PartLine, ...],
    splits: Mapping[str, Split],
    missing: Mapping[str, int],
) -> set[str]:
    """Return the modules of whose cost anything is not as it was."""
    if former is None or former.missing != missing:
        return set(quantities)
    touched = {module for module, amounts in quantities.items() if former.quantities.get(module) != amounts}
    former_lines = {line.part: line for line in former.result.lines}
    for line in lines:
        then = former_lines.get(line.part)
        if then is not line:
            touched |= _unequal(line.per_module, {} if then is None else then.per_module)
    for name, split in splits.items():
        if former.splits[name] is not split:
            touched |= _unequal(split.shares, former.splits[name].shares)
    return touched


def _unequal(now: Mapping[str, Decimal], then: Mapping[str, Decimal]) -> set[str]:
    return {module for module in now.keys() | then.keys() if now.get(module) != then.get(module)}


def _share(
    module: str,
    lines: tuple[PartLine, ...],
    splits: Mapping[str, Split],
    missing: Mapping[str, int],
    amounts: ModuleQuantities,
) -> ModuleShare:
    # Of a part without a price nothing is shared out.
    parts = {line.part: line.per_module[module] for line in lines if module in line.per_module}
    return ModuleShare(parts, {name: split.shares[module] for name, split in splits.items()}, missing, amounts)


def with_unserved(name: str, total: Total, unserved: int) -> Total:
    """Count loads that no module serves as missing from each element that they would add to."""
    if name not in FOR_EVERY_LOAD or not unserved:
        return total
    return Total(amount=total.amount, unknown=total.unknown + unserved)


def _needs(quantities: Mapping[str, ModuleQuantities]) -> dict[str, Need]:
    """Return the quantity of each part in each module that has it."""
    average = _per_part({module: amounts.average for module, amounts in quantities.items()})
    if not any(amounts.is_partly_fitted for amounts in quantities.values()):
        return {key: Need(per_module, per_module, per_module) for key, per_module in average.items()}
    lean = _per_part({module: amounts.lean for module, amounts in quantities.items()})
    full = _per_part({module: amounts.full for module, amounts in quantities.items()})
    return {key: Need(per_module, lean.get(key, {}), full[key]) for key, per_module in average.items()}


def _renewed_needs(quantities: Mapping[str, ModuleQuantities], former: CostMemo) -> Mapping[str, Need]:
    """Return what `_needs` does, made anew only for parts of which any module has another quantity."""
    changed: set[str] = set()
    for module in quantities.keys() | former.quantities.keys():
        now, then = quantities.get(module), former.quantities.get(module)
        if now is not then:
            pairs = zip(_part_amounts(now), _part_amounts(then), strict=True)
            changed |= {
                key for one, other in pairs for key in one.keys() | other.keys() if one.get(key) != other.get(key)
            }
    if not changed:
        return former.needs
    concerned = {
        module: amounts
        for module, amounts in quantities.items()
        if not changed.isdisjoint(amounts.full.parts) or not changed.isdisjoint(amounts.average.parts)
    }
    renewed = _needs(concerned)
    return {
        **{key: need for key, need in former.needs.items() if key not in changed},
        **{key: renewed[key] for key in changed if key in renewed},
    }


def _part_amounts(amounts: ModuleQuantities | None) -> tuple[Mapping[str, Decimal], ...]:
    if amounts is None:
        return ({}, {}, {})
    return amounts.average.parts, amounts.lean.parts, amounts.full.parts


def _per_part(amounts: Mapping[str, Amounts]) -> dict[str, Weights]:
    per_part: dict[str, Weights] = {}
    for module, own in amounts.items():
        for key, quantity in own.parts.items():
            per_part.setdefault(key, {})[module] = quantity
    return per_part


def _lines(
    calc: Gate,
    proposal: Proposal,
    parts: Mapping[str, Part],
    needs: Mapping[str, Need],
    former: CostMemo | None,
) -> tuple[PartLine, ...]:
    kept = {} if former is None else {line.part: line for line in former.result.lines}
    currency = proposal.proposal.currency
    lines = []
    for key in sorted(needs, key=lambda key: (_kind_order(parts.get(key)), natural_key(key))):
        need = needs[key]
        if former is not None and former.needs.get(key) == need:
            lines.append(kept[key])
            continue
        quantity = calc.counted(need.average, f"quantity of {key}")
        line = part_line(
            calc,
            key,
            parts.get(key),
            quantity,
            proposal.vehicle,
            proposal.settings.rates,
            currency,
            proposal.programme,
        )
        shares = (
            {} if line.line_price is None else calc.split(line.line_price, Proportion(need.average), f"{key} by module")
        )
        lines.append(_of_modules(line, need, shares))
    return tuple(lines)


def _lean_and_full(
    calc: Gate,
    proposal: Proposal,
    lines: tuple[PartLine, ...],
    quantities: Mapping[str, ModuleQuantities],
    unserved: Unserved,
    one_off: Money | None,
) -> tuple[VehicleCost, VehicleCost] | None:
    """Cost the lean and the full-fit vehicle; None where both are the average one."""
    same = unserved.average == unserved.lean == unserved.full
    if same and not any(amounts.is_partly_fitted for amounts in quantities.values()):
        return None
    lean = {module: amounts.lean for module, amounts in quantities.items()}
    full = {module: amounts.full for module, amounts in quantities.items()}
    return (
        _vehicle_cost(calc, proposal, lines, lean, unserved.lean, one_off),
        _vehicle_cost(calc, proposal, lines, full, unserved.full, one_off),
    )


def _vehicle_cost(
    calc: Gate,
    proposal: Proposal,
    lines: tuple[PartLine, ...],
    amounts: Mapping[str, Amounts],
    unserved: int,
    one_off: Money | None,
) -> VehicleCost:
    """Cost a vehicle at the unit prices of the average one."""
    prices = {line.part: line.unit_price for line in lines}
    needs = _per_part(amounts)
    # Where no vehicle has a part, nothing says what it would cost.
    line_prices = [
        calc.exact(line_price, unit_price=prices.get(key), quantity=calc.counted(per_module, f"quantity of {key}"))
        for key, per_module in needs.items()
    ]
    parts_cost = calc.money(list(needs), line_prices)
    elements = {
        name: with_unserved(name, total, unserved)
        for name, total, _ in cost_elements(calc, proposal, parts_cost, (), amounts, one_off)
    }
    return VehicleCost(elements=elements, total=calc.totals(list(elements), list(elements.values())))


def _of_modules(line: PartLine, need: Need, shares: dict[str, Decimal]) -> PartLine:
    values = {name: getattr(line, name) for name in PartLine.__struct_fields__}
    values |= {"per_module": shares, "quantities": need.average}
    if need.full is not need.average:
        values |= {
            "lean": sum(need.lean.values(), Decimal(0)),
            "full": sum(need.full.values(), Decimal(0)),
        }
    return PartLine(**values)


def _kind_order(part: Part | None) -> int:
    return len(PART_KINDS) if part is None else PART_KINDS.index(part.kind)


def _module_cost(
    calc: Gate,
    proposal: Proposal,
    parts: Mapping[str, Part],
    module: str,
    share: ModuleShare,
) -> ModuleCost:
    amounts, keys = share.amounts, share.amounts.keys
    above_a = proposal.settings.counting.power_contact_above_a
    by_wire = {"wire": keys.metres, "wire_ends": keys.wires}
    terms = [(key, amount, part_weights(key, parts.get(key), keys, above_a)) for key, amount in share.parts.items()]
    terms += [(name, amount, by_wire.get(name, keys.points)) for name, amount in share.elements.items()]
    pieces = calc.split_all(terms, f"in {module}")
    part_sum = calc.money(list(share.parts), list(share.parts.values())).amount
    own = {"parts": Total(amount=part_sum, unknown=len(amounts.average.parts) - len(share.parts))}
    own |= {name: Total(amount=amount, unknown=share.missing[name]) for name, amount in share.elements.items()}
    total = calc.totals(list(own), list(own.values()))
    # A share misses what the module misses, and whatever its split was made without.
    shares = {owner: Total(amount=amount, unknown=total.unknown + amounts.unsplit) for owner, amount in pieces.items()}
    nothing = Total(amount=calc.money((), ()).amount, unknown=total.unknown + amounts.unsplit)
    return ModuleCost(
        elements=own,
        subsystems={
            owner: shares[owner] for owner in sorted(shares, key=natural_key) if owner not in {COMMON, RESERVE}
        },
        common=shares.get(COMMON, nothing),
        reserve=shares.get(RESERVE, nothing),
        total=total,
    )


def _summed(
    calc: Gate,
    lines: tuple[PartLine, ...],
    elements: dict[str, Total],
    modules: dict[str, ModuleCost],
    others: tuple[VehicleCost, VehicleCost] | None,
) -> CostRollup:
    holders: dict[str, dict[str, Total]] = {}
    for module, cost in modules.items():
        for owner, share in cost.subsystems.items():
            holders.setdefault(owner, {})[module] = share
    subsystems = {
        owner: calc.totals(list(holders[owner]), list(holders[owner].values()))
        for owner in sorted(holders, key=natural_key)
    }
    total = calc.totals(list(elements), list(elements.values()))
    average = VehicleCost(elements=elements, total=total)
    lean, full = (average, average) if others is None else others
    return CostRollup(
        lines=lines,
        elements=elements,
        total=total,
        modules=modules,
        subsystems=subsystems,
        common=calc.totals(list(modules), [cost.common for cost in modules.values()]),
        reserve=calc.totals(list(modules), [cost.reserve for cost in modules.values()]),
        excess_per_year=calc.money([line.part for line in lines], [line.excess_per_year for line in lines]),
        excess_life_per_vehicle=calc.money(
            [line.part for line in lines], [line.excess_life_per_vehicle for line in lines]
        ),
        lean=lean,
        full=full,
    )
