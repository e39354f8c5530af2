"""The rollup of a variant as one plain record."""

from decimal import Decimal
from typing import Annotated

from msgspec import Meta

from bomtui.export.feed_record import FeedRecord, GroundRecord, feed_records, ground_records
from bomtui.export.network_records import NetworkRecord, network_record
from bomtui.export.records import (
    Amount,
    Basis,
    Bounded,
    Checks,
    Count,
    FindingRecord,
    Heading,
    Number,
    ProblemRecord,
    Record,
    amount_text,
    bounded,
    checks,
    finding_record,
    heading,
    plain_number,
    single,
)
from bomtui.model.ids import natural_key
from bomtui.model.money import Total, minor_unit_digits
from bomtui.model.rollup import DeviceResult, ModeCurrent, ModuleCost, ModuleResult, Rollup


class Sum(Record, frozen=True, kw_only=True):
    """An amount, and how many of its terms are missing; where that is not 0 it is a lower bound."""

    amount: Amount
    unknown: Count


class CostElements(Record, frozen=True, kw_only=True):
    """Cost of one vehicle, the average one, by element; they add to the total."""

    parts: Amount
    attrition: Amount
    freight: Amount
    duty: Amount
    placement: Amount
    test: Amount
    assembly: Amount
    wire: Amount
    wire_ends: Amount
    network: Amount
    one_off: Amount
    total: Amount


class CostUnknown(Record, frozen=True, kw_only=True):
    """How many terms each cost element lacks; where it is not 0 the amount is a lower bound."""

    parts: Count
    attrition: Count
    freight: Count
    duty: Count
    placement: Count
    test: Count
    assembly: Count
    wire: Count
    wire_ends: Count
    network: Count
    one_off: Count
    total: Count


class FitmentCosts(Record, frozen=True, kw_only=True):
    """Cost of three vehicles at the same unit prices: order quantity and price rung follow from the average one."""

    lean: Annotated[Sum, Meta(description="the vehicle that has only what every vehicle has")]
    average: Annotated[Sum, Meta(description="of everything the share of vehicles that have it; every other cost here")]
    full: Annotated[
        Sum, Meta(description="the vehicle that has everything; pieces, wires, currents and heat are its own")
    ]


class TotalsRecord(Record, frozen=True, kw_only=True):
    """Figures of the vehicle."""

    parts_cost: Amount
    parts_cost_unknown: Count
    cost: CostElements
    cost_unknown: CostUnknown
    cost_by_fitment: FitmentCosts
    rounding_excess_per_year: Annotated[
        Amount, Meta(description="first order: money tied up in the first year's orders beyond the need, once")
    ]
    rounding_excess_per_year_unknown: Count
    rounding_excess_life_per_vehicle: Annotated[
        Amount, Meta(description="money in pieces left after the programme, per vehicle built")
    ]
    rounding_excess_life_per_vehicle_unknown: Count
    part_numbers: Count
    pieces: Annotated[Number, Meta(description="pieces placed on boards of the full-fit vehicle")]
    modules: Count
    driver_devices: Count
    wire_count: Count
    wire_length_m: float
    wire_length_unknown: Annotated[Count, Meta(description="lengths that are not in the sum")]
    standby_a: Bounded
    parking_days: Annotated[Bounded, Meta(description="max is the worst corner: the shortest time")]


class SupplyCurrent(Bounded, frozen=True, kw_only=True):
    """Supply current of a mode and what it is made of."""

    loads: Annotated[Bounded, Meta(description="list arithmetic: current at the test voltage times time share")]
    loads_at_mode_voltage: Annotated[Bounded, Meta(description="mean current at the voltage of the mode")]
    electronics: Annotated[Bounded, Meta(description="current of the modules' own parts")]


class ModeRecord(Record, frozen=True, kw_only=True):
    """Currents in one mode."""

    id: str
    load_current_a: Annotated[
        Bounded,
        Meta(
            description="list arithmetic: current at the test voltage times time share. In a mode in which the "
            "electronics sleep it is no parked current; supply_current_a is."
        ),
    ]
    supply_current_a: SupplyCurrent
    on_current_a: Annotated[
        Bounded,
        Meta(
            description="every load with a time share on, at the worst supply voltage; of an exclusive group only the "
            "largest, of the vehicle over all its loads, so that it can be less than the sum of the modules"
        ),
    ]
    inrush_a: Annotated[
        Bounded, Meta(description="largest inrush of one load or together group above what is counted as on")
    ]


class SubsystemRecord(Record, frozen=True, kw_only=True):
    """One subsystem."""

    id: str
    name: str
    loads: Count
    cost: Amount
    cost_unknown: Count


