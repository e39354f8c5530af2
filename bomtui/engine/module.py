"""Everything computed for one module, from that module's own inputs only."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from bomtui.engine.calc import Gate
from bomtui.engine.device_heat import air_in, device_heat
from bomtui.engine.driver_columns import DriverColumns, driver_columns, heat_mode
from bomtui.engine.driver_heat import Heat, HeatCorner, driver_heat
from bomtui.engine.feed_current import FeedDraws, feed_draws
from bomtui.engine.load_current import LoadColumns
from bomtui.engine.load_groups import OnCurrents, largest_on
from bomtui.engine.load_sums import LoadSums
from bomtui.engine.load_through import fed_loads, with_load_currents
from bomtui.engine.module_amounts import Contents, module_quantities, part_quantities, pieces_of
from bomtui.engine.module_inputs import ModuleInputs
from bomtui.engine.module_stages import LoadStage, SupplyStage, Trees, load_stage, supply_stage
from bomtui.engine.pins import module_pins
from bomtui.engine.quantities import ModuleQuantities, ModuleWiring
from bomtui.engine.serving import Served
from bomtui.engine.standby import loads_standby, module_standby
from bomtui.engine.supply_range import supply_high_v, supply_low_v
from bomtui.model.bound import Value
from bomtui.model.ids import natural_key
from bomtui.model.load import Load
from bomtui.model.part import DRIVER_KINDS, Part
from bomtui.model.rollup import ChannelUse, DeviceMode, DeviceResult, Figure, ModeCurrent, ModuleResult, WireUse


@dataclass(frozen=True, slots=True)
class ModuleOutput:
    """Result of a module with what the vehicle needs of it.

    Attributes:
        result: Its result.
        on: Per mode, what is on in it at the worst corner; groups of loads may go beyond one module.
        quantities: Its quantities for the cost of the vehicle.
        driver_devices: How many of its devices are drivers.
        drivers: Its drivers that carry load currents, and these loads.
        load_stage: What its loads draw.
        supply_stage: What its devices draw.
        feed_draws: What it draws from each of its feeds.
    """

    result: ModuleResult
    on: Mapping[str, OnCurrents]
    quantities: ModuleQuantities
    driver_devices: int
    drivers: DriverColumns
    load_stage: LoadStage
    supply_stage: SupplyStage
    feed_draws: FeedDraws


def compute_module(calc: Gate, inputs: ModuleInputs, former: ModuleOutput | None = None) -> ModuleOutput:
    """Compute one module.

    Args:
        calc: Gate.
        inputs: The module's own inputs.
        former: Its output of a former snapshot, of which a stage is kept that no change concerns.
    """
    module, proposal = inputs.module, inputs.proposal
    own_loads = load_stage(calc, inputs, None if former is None else former.load_stage)
    own_supplies = supply_stage(calc, inputs, None if former is None else former.supply_stage)
    columns, wiring, sums, trees = own_loads.columns, own_loads.wiring, own_loads.sums, own_supplies.trees
    drivers = driver_columns(
        calc,
        inputs.served,
        columns.row_of,
        inputs.loads,
        module,
        inputs.parts,
        proposal.settings,
        proposal.vehicle.test_voltage_v,
    )
    used = _channels_used(inputs.served)
    standby, sleeping_loads = _standby(calc, inputs, columns, sums)
    quantities = part_quantities(module)
    pieces = pieces_of(quantities, inputs.parts)
    wires = _wire_use(wiring)
    contents = Contents(
        id=inputs.id,
        module=module,
        loads=dict(zip(columns.ids, columns.loads, strict=True)),
        wiring=wiring,
        wires=wires,
        used=used,
        parts=inputs.parts,
        counting=proposal.settings.counting,
    )
    return ModuleOutput(
        result=ModuleResult(
            id=inputs.id,
            zone=module.zone,
            loads=tuple([served.load_id for served in inputs.served]),
            pins=module_pins(
                module,
                inputs.parts,
                _device_loads(inputs.served, inputs.loads),
                columns.loads,
                proposal.settings,
            ),
            channels=_channel_use(inputs, used),
            wires=wires,
            standby_a=standby,
            modes=tuple(
                _mode_current(calc, mode, sums[mode], trees.get(mode), standby, sleeping_loads)
                for mode in proposal.modes
            ),
            devices=_devices(calc, inputs, drivers, used, own_loads, trees),
            placed_pieces=pieces,
            quantities=quantities,
        ),
        on={mode: own.on for mode, own in sums.items()},
        quantities=module_quantities(calc, contents, quantities, pieces),
        driver_devices=sum(part.kind in DRIVER_KINDS for _, part in _known_parts(inputs)),
        drivers=drivers,
        load_stage=own_loads,
        supply_stage=own_supplies,
        feed_draws=feed_draws(calc, inputs, own_loads, own_supplies),
    )


def _channels_used(served: Sequence[Served]) -> dict[str, dict[int, list[str]]]:
    used: dict[str, dict[int, list[str]]] = {}
    for load in served:
        for address in load.channels:
            used.setdefault(address.device, {}).setdefault(address.channel, []).append(load.load_id)
    return used


def _device_loads(served: Sequence[Served], loads: Mapping[str, Load]) -> dict[str, list[Load]]:
    placed: dict[str, list[Load]] = {}
    for load in served:
        for ref, _ in load.devices:
            placed.setdefault(ref, []).append(loads[load.load_id])
    return placed


def _channel_use(inputs: ModuleInputs, used: Mapping[str, Mapping[int, list[str]]]) -> ChannelUse:
    total = unknown = 0
    for device in inputs.module.devices.values():
        part = inputs.parts.get(device.part)
        if part is None or part.kind not in DRIVER_KINDS:
            continue
        if part.channels is None:
            unknown += 1
        else:
            total += part.channels
    return ChannelUse(used=sum(len(channels) for channels in used.values()), total=total, unknown=unknown)


def _wire_use(wiring: ModuleWiring) -> WireUse:
    lengths = [load.length_m for load in wiring.loads if load.length_m is not None]
    return WireUse(
        wires=sum(load.wires for load in wiring.loads) + wiring.common_wires,
        length_m=sum(lengths, wiring.common_length_m),
        ways=sum(load.ways for load in wiring.loads) + wiring.common_ways,
        power_headers=sum(load.power_headers for load in wiring.loads),
        unknown=wiring.unknown,
    )


def _standby(
    calc: Gate, inputs: ModuleInputs, columns: LoadColumns, sums: Mapping[str, LoadSums]
) -> tuple[Figure, Figure]:
    """Return what the module draws while the vehicle is parked, and what its loads draw of it."""
    parked = inputs.proposal.vehicle.parked_mode
    settings = inputs.proposal.settings.standby
    wholes, of_loads = [], []
    for worst in (False, True):
        parts = module_standby(calc, inputs.id, inputs.module, inputs.parts, settings, worst=worst)
        known = sums.get(parked)
        currents = [None] * len(columns.ids) if known is None else known.max if worst else known.typ
        loads = loads_standby(calc, columns.ids, columns.loads, currents, parked)
        of_loads.append(loads)
        wholes.append(calc.total((f"{inputs.id} parts", f"{inputs.id} loads"), (parts, loads)))
    return Figure(typ=wholes[0], max=wholes[1]), Figure(typ=of_loads[0], max=of_loads[1])


def _mode_current(
    calc: Gate,
    mode: str,
    sums: LoadSums,
    trees: Trees | None,
    standby: Figure,
    sleeping_loads: Figure,
) -> ModeCurrent:
    if trees is None:
        # While the electronics sleep, the standby sheet is the current of the mode: one figure, not two.
        return ModeCurrent(
            mode=mode,
            loads_a=sums.test_a,
            loads_at_mode_voltage_a=sleeping_loads,
            on_current_a=standby.max,
            inrush_a=calc.largest((), ()),
            electronics_a=standby,
            supply_current_a=standby,
        )
    electronics = Figure(typ=trees.typ.battery_a, max=trees.worst.battery_a)
    on_a, inrush_a = sums.on.alone_a, sums.on.alone_inrush_a
    if sums.on.grouped:
        on_a, inrush_a = largest_on(calc, ("loads of no group",), (sums.on,))
    return ModeCurrent(
        mode=mode,
        loads_a=sums.test_a,
        loads_at_mode_voltage_a=Figure(typ=sums.mean_typ_a, max=sums.mean_max_a),
        on_current_a=on_a,
        inrush_a=inrush_a,
        electronics_a=electronics,
        supply_current_a=Figure(
            typ=calc.total(("loads", "electronics"), (sums.mean_typ_a, electronics.typ)),
            max=calc.total(("loads on", "inrush", "electronics"), (on_a, inrush_a, electronics.max)),
        ),
    )


def _devices(
    calc: Gate,
    inputs: ModuleInputs,
    drivers: DriverColumns,
    used: Mapping[str, Mapping[int, list[str]]],
    loads: LoadStage,
    trees: Mapping[str, Trees],
) -> tuple[DeviceResult, ...]:
    proposal, module = inputs.proposal, inputs.module
    zone = proposal.zones.get(module.zone)
    air = air_in(calc, None if zone is None else zone.ambient_degc, proposal.settings.heat.case_rise_k)
    heats: dict[str, list[DeviceMode]] = {ref: [] for ref in module.devices}
    carrying = frozenset(drivers.refs)
    others = [(ref, part) for ref, part in _known_parts(inputs) if ref not in carrying]
    on_rails = fed_loads(inputs, loads.columns.row_of)
    for mode, data in proposal.modes.items():
        if mode not in trees:
            continue
        own = loads.sums[mode]
        supplies = [
            with_load_currents(calc, tree, on_rails, own, mode, supply_low_v(data))
            for tree in (trees[mode].heat_typ, trees[mode].heat_worst)
        ]
        corners = (
            HeatCorner(own.typ, data.supply_nominal_v, worst=False),
            HeatCorner(own.max, supply_high_v(data), worst=True),
        )
        doing = heat_mode(drivers, mode, own.heat_ratios, own.mean_ratios)
        typ, largest = (driver_heat(calc, drivers, doing, corner, air) for corner in corners)
        for ref, typical, worst in zip(drivers.refs, typ, largest, strict=True):
            heats[ref].append(_device_mode(mode, typical, worst))
        for ref, part in others:
            typical, worst = (device_heat(calc, f"{inputs.id}.{ref}", ref, part, tree, air) for tree in supplies)
            heats[ref].append(_device_mode(mode, typical, worst))
    return tuple(
        _device_result(ref, inputs, len(used.get(ref, ())), tuple(heats[ref]))
        for ref in sorted(module.devices, key=natural_key)
    )


def _known_parts(inputs: ModuleInputs) -> list[tuple[str, Part]]:
    placed = [(ref, inputs.parts.get(device.part)) for ref, device in inputs.module.devices.items()]
    return [(ref, part) for ref, part in placed if part is not None]


def _device_mode(mode: str, typical: Heat, worst: Heat) -> DeviceMode:
    typ_w, typ_degc, typ_runaway = typical
    max_w, max_degc, max_runaway = worst
    return DeviceMode(mode, Figure(typ_w, max_w), Figure(typ_degc, max_degc), typ_runaway or max_runaway)


def _device_result(ref: str, inputs: ModuleInputs, channels_used: int, modes: tuple[DeviceMode, ...]) -> DeviceResult:
    part_key = inputs.module.devices[ref].part
    part = inputs.parts.get(part_key)
    return DeviceResult(
        ref=ref,
        part=part_key,
        channels_used=channels_used,
        channels=None if part is None else part.channels,
        worst_mode=_hottest(modes, [mode.power_w.typ for mode in modes]),
        worst_mode_max=_hottest(modes, [mode.power_w.max for mode in modes]),
        modes=modes,
    )


def _hottest(modes: Sequence[DeviceMode], powers_w: list[Value]) -> str:
    """Return the mode of the largest heat at one corner; empty where there is none."""
    if not modes:
        return ""
    try:
        return modes[powers_w.index(max(powers_w))].mode  # type: ignore[type-var]
    except TypeError:
        orders = [_heat_order(power_w, mode) for power_w, mode in zip(powers_w, modes, strict=True)]
        return modes[orders.index(max(orders))].mode


def _heat_order(power_w: Value, mode: DeviceMode) -> tuple[bool, float]:
    """Sort key of modes by the heat of one corner; what has no balance is hotter than anything."""
    return power_w is None and mode.runaway, _low_end(power_w)


def _low_end(value: Value) -> float:
    if isinstance(value, float):
        return value
    return -1.0 if value is None else value.low
