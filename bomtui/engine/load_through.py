"""Load currents that pass through the supplies of a module, and the heat that they make there.

The battery current of a load holds the losses of the converters in its way, so that it is counted as it is listed; what
the converters turn into heat of it is found by walking from the battery down to the rail that feeds the load.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from bomtui.engine.calc import Gate, formula
from bomtui.engine.load_current import PULSED, WORST_AT_LOW_SUPPLY, mean_current_a
from bomtui.engine.load_sums import LoadSums
from bomtui.engine.module_inputs import ModuleInputs
from bomtui.engine.pulse_energy import pulsed_mean_a
from bomtui.engine.supply import INPUT, SupplyTree
from bomtui.model.bound import Value
from bomtui.model.load import Load
from bomtui.model.part import Part
from bomtui.model.variant import BATTERY, Module

LOAD_INPUTS = ("boost", "main")
"""Supply inputs of a driver through which the current of its loads comes: the first of these that it has."""


@formula("input_current_a", "A", "Kirchhoff's current law: a linear supply passes its output current through")
def linear_output_current_a(input_current_a: float) -> float:
    """Output current of a linear supply that goes with a part of its input current.

    Args:
        input_current_a: That part [A], the supply's own current left out.

    Source: Kirchhoff's current law.
    """
    return input_current_a


@formula(
    "input_current_a * input_v * efficiency_ratio / output_v",
    "A",
    "power balance of a converter (definition of efficiency)",
)
def switching_output_current_a(
    input_current_a: float, input_v: float, efficiency_ratio: float, output_v: float
) -> float:
    """Output current of a switching supply that goes with a part of its input current.

    Args:
        input_current_a: That part [A], the supply's own current left out.
        input_v: Input voltage [V].
        efficiency_ratio: Output power over input power.
        output_v: Rail voltage [V], above 0.

    Source: definition of efficiency.
    """
    return input_current_a * input_v * efficiency_ratio / output_v


@dataclass(frozen=True, slots=True)
class FedLoad:
    """A load that a rail of its module feeds.

    Attributes:
        load_id: Id of the load.
        load: The load.
        row: Its row in the module's columns.
        rail: The rail; it need not be one that anything feeds.
    """

    load_id: str
    load: Load
    row: int
    rail: str


def fed_loads(inputs: ModuleInputs, row_of: Mapping[str, int]) -> list[FedLoad]:
    """Return the loads of a module whose current comes from a rail: by their placement, or by the device they are on.

    Args:
        inputs: The module's own inputs.
        row_of: Row of each load in the module's columns.
    """
    rail_of = _rails_of_drivers(inputs.module, inputs.parts)
    found = []
    for served in inputs.served:
        rail = served.rail or next((rail_of[ref] for ref, _ in served.devices if ref in rail_of), "")
        if rail:
            load = inputs.loads[served.load_id]
            found.append(FedLoad(served.load_id, load, row_of[served.load_id], rail))
    return found


def _rails_of_drivers(module: Module, parts: Mapping[str, Part]) -> dict[str, str]:
    """Return the rail from which each device takes the current of its loads, of those that take it from a rail."""
    rail_of: dict[str, str] = {}
    for ref, device in module.devices.items():
        part = parts.get(device.part)
        name = "" if part is None else next((name for name in LOAD_INPUTS if name in part.supplies), "")
        rail = device.supply.get(name, "")
        if rail and rail != BATTERY:
            rail_of[ref] = rail
    return rail_of


def with_load_currents(
    calc: Gate, tree: SupplyTree, loads: Sequence[FedLoad], sums: LoadSums, mode: str, low_v: Value
) -> SupplyTree:
    """Return a supply tree whose sources also give the mean currents of the loads on their rails.

    Args:
        calc: Gate.
        tree: The tree of the module's own devices, at one corner.
        loads: Loads that a rail feeds.
        sums: Currents of the module's loads in the mode.
        mode: Id of the mode.
        low_v: Lowest battery voltage, at which a load of constant power has its largest current.
    """
    if not loads:
        return tree
    worst = tree.plan.worst
    names: dict[str, list[str]] = {ref: ["devices"] for ref in tree.output_a}
    outputs: dict[str, list[Value]] = {ref: [own] for ref, own in tree.output_a.items()}
    for fed in loads:
        input_v = low_v if worst and fed.load.behaviour in {*WORST_AT_LOW_SUPPLY, PULSED} else tree.battery_v
        current_a = _mean_a(calc, fed, sums, mode, input_v, worst=worst)
        for ref in _sources_of(tree, fed.rail):
            part = tree.plan.source_parts[ref]
            current_a = _output_a(calc, part, current_a, input_v, worst=worst)
            input_v = part.output_v
            names[ref].append(fed.load_id)
            outputs[ref].append(current_a)
    given = {ref: calc.total(names[ref], own) for ref, own in outputs.items()}
    return replace(tree, output_a=given)


def _mean_a(calc: Gate, fed: FedLoad, sums: LoadSums, mode: str, supply_v: Value, *, worst: bool) -> Value:
    if fed.load.time_share_ratio.get(mode) == 0:
        nothing: Value = calc.given(0.0, "off in this mode")
        return nothing
    if fed.load.behaviour == PULSED:
        return pulsed_mean_a(calc, fed.load, mode, supply_v)
    on_a = sums.max[fed.row] if worst else sums.typ[fed.row]
    return calc(mean_current_a, current_a=on_a, mean_ratio=sums.mean_ratios[fed.row])


def _sources_of(tree: SupplyTree, rail: str) -> list[str]:
    """Return the sources between the battery and a rail, the one on the battery first; empty where it is not fed."""
    sources: list[str] = []
    while rail != BATTERY:
        made = tree.plan.rails.get(rail)
        if made is None or made.source not in tree.output_a:
            return []
        sources.append(made.source)
        rail = tree.plan.fed_by.get((made.source, INPUT), "")
    return sources[::-1]


def _output_a(calc: Gate, part: Part, input_a: Value, input_v: Value, *, worst: bool) -> Value:
    if part.converter is None:
        return None
    if part.converter == "linear":
        return calc(linear_output_current_a, input_current_a=input_a)
    # The better the efficiency, the more of a given input current arrives, and the less of it is heat: the heat of the
    # source itself is taken at its lowest efficiency, and so is this.
    return calc(
        switching_output_current_a,
        input_current_a=input_a,
        input_v=input_v,
        efficiency_ratio=part.efficiency_ratio.lower if worst else part.efficiency_ratio.middle,
        output_v=part.output_v,
    )