class PinsRecord(Record, frozen=True, kw_only=True):
    """Controller pins of a module: by the matching, and by plain count."""

    used: Annotated[int, Meta(ge=0, description="historic plain count, whatever a pin can do")]
    total: Annotated[int, Meta(ge=0, description="general pins of the controllers, by plain count")]
    needed: Annotated[int, Meta(ge=0, description="pins that the matching by function needs")]
    available: Annotated[
        int, Meta(ge=0, description="pins that the matching has, those for crystal and debugger included")
    ]
    short: Annotated[dict[str, int], Meta(description="missing pins by function, or functions joined with +")]
    needs: Annotated[dict[str, int], Meta(description="needed pins by function")]
    analog_used: Annotated[int, Meta(ge=0, description="analog inputs by plain count")]
    unknown: Annotated[tuple[str, ...], Meta(description="parts whose pins, or pin needs, are not known")]


class ChannelsRecord(Record, frozen=True, kw_only=True):
    """Driver channels."""

    used: Count
    total: Count
    unknown: Annotated[Count, Meta(description="devices that do not say how many they have")]


class WiresRecord(Record, frozen=True, kw_only=True):
    """Wires and connector ways."""

    count: Count
    length_m: float
    ways: Count
    power_headers: Count
    unknown: Annotated[Count, Meta(description="lengths that are not in the sum")]


class DeviceRecord(Record, frozen=True, kw_only=True):
    """One device: channels, and mean heat, each corner in its own worst mode, as a single chip on the reference board.

    What a driver itself draws from its supply is not in its heat, only what load currents make in it.
    """

    ref: str
    part: str
    channels_used: Count
    channels: int | None
    worst_mode: Annotated[
        str, Meta(description="mode of the typical figures; empty where no heat is known in any mode")
    ]
    worst_mode_max: Annotated[str, Meta(description="mode of the largest figures")]
    power_w: Bounded
    junction_degc: Annotated[
        Bounded,
        Meta(
            description="by the mean heat of the mode, of a driver by that of its load currents alone; the number of"
            " the model, also beyond the maximum of the part; the review judges it with its loads on"
        ),
    ]
    junction_max_degc: float | None
    runaway: Annotated[bool, Meta(description="there is no junction temperature: heat outgrows cooling")]


class ModuleRecord(Record, frozen=True, kw_only=True):
    """One module."""

    id: str
    name: str
    zone: str
    loads: tuple[str, ...]
    cost: Amount
    cost_unknown: Count
    cost_elements: dict[str, Sum]
    subsystems: Annotated[dict[str, Sum], Meta(description="share of the cost per subsystem")]
    common: Sum
    reserve: Sum
    standby_a: Bounded
    pins: PinsRecord
    channels: ChannelsRecord
    wires: WiresRecord
    modes: tuple[ModeRecord, ...]
    devices: tuple[DeviceRecord, ...]


class RollupRecord(Heading, frozen=True, kw_only=True):
    """Everything computed for one variant of a proposal."""

    totals: TotalsRecord
    modes: tuple[ModeRecord, ...]
    subsystems: tuple[SubsystemRecord, ...]
    common: Annotated[Amount, Meta(description="cost of supply, ground and bus, which belong to no subsystem")]
    common_unknown: Count
    reserve: Annotated[Amount, Meta(description="cost of spare channels and ways")]
    reserve_unknown: Count
    modules: tuple[ModuleRecord, ...]
    networks: tuple[NetworkRecord, ...]
    feeds: tuple[FeedRecord, ...]
    grounds: tuple[GroundRecord, ...]
    unplaced: Annotated[tuple[str, ...], Meta(description="loads that no module serves")]
    single_values: Annotated[
        tuple[str, ...], Meta(description="parameters of which one value is given: both corners use it")
    ]
    checks: Checks
    findings: tuple[FindingRecord, ...]
    problems: tuple[ProblemRecord, ...]


def rollup_record(basis: Basis) -> RollupRecord:
    """Return the rollup of a variant as a record."""
    rollup, cost = basis.rollup, basis.rollup.cost
    return RollupRecord(
        **heading(basis, "Rollup"),  # type: ignore[arg-type]
        totals=_totals(rollup, basis.proposal.proposal.currency),
        modes=tuple(map(_mode, rollup.modes)),
        subsystems=_subsystems(basis),
        common=amount_text(cost.common.amount),
        common_unknown=cost.common.unknown,
        reserve=amount_text(cost.reserve.amount),
        reserve_unknown=cost.reserve.unknown,
        modules=tuple(_module(basis, module) for module in rollup.modules.values()),
        networks=tuple(
            network_record(network, basis.proposal.variants[rollup.variant].networks[key])
            for key, network in rollup.networks.items()
        ),
        feeds=feed_records(basis),
        grounds=ground_records(basis),
        unplaced=rollup.unplaced,
        single_values=rollup.single_values,
        checks=checks(basis.review),
        findings=tuple(map(finding_record, basis.review.findings)),
        problems=basis.problems,
    )


