"""What the cost of a module is made from: quantities of the average, the lean and the full-fit vehicle, and splits."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from bomtui.engine.allocation import connector_ways, split_keys, splits_by_ways_known
from bomtui.engine.calc import Gate, formula
from bomtui.engine.fitment import Fitted, Term, fitment, in_lean, is_everywhere, is_partly_fitted, on_average
from bomtui.engine.quantities import Amounts, ChannelCount, LoadWiring, ModuleQuantities, ModuleWiring, all_ways
from bomtui.model.load import Load
from bomtui.model.part import DRIVER_KINDS, Part
from bomtui.model.rollup import WireUse
from bomtui.model.settings import Counting
from bomtui.model.variant import Module

SUPPLY = "feed and bus"


@formula("quantity * placements", "", "pieces times placements of one (definition)")
def placed(quantity: Decimal, placements: int) -> Decimal:
    """Pieces of a part placed on boards.

    Args:
        quantity: Quantity of the part.
        placements: How often one piece is placed.

    Source: definition.
    """
    return quantity * placements


@dataclass(frozen=True, slots=True)
class Contents:
    """What is in a module.

    Attributes:
        id: Id of the module.
        module: The module.
        loads: Loads that it serves, by id.
        wiring: Their wires, in the same order.
        wires: The same summed up.
        used: Per device, the loads on each of its channels.
        parts: Frozen parts by key.
        counting: How wires and ways are counted.
    """

    id: str
    module: Module
    loads: Mapping[str, Load]
    wiring: ModuleWiring
    wires: WireUse
    used: Mapping[str, Mapping[int, Sequence[str]]]
    parts: Mapping[str, Part]
    counting: Counting


def part_quantities(module: Module) -> dict[str, Decimal]:
    """Return how much of each part is in a module that has everything."""
    quantities: dict[str, Decimal] = {}
    for device in module.devices.values():
        quantities[device.part] = quantities.get(device.part, Decimal(0)) + 1
    for key, item in module.items.items():
        quantities[key] = quantities.get(key, Decimal(0)) + item.quantity.quantity
    return quantities


def pieces_of(quantities: Mapping[str, Decimal], parts: Mapping[str, Part]) -> Decimal:
    """Return how many pieces of some parts are placed on boards."""
    return sum(
        (
            quantity * (1 if (part := parts.get(key)) is None else part.placements)
            for key, quantity in quantities.items()
        ),
        Decimal(0),
    )


def module_quantities(
    calc: Gate, contents: Contents, quantities: dict[str, Decimal], pieces: Decimal
) -> ModuleQuantities:
    """Gather what the cost of a module is made from.

    Args:
        calc: Gate.
        contents: What is in it.
        quantities: `part_quantities` of the module.
        pieces: `pieces_of` these.
    """
    wiring, wires, counting = contents.wiring, contents.wires, contents.counting
    full = Amounts(
        modules=Decimal(1),
        parts=quantities,
        placed_pieces=pieces,
        test_ways=Decimal(all_ways(wires, counting)),
        wire_ends=Decimal(wires.wires * counting.wire_ends),
        length_m=wires.length_m,
        unknown_lengths=wiring.unknown,
        unknown_contacts=wiring.unknown_contacts,
    )
    partly = is_partly_fitted(contents.module, contents.loads.values())
    header_ways, power_headers = connector_ways(quantities, contents.parts, counting.power_contact_above_a)
    ratios = [fitment(calc, load.fitment_ratio) for load in contents.loads.values()] if partly else None
    return ModuleQuantities(
        average=_average(calc, contents) if partly else full,
        lean=_lean(contents) if partly else full,
        full=full,
        keys=split_keys(
            wiring,
            [load.subsystem for load in contents.loads.values()],
            _channel_counts(calc, contents),
            header_ways,
            power_headers,
            ratios,
        ),
        unsplit=wiring.unknown_contacts + _unsplit(quantities, contents.parts),
    )


def _average(calc: Gate, contents: Contents) -> Amounts:
    def added(terms: Sequence[Term], what: str) -> Fitted:
        return on_average(calc, contents.module, terms, what)

    parts = {
        key: added(terms, "quantity").amount
        for key, terms in _part_terms(contents).items()
        if contents.module.fitment_ratio != 0 and any(term.own_ratio != 0 for term in terms)
    }
    pieces = []
    for key, quantity in parts.items():
        part = contents.parts.get(key)
        once = calc.given(1, "nothing known of the part: placed once") if part is None else part.placements
        pieces.append(calc.exact(placed, quantity=quantity, placements=once))
    lengths = added(_length_terms(contents), "wire metres")
    return Amounts(
        modules=fitment(calc, contents.module.fitment_ratio),
        parts=parts,
        placed_pieces=calc.money(list(parts), pieces).amount,
        test_ways=added(_way_terms(contents), "tested ways").amount,
        wire_ends=added(_end_terms(contents), "wire ends").amount,
        length_m=lengths.amount,
        unknown_lengths=lengths.unknown,
        unknown_contacts=added(_contact_terms(contents), "contacts").unknown,
    )


def _lean(contents: Contents) -> Amounts:
    module = contents.module
    parts = {
        key: in_lean(module, terms).amount
        for key, terms in _part_terms(contents).items()
        if is_everywhere(module.fitment_ratio) and any(is_everywhere(term.own_ratio) for term in terms)
    }
    lengths = in_lean(module, _length_terms(contents))
    return Amounts(
        modules=Decimal(1 if is_everywhere(module.fitment_ratio) else 0),
        parts=parts,
        placed_pieces=pieces_of(parts, contents.parts),
        test_ways=in_lean(module, _way_terms(contents)).amount,
        wire_ends=in_lean(module, _end_terms(contents)).amount,
        length_m=lengths.amount,
        unknown_lengths=lengths.unknown,
        unknown_contacts=in_lean(module, _contact_terms(contents)).unknown,
    )


def _part_terms(contents: Contents) -> dict[str, list[Term]]:
    terms: dict[str, list[Term]] = {}
    for ref, device in contents.module.devices.items():
        terms.setdefault(device.part, []).append(Term(f"{contents.id}.{ref}", Decimal(1), device.fitment_ratio))
    for key, item in contents.module.items.items():
        terms.setdefault(key, []).append(Term(f"items of {contents.id}", item.quantity.quantity))
    return terms


def _length_terms(contents: Contents) -> list[Term]:
    terms = [Term(load_id, row.length_m, ratio) for load_id, row, ratio in _rows(contents)]
    wiring = contents.wiring
    missing = wiring.unknown - sum(term.quantity is None for term in terms)
    return [*terms, Term(SUPPLY, wiring.common_length_m), *[Term(SUPPLY, None)] * missing]


def _way_terms(contents: Contents) -> list[Term]:
    counting = contents.counting
    terms = [Term(load_id, Decimal(all_ways(row, counting)), ratio) for load_id, row, ratio in _rows(contents)]
    return [*terms, Term(SUPPLY, Decimal(contents.wiring.common_ways))]


def _end_terms(contents: Contents) -> list[Term]:
    ends = contents.counting.wire_ends
    terms = [Term(load_id, Decimal(row.wires * ends), ratio) for load_id, row, ratio in _rows(contents)]
    return [*terms, Term(SUPPLY, Decimal(contents.wiring.common_wires * ends))]


def _contact_terms(contents: Contents) -> list[Term]:
    return [Term(load_id, None, ratio) for load_id, row, ratio in _rows(contents) if not row.contacts_known]


def _rows(contents: Contents) -> list[tuple[str, LoadWiring, float | None]]:
    return [
        (load_id, row, load.fitment_ratio)
        for (load_id, load), row in zip(contents.loads.items(), contents.wiring.loads, strict=True)
    ]


def _channel_counts(calc: Gate, contents: Contents) -> dict[str, ChannelCount]:
    per_part: dict[str, dict[str, int | Decimal]] = {}
    spare: dict[str, int | Decimal] = {}
    for ref, device in contents.module.devices.items():
        part = contents.parts.get(device.part)
        if part is None or part.kind not in DRIVER_KINDS:
            continue
        ratio = 1 if device.fitment_ratio is None else fitment(calc, device.fitment_ratio)
        owners = per_part.setdefault(device.part, {})
        channels = contents.used.get(ref, {})
        for load_ids in channels.values():
            # A channel that several loads share is counted once, for the first of them.
            subsystem = contents.loads[load_ids[0]].subsystem
            owners[subsystem] = owners.get(subsystem, 0) + ratio
        there = len(channels) if part.channels is None else max(part.channels, len(channels))
        spare[device.part] = spare.get(device.part, 0) + (there - len(channels)) * ratio
    return {key: ChannelCount(used=owners, spare=spare[key]) for key, owners in per_part.items()}


def _unsplit(quantities: Mapping[str, Decimal], parts: Mapping[str, Part]) -> int:
    """Count parts whose cost is split without knowing all that it is split by."""
    known = [part for key in quantities if (part := parts.get(key)) is not None]
    drivers = sum(part.kind in DRIVER_KINDS and part.channels is None for part in known)
    return drivers + sum(part.kind == "connector" and not splits_by_ways_known(part) for part in known)
