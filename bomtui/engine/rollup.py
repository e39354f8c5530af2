"""The rollup of a variant: every module, then the vehicle as their sum."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from operator import is_

from bomtui.engine.battery import days_parked
from bomtui.engine.calc import PLAIN, Gate
from bomtui.engine.cost import CostMemo, cost_rollup
from bomtui.engine.load_current import load_columns, typical_currents, worst_currents
from bomtui.engine.module import ModuleInputs, ModuleOutput, compute_module, load_sums
from bomtui.engine.quantities import ModuleQuantities
from bomtui.engine.serving import Serving, serving_of
from bomtui.engine.standby import loads_standby
from bomtui.model.bound import Value
from bomtui.model.ids import natural_key
from bomtui.model.load import Load
from bomtui.model.parameter import Parameter
from bomtui.model.part import DRIVER_KINDS, Part
from bomtui.model.proposal import Proposal, Snapshot
from bomtui.model.rollup import Figure, ModeCurrent, ModuleResult, Rollup
from bomtui.model.variant import Variant


@dataclass(frozen=True, slots=True)
class Computed:
    """A rollup with all that lets the next one reuse it.

    Attributes:
        result: The rollup.
        snapshot: Snapshot it was computed from.
        variant: Variant it was computed for.
        serving: Loads per module.
        modules: Output per module.
        objects: Per module, the very objects its output was computed from.
        cost: Cost with its inputs.
    """

    result: Rollup
    snapshot: Snapshot
    variant: Variant
    serving: Serving
    modules: Mapping[str, ModuleOutput]
    objects: Mapping[str, tuple[object, ...]]
    cost: CostMemo


def rollup(snapshot: Snapshot, variant_id: str, previous: Computed | None = None, calc: Gate = PLAIN) -> Computed:
    """Compute everything for one variant.

    A module whose inputs are the very same objects as in a former rollup of the same variant keeps its result.

    Args:
        snapshot: Proposal and frozen parts.
        variant_id: Id of the variant.
        previous: A former rollup of the same variant.
        calc: Gate; a recorder explains every figure.

    Raises:
        KeyError: The proposal has no such variant.
    """
    proposal = snapshot.proposal
    variant = proposal.variants[variant_id]
    former = previous if previous is not None and previous.result.variant == variant_id else None
    serving = _serving(proposal, variant, former)
    outputs: dict[str, ModuleOutput] = {}
    objects: dict[str, tuple[object, ...]] = {}
    for module_id in sorted(variant.modules, key=natural_key):
        inputs = ModuleInputs(
            id=module_id,
            module=variant.modules[module_id],
            served=serving.per_module[module_id],
            loads=proposal.loads,
            placements=variant.placements,
            parts=snapshot.parts,
            proposal=proposal,
        )
        objects[module_id] = _objects(inputs)
        same = former is not None and _same(objects[module_id], former.objects.get(module_id))
        outputs[module_id] = former.modules[module_id] if same and former is not None else compute_module(calc, inputs)
    quantities = {module_id: output.quantities for module_id, output in outputs.items()}
    unserved = len(proposal.loads) - len(serving.module_of)
    cost = cost_rollup(calc, proposal, snapshot.parts, quantities, unserved, None if former is None else former.cost)
    result = _vehicle(
        calc, snapshot, variant_id, serving, {key: output.result for key, output in outputs.items()}, cost
    )
    return Computed(result, snapshot, variant, serving, outputs, objects, cost)


def _serving(proposal: Proposal, variant: Variant, former: Computed | None) -> Serving:
    if (
        former is not None
        and former.variant.placements is variant.placements
        and former.variant.modules.keys() == variant.modules.keys()
        and former.snapshot.proposal.loads.keys() == proposal.loads.keys()
    ):
        return former.serving
    return serving_of(variant, proposal.loads)


def _objects(inputs: ModuleInputs) -> tuple[object, ...]:
    proposal, module = inputs.proposal, inputs.module
    return (
        module,
        proposal.vehicle,
        proposal.modes,
        proposal.zones,
        proposal.settings,
        *[inputs.loads[served.load_id] for served in inputs.served],
        *[inputs.placements[served.load_id] for served in inputs.served],
        *[inputs.parts.get(device.part) for device in module.devices.values()],
        *[inputs.parts.get(key) for key in module.items],
    )


def _same(now: tuple[object, ...], then: tuple[object, ...] | None) -> bool:
    return then is not None and len(now) == len(then) and all(map(is_, now, then))


def _vehicle(
    calc: Gate,
    snapshot: Snapshot,
    variant_id: str,
    serving: Serving,
    modules: Mapping[str, ModuleResult],
    cost: CostMemo,
) -> Rollup:
    proposal = snapshot.proposal
    unplaced = tuple(load_id for load_id in sorted(proposal.loads, key=natural_key) if load_id not in serving.module_of)
    rest = _unserved_standby(calc, proposal, unplaced)
    keys = [*modules, "loads that no module serves"]
    standby = Figure(
        typ=calc.total(keys, [*[module.standby_a.typ for module in modules.values()], rest.typ]),
        max=calc.total(keys, [*[module.standby_a.max for module in modules.values()], rest.max]),
    )
    settings = proposal.settings.standby
    return Rollup(
        snapshot_number=snapshot.number,
        variant=variant_id,
        modules=dict(modules),
        modes=_modes(calc, proposal, modules, unplaced, standby),
        standby_a=standby,
        parking_days=Figure(
            typ=days_parked(calc, standby.typ, proposal.vehicle, settings),
            max=days_parked(calc, standby.max, proposal.vehicle, settings),
        ),
        cost=cost.result,
        wire_count=sum(module.wires.wires for module in modules.values()),
        wire_length_m=sum((module.wires.length_m for module in modules.values()), Decimal(0)),
        driver_devices=_driver_devices(snapshot.parts, modules),
        unplaced=unplaced,
        single_values=_single_values(proposal, snapshot.parts, cost.quantities),
    )


def _unserved_standby(calc: Gate, proposal: Proposal, unplaced: tuple[str, ...]) -> Figure:
    """Return what loads that no module serves draw while the vehicle is parked."""
    parked = proposal.vehicle.parked_mode
    mode = proposal.modes.get(parked)
    columns = load_columns(calc, {load_id: proposal.loads[load_id] for load_id in unplaced}, proposal.vehicle)
    unknown: list[Value] = [None] * len(columns.ids)
    currents = [
        unknown if mode is None else typical_currents(calc, columns, mode),
        unknown if mode is None else worst_currents(calc, columns, mode),
    ]
    typ, largest = (loads_standby(calc, columns.ids, columns.loads, values, parked) for values in currents)
    return Figure(typ=typ, max=largest)


def _modes(
    calc: Gate,
    proposal: Proposal,
    modules: Mapping[str, ModuleResult],
    unplaced: tuple[str, ...],
    standby: Figure,
) -> tuple[ModeCurrent, ...]:
    by_mode = {mode: [module.modes[row] for module in modules.values()] for row, mode in enumerate(proposal.modes)}
    loose = {load_id: proposal.loads[load_id] for load_id in unplaced}
    return tuple(_mode(calc, proposal, mode, list(modules), by_mode[mode], loose, standby) for mode in proposal.modes)


def _mode(
    calc: Gate,
    proposal: Proposal,
    mode: str,
    module_ids: list[str],
    modules: list[ModeCurrent],
    loose: Mapping[str, Load],
    standby: Figure,
) -> ModeCurrent:
    columns = load_columns(calc, loose, proposal.vehicle)
    rest = load_sums(calc, columns, mode, proposal.modes[mode])
    keys = [*module_ids, "loads that no module serves"]

    def summed(terms: list[Value], own: Value) -> Value:
        return calc.total(keys, [*terms, own])

    loads_a = summed([module.loads_a for module in modules], rest.test_a)
    at_voltage = Figure(
        typ=summed([module.loads_at_mode_voltage_a.typ for module in modules], rest.mean_typ_a),
        max=summed([module.loads_at_mode_voltage_a.max for module in modules], rest.mean_max_a),
    )
    if proposal.modes[mode].electronics == "asleep":
        return ModeCurrent(
            mode=mode,
            loads_a=loads_a,
            loads_at_mode_voltage_a=at_voltage,
            on_current_a=standby.max,
            inrush_a=calc.largest((), ()),
            electronics_a=standby,
            supply_current_a=standby,
        )
    on_a = summed([module.on_current_a for module in modules], rest.on_a)
    inrush_a = calc.largest(keys, [*[module.inrush_a for module in modules], rest.inrush_a])
    electronics = Figure(
        typ=calc.total(module_ids, [module.electronics_a.typ for module in modules]),
        max=calc.total(module_ids, [module.electronics_a.max for module in modules]),
    )
    return ModeCurrent(
        mode=mode,
        loads_a=loads_a,
        loads_at_mode_voltage_a=at_voltage,
        on_current_a=on_a,
        inrush_a=inrush_a,
        electronics_a=electronics,
        supply_current_a=Figure(
            typ=calc.total(("loads", "electronics"), (at_voltage.typ, electronics.typ)),
            max=calc.total(("loads on", "inrush", "electronics"), (on_a, inrush_a, electronics.max)),
        ),
    )


def _driver_devices(parts: Mapping[str, Part], modules: Mapping[str, ModuleResult]) -> int:
    return sum(
        part.kind in DRIVER_KINDS
        for module in modules.values()
        for device in module.devices
        if (part := parts.get(device.part)) is not None
    )


def _single_values(
    proposal: Proposal, parts: Mapping[str, Part], quantities: Mapping[str, ModuleQuantities]
) -> tuple[str, ...]:
    used = {key for amounts in quantities.values() for key in amounts.parts}
    loads = [
        f"loads.{load_id}.current"
        for load_id, load in proposal.loads.items()
        if load.test_current_max_a is None and load.rated_power_max_w is None and _has_current(load)
    ]
    return (
        *loads,
        *[name for key in sorted(used, key=natural_key) for name in _single_parameters(key, parts.get(key))],
    )


def _has_current(load: Load) -> bool:
    return load.test_current_a is not None or load.rated_power_w is not None


def _single_parameters(key: str, part: Part | None) -> list[str]:
    if part is None:
        return []
    names = [f"parts.{key}.{name}" for name in _parameter_names() if getattr(part, name).given == 1]
    return names + [
        f"parts.{key}.supplies.{name}.current_a" for name, need in part.supplies.items() if need.current_a.given == 1
    ]


@cache
def _parameter_names() -> tuple[str, ...]:
    return tuple(name for name in Part.__struct_fields__ if isinstance(_DEFAULTS.get(name), Parameter))


_DEFAULTS = dict(zip(Part.__struct_fields__[-len(Part.__struct_defaults__) :], Part.__struct_defaults__, strict=True))