def _totals(rollup: Rollup, currency: str) -> TotalsRecord:
    cost = rollup.cost
    everything = {**cost.elements, "total": cost.total}
    excess, life = cost.excess_per_year, cost.excess_life_per_vehicle
    digits = minor_unit_digits(currency)
    return TotalsRecord(
        parts_cost=amount_text(cost.elements["parts"].amount),
        parts_cost_unknown=cost.elements["parts"].unknown,
        cost=CostElements(**{name: amount_text(total.amount) for name, total in everything.items()}),
        cost_unknown=CostUnknown(**{name: total.unknown for name, total in everything.items()}),
        cost_by_fitment=FitmentCosts(lean=_sum(cost.lean.total), average=_sum(cost.total), full=_sum(cost.full.total)),
        rounding_excess_per_year=amount_text(excess.amount, digits),
        rounding_excess_per_year_unknown=excess.unknown,
        rounding_excess_life_per_vehicle=amount_text(life.amount, digits),
        rounding_excess_life_per_vehicle_unknown=life.unknown,
        part_numbers=len(cost.lines),
        pieces=plain_number(sum((module.placed_pieces for module in rollup.modules.values()), Decimal(0))),
        modules=len(rollup.modules),
        driver_devices=rollup.driver_devices,
        wire_count=rollup.wire_count,
        wire_length_m=float(rollup.wire_length_m),
        wire_length_unknown=sum(module.wires.unknown for module in rollup.modules.values()),
        standby_a=bounded(rollup.standby_a),
        parking_days=bounded(rollup.parking_days),
    )


def _mode(mode: ModeCurrent) -> ModeRecord:
    supply = bounded(mode.supply_current_a)
    return ModeRecord(
        id=mode.mode,
        load_current_a=single(mode.loads_a),
        supply_current_a=SupplyCurrent(
            typ=supply.typ,
            max=supply.max,
            bound=supply.bound,
            unknown=supply.unknown,
            missing=supply.missing,
            loads=single(mode.loads_a),
            loads_at_mode_voltage=bounded(mode.loads_at_mode_voltage_a),
            electronics=bounded(mode.electronics_a),
        ),
        on_current_a=single(mode.on_current_a),
        inrush_a=single(mode.inrush_a),
    )


def _subsystems(basis: Basis) -> tuple[SubsystemRecord, ...]:
    """Return every subsystem of the proposal, also one that costs nothing because no module serves it yet."""
    costs = basis.rollup.cost.subsystems
    known = basis.proposal.subsystems
    owners = [load.subsystem for load in basis.proposal.loads.values()]
    records = []
    for name in sorted({*known, *costs}, key=natural_key):
        total = costs.get(name, Total(amount=Decimal(0)))
        records.append(
            SubsystemRecord(
                id=name,
                name=known[name].name if name in known else "",
                loads=owners.count(name),
                cost=amount_text(total.amount),
                cost_unknown=total.unknown,
            )
        )
    return tuple(records)


def _module(basis: Basis, module: ModuleResult) -> ModuleRecord:
    variant = basis.proposal.variants[basis.rollup.variant]
    cost: ModuleCost = basis.rollup.cost.modules[module.id]
    return ModuleRecord(
        id=module.id,
        name=variant.modules[module.id].name,
        zone=module.zone,
        loads=module.loads,
        cost=amount_text(cost.total.amount),
        cost_unknown=cost.total.unknown,
        cost_elements={name: _sum(total) for name, total in cost.elements.items()},
        subsystems={name: _sum(total) for name, total in cost.subsystems.items()},
        common=_sum(cost.common),
        reserve=_sum(cost.reserve),
        standby_a=bounded(module.standby_a),
        pins=PinsRecord(
            used=module.pins.plain_used,
            total=module.pins.plain_total,
            needed=module.pins.used,
            available=module.pins.total,
            short=module.pins.short,
            needs=module.pins.needs,
            analog_used=module.pins.analog_used,
            unknown=module.pins.unknown,
        ),
        channels=ChannelsRecord(
            used=module.channels.used, total=module.channels.total, unknown=module.channels.unknown
        ),
        wires=WiresRecord(
            count=module.wires.wires,
            length_m=float(module.wires.length_m),
            ways=module.wires.ways,
            power_headers=module.wires.power_headers,
            unknown=module.wires.unknown,
        ),
        modes=tuple(map(_mode, module.modes)),
        devices=tuple(_device(basis, device) for device in module.devices),
    )


def _sum(total: Total) -> Sum:
    return Sum(amount=amount_text(total.amount), unknown=total.unknown)


def _device(basis: Basis, device: DeviceResult) -> DeviceRecord:
    worst = device.worst
    part = basis.parts.get(device.part)
    return DeviceRecord(
        ref=device.ref,
        part=device.part,
        channels_used=device.channels_used,
        channels=device.channels,
        worst_mode=device.worst_mode,
        worst_mode_max=device.worst_mode_max,
        power_w=single(None) if worst is None else bounded(worst.power_w),
        junction_degc=single(None) if worst is None else bounded(worst.junction_degc),
        junction_max_degc=None if part is None else part.junction_max_degc,
        runaway=worst is not None and worst.runaway,
    )
