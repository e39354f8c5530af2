"""The rollup of a variant: every module, then the vehicle as their sum."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cache

import msgspec

from bomtui.engine.battery import days_parked
from bomtui.engine.calc import PLAIN, Gate
from bomtui.engine.changes import changed_keys
from bomtui.engine.cost import CostMemo, cost_rollup
from bomtui.engine.feeds import FeedMemo, feed_memo, ground_results
from bomtui.engine.fitment import unserved_loads
from bomtui.engine.load_current import LoadColumns, load_columns, typical_currents, worst_currents
from bomtui.engine.load_groups import OnCurrents, largest_on
from bomtui.engine.load_sums import load_sums
from bomtui.engine.module import ModuleOutput, compute_module
from bomtui.engine.module_inputs import ModuleInputs
from bomtui.engine.networks.all import network_results
from bomtui.engine.reuse import untouched_modules
from bomtui.engine.serving import Serving, serving_of
from bomtui.engine.standby import loads_standby
from bomtui.model.bound import Value
from bomtui.model.ids import natural_key
from bomtui.model.load import Load
from bomtui.model.parameter import Parameter
from bomtui.model.part import Part
from bomtui.model.proposal import Proposal, Snapshot
from bomtui.model.rollup import Figure, ModeCurrent, Rollup


@dataclass(frozen=True, slots=True)
class Single:
    """What rests on one value for both corners: currents of loads, and parameters of parts."""

    loads: tuple[str, ...]
    parts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Computed:
    """A rollup with all that lets the next one reuse it.

    Attributes:
        result: The rollup.
        snapshot: Snapshot it was computed from.
        serving: Loads per module.
        modules: Output per module.
        single: Figures that rest on one value.
        cost: Cost with its inputs.
        feeds: Feeds with their inputs.
    """

    result: Rollup
    snapshot: Snapshot
    serving: Serving
    modules: Mapping[str, ModuleOutput]
    single: Single
    cost: CostMemo
    feeds: FeedMemo


def rollup(snapshot: Snapshot, variant_id: str, previous: Computed | None = None, calc: Gate = PLAIN) -> Computed:
    """Compute everything for one variant.

    A module of which everything is the very same object as in a former rollup of the same variant keeps its result.

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
    serving = serving_of(variant, proposal.loads, None if former is None else former.serving)
    outputs: dict[str, ModuleOutput] = {}
    kept: Mapping[str, ModuleOutput] = {}
    if former is not None:
        same = untouched_modules(variant_id, snapshot, former.snapshot, serving, former.serving)
        kept = {module_id: former.modules[module_id] for module_id in same}
    for module_id in sorted(variant.modules, key=natural_key):
        if module_id in kept:
            outputs[module_id] = kept[module_id]
            continue
        inputs = ModuleInputs(
            id=module_id,
            module=variant.modules[module_id],
            served=serving.per_module[module_id],
            loads=proposal.loads,
            parts=snapshot.parts,
            proposal=proposal,
        )
        outputs[module_id] = compute_module(calc, inputs, None if former is None else former.modules.get(module_id))
    quantities = {module_id: output.quantities for module_id, output in outputs.items()}
    unplaced = tuple(sorted(proposal.loads.keys() - serving.module_of.keys(), key=natural_key))
    unserved = unserved_loads(proposal.loads[load_id] for load_id in unplaced)
    known = None if former is None else former.cost
    cost = cost_rollup(calc, proposal, snapshot.parts, quantities, unserved, known, variant.one_off)
    single = Single(_single_loads(proposal.loads, former), _single_parts(snapshot.parts, cost, former))
    draws = {module_id: output.feed_draws for module_id, output in outputs.items()}
    feeds = feed_memo(calc, snapshot, variant_id, draws, None if former is None else former.feeds)
    result = _vehicle(calc, snapshot, variant_id, outputs, unplaced, cost, single, feeds)
    networks = network_results(
        calc, snapshot, variant_id, None if former is None else (former.snapshot, former.result.networks)
    )
    result = msgspec.structs.replace(result, networks=networks)
    return Computed(result, snapshot, serving, outputs, single, cost, feeds)


