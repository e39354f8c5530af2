"""What a module's result is made from, in two stages that an edit often leaves alone: its loads and its supplies."""

from collections.abc import Mapping
from dataclasses import dataclass

from bomtui.engine.calc import Gate
from bomtui.engine.changes import are_the_same, electrical
from bomtui.engine.load_current import LoadColumns, load_columns
from bomtui.engine.load_sums import LoadSums, load_sums
from bomtui.engine.module_inputs import ModuleInputs
from bomtui.engine.quantities import ModuleWiring
from bomtui.engine.supply import SupplyPlan, SupplyTree, heating_tree, supply_plan, supply_tree
from bomtui.engine.supply_range import supply_high_v, supply_low_v
from bomtui.engine.wiring import module_wiring
from bomtui.model.vehicle import Mode


@dataclass(frozen=True, slots=True)
class LoadStage:
    """Currents and wires of a module's loads, whatever drives them.

    Attributes:
        given: All objects that it was made from.
        columns: The loads as columns.
        wiring: Their wires.
        sums: Their currents per mode.
    """

    given: tuple[object, ...]
    columns: LoadColumns
    wiring: ModuleWiring
    sums: Mapping[str, LoadSums]


@dataclass(frozen=True, slots=True)
class Trees:
    """Supply currents of a module in one mode: typical, and worst at each end of the supply range.

    A converter draws most at the lowest battery voltage; what a chip takes from the battery heats most at the highest.

    Attributes:
        typ: Typical, as the battery sees it.
        worst: At the lowest battery voltage, as the battery sees it.
        heat_typ: Typical, with the devices whose draw a load already holds: they heat what feeds them all the same.
        heat_worst: The same at the highest battery voltage.
    """

    typ: SupplyTree
    worst: SupplyTree
    heat_typ: SupplyTree
    heat_worst: SupplyTree


@dataclass(frozen=True, slots=True)
class SupplyStage:
    """Supply currents of a module's devices, whatever loads they carry.

    Attributes:
        given: All objects that they were made from.
        trees: The currents in every mode in which the electronics are awake.
    """

    given: tuple[object, ...]
    trees: Mapping[str, Trees]


def load_stage(calc: Gate, inputs: ModuleInputs, former: LoadStage | None) -> LoadStage:
    """Compute what a module's loads draw, and their wires.

    Args:
        calc: Gate.
        inputs: The module's own inputs.
        former: The stage of a former snapshot, kept where it was made from the very same objects.
    """
    proposal = inputs.proposal
    ids = [served.load_id for served in inputs.served]
    loads = [inputs.loads[load_id] for load_id in ids]
    zone = inputs.module.zone
    given = (*ids, *loads, zone, *electrical(proposal.vehicle), proposal.modes, proposal.zones, proposal.settings)
    if former is not None and are_the_same(given, former.given):
        return former
    columns = load_columns(calc, dict(zip(ids, loads, strict=True)), proposal.vehicle)
    return LoadStage(
        given=given,
        columns=columns,
        wiring=module_wiring(calc, zone, columns.loads, columns.test_a, proposal),
        sums={mode: load_sums(calc, columns, mode, data) for mode, data in proposal.modes.items()},
    )


def supply_stage(calc: Gate, inputs: ModuleInputs, former: SupplyStage | None) -> SupplyStage:
    """Walk the supply tree of a module in every mode in which the electronics are awake.

    Args:
        calc: Gate.
        inputs: The module's own inputs.
        former: The stage of a former snapshot, kept where it was made from the very same objects.
    """
    module, proposal = inputs.module, inputs.proposal
    parts = [inputs.parts.get(key) for key in (*module.items, *[device.part for device in module.devices.values()])]
    given = (inputs.id, module, *parts, proposal.modes, proposal.settings)
    if former is not None and are_the_same(given, former.given):
        return former
    electronics = proposal.settings.electronics
    typ, largest = (
        supply_plan(calc, inputs.id, module, inputs.parts, electronics, worst=worst) for worst in (False, True)
    )
    trees = {
        mode: _trees(calc, typ, largest, data) for mode, data in proposal.modes.items() if data.electronics != "asleep"
    }
    return SupplyStage(given, trees)


def _trees(calc: Gate, typ: SupplyPlan, largest: SupplyPlan, mode: Mode) -> Trees:
    typical = supply_tree(calc, typ, mode.supply_nominal_v)
    return Trees(
        typ=typical,
        worst=supply_tree(calc, largest, supply_low_v(mode)),
        heat_typ=heating_tree(calc, typical),
        heat_worst=heating_tree(calc, supply_tree(calc, largest, supply_high_v(mode))),
    )