def _vehicle(
    calc: Gate,
    snapshot: Snapshot,
    variant_id: str,
    outputs: Mapping[str, ModuleOutput],
    unplaced: tuple[str, ...],
    cost: CostMemo,
    single: Single,
    feeds: FeedMemo,
) -> Rollup:
    proposal = snapshot.proposal
    modules = {module_id: output.result for module_id, output in outputs.items()}
    rest = _unserved_standby(calc, proposal, unplaced)
    keys = [*modules, "loads that no module serves"]
    standby = Figure(
        typ=calc.total(keys, [*[module.standby_a.typ for module in modules.values()], rest.typ]),
        max=calc.total(keys, [*[module.standby_a.max for module in modules.values()], rest.max]),
    )
    settings = proposal.settings.standby
    draws = {module_id: output.feed_draws for module_id, output in outputs.items()}
    return Rollup(
        snapshot_number=snapshot.number,
        variant=variant_id,
        modules=modules,
        modes=_modes(calc, proposal, outputs, unplaced, standby, rest),
        standby_a=standby,
        parking_days=Figure(
            typ=days_parked(calc, standby.typ, proposal.vehicle, settings),
            max=days_parked(calc, standby.max, proposal.vehicle, settings),
        ),
        cost=cost.result,
        wire_count=sum(module.wires.wires for module in modules.values()),
        wire_length_m=sum((module.wires.length_m for module in modules.values()), Decimal(0)),
        feeds=feeds.results,
        grounds=ground_results(calc, proposal, variant_id, draws),
        driver_devices=sum(output.driver_devices for output in outputs.values()),
        unplaced=unplaced,
        single_values=(*single.loads, *single.parts),
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
    outputs: Mapping[str, ModuleOutput],
    unplaced: tuple[str, ...],
    standby: Figure,
    unserved_standby: Figure,
) -> tuple[ModeCurrent, ...]:
    columns = load_columns(calc, {load_id: proposal.loads[load_id] for load_id in unplaced}, proposal.vehicle)
    return tuple(
        _mode(calc, proposal, mode, row, outputs, columns, standby, unserved_standby)
        for row, mode in enumerate(proposal.modes)
    )


def _mode(
    calc: Gate,
    proposal: Proposal,
    mode: str,
    row: int,
    outputs: Mapping[str, ModuleOutput],
    unserved: LoadColumns,
    standby: Figure,
    unserved_standby: Figure,
) -> ModeCurrent:
    asleep = proposal.modes[mode].electronics == "asleep"
    rest = load_sums(calc, unserved, mode, proposal.modes[mode])
    module_ids = list(outputs)
    modules = [output.result.modes[row] for output in outputs.values()]
    keys = [*module_ids, "loads that no module serves"]

    def summed(terms: list[Value], own: Value) -> Value:
        return calc.total(keys, [*terms, own])

    loads_a = summed([module.loads_a for module in modules], rest.test_a)
    unserved_a = unserved_standby if asleep else Figure(typ=rest.mean_typ_a, max=rest.mean_max_a)
    at_voltage = Figure(
        typ=summed([module.loads_at_mode_voltage_a.typ for module in modules], unserved_a.typ),
        max=summed([module.loads_at_mode_voltage_a.max for module in modules], unserved_a.max),
    )
    if asleep:
        return ModeCurrent(
            mode=mode,
            loads_a=loads_a,
            loads_at_mode_voltage_a=at_voltage,
            on_current_a=standby.max,
            inrush_a=calc.largest((), ()),
            electronics_a=standby,
            supply_current_a=standby,
        )
    # Not the sum of what the modules need each by itself: an exclusive group may have loads in several of them.
    places: list[OnCurrents] = [*[output.on[mode] for output in outputs.values()], rest.on]
    on_a, inrush_a = largest_on(calc, keys, places)
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


def _single_loads(loads: Mapping[str, Load], former: Computed | None) -> tuple[str, ...]:
    then: Mapping[str, Load] = {} if former is None else former.snapshot.proposal.loads
    if former is not None and list(loads) == list(then):
        changed = changed_keys(loads, then)
        if all(_is_single(loads[load_id]) == _is_single(then[load_id]) for load_id in changed):
            return former.single.loads
    return tuple(f"loads.{load_id}.current" for load_id, load in loads.items() if _is_single(load))


def _is_single(load: Load) -> bool:
    """Tell whether the current of a load is given, and by one value for both corners."""
    has_largest = load.test_current_max_a is not None or load.rated_power_max_w is not None
    return not has_largest and (load.test_current_a is not None or load.rated_power_w is not None)


def _single_parts(parts: Mapping[str, Part], cost: CostMemo, former: Computed | None) -> tuple[str, ...]:
    if former is not None and former.snapshot.parts is parts and former.cost.needs.keys() == cost.needs.keys():
        return former.single.parts
    return tuple(
        name for key in sorted(cost.needs, key=natural_key) for name in _single_parameters(key, parts.get(key))
    )


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
