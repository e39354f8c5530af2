"""What hangs on the rails of a module, what is drawn from them, and what their sources can give."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from bomtui.engine.calc import PLAIN, Gate
from bomtui.engine.rail_load import usable_output_a
from bomtui.engine.supply import heating_tree, supply_plan, supply_tree
from bomtui.model.bound import Value, exceeds
from bomtui.model.ids import natural_key, parse_address
from bomtui.model.proposal import Snapshot
from bomtui.model.variant import Module, Variant

RAIL_CURRENT = "rail_current_a"
SUPPLY_OUTPUT = "output_a"
"""What a supply gives to all its rails, as the figures of the checks name it."""

Stands = Literal["within", "little left", "above", "undecided"]
"""How what is drawn from a supply stands against what it can give, and against the share of it that may be used."""


def rail_figures(snapshot: Snapshot, variant_id: str, calc: Gate = PLAIN) -> dict[str, Value]:
    """Return what devices draw from the rails of every module, by name: `ZREA:rail_current_a.V5/max`.

    Currents of loads that come through a rail are not in it: they follow the mode.

    Args:
        snapshot: Proposal and frozen parts.
        variant_id: The variant.
        calc: Gate; a recorder explains every figure.
    """
    figures: dict[str, Value] = {}
    electronics = snapshot.proposal.settings.electronics
    for module_id, module in snapshot.proposal.variants[variant_id].modules.items():
        if not module.rails:
            continue
        for corner, worst in (("typ", False), ("max", True)):
            plan = supply_plan(calc, module_id, module, snapshot.parts, electronics, worst=worst)
            # What devices draw from a rail does not depend on the battery: they see the voltage of the rail.
            tree = heating_tree(calc, supply_tree(calc, plan, None))
            for rail_id in module.rails:
                figures[f"{module_id}:{RAIL_CURRENT}.{rail_id}/{corner}"] = tree.rail_a.get(rail_id)
    return figures


@dataclass(frozen=True, slots=True)
class Feeding:
    """What hangs on a rail.

    Attributes:
        inputs: Supply inputs, `U3 vio`, in natural order.
        loads: Loads that are fed from it by their placement, in natural order.
    """

    inputs: tuple[str, ...]
    loads: tuple[str, ...]


def feeding(variant: Variant, module_id: str, rail_id: str) -> Feeding:
    """Return what hangs on a rail."""
    module = variant.modules[module_id]
    inputs = [
        f"{ref} {name}"
        for ref in sorted(module.devices, key=natural_key)
        for name, rail in sorted(module.devices[ref].supply.items())
        if rail == rail_id
    ]
    loads = [
        load_id
        for load_id in sorted(variant.placements, key=natural_key)
        if variant.placements[load_id].rail == rail_id
        and any(parse_address(text).module == module_id for text in variant.placements[load_id].on)
    ]
    return Feeding(tuple(inputs), tuple(loads))


@dataclass(frozen=True, slots=True)
class SupplyLoad:
    """What a supply gives to its rails where it is worst.

    Attributes:
        mode: Id of the mode.
        output_a: What is drawn there at most.
        limit_a: What it can give; None where nobody knows.
        stands: How these stand.
    """

    mode: str
    output_a: Value
    limit_a: float | None
    stands: Stands


def supply_load(snapshot: Snapshot, module: Module, ref: str, outputs: Mapping[str, Value]) -> SupplyLoad | None:
    """Hold what a supply gives against what it can give; None where it gives nothing in any mode.

    Args:
        snapshot: For its part and the settings.
        module: Its module.
        ref: Its reference.
        outputs: What it gives to its rails at most, per mode.
    """
    # Rules are loaded where somebody asks for findings or reasons, not at the start of the program.
    from bomtui.rules.comparing import worst_of

    if not outputs:
        return None
    device = module.devices.get(ref)
    part = None if device is None else snapshot.parts.get(device.part)
    limit_a = None if part is None else part.output_current_a
    ratio = snapshot.proposal.settings.limits.rail_load_ratio
    usable_a = PLAIN(usable_output_a, output_current_a=limit_a, load_ratio=ratio)
    worst = worst_of(outputs, usable_a)
    stands: Stands = "within"
    if exceeds(worst.value, limit_a):
        stands = "above"
    elif worst.over is not False:
        stands = "little left" if worst.over else "undecided"
    return SupplyLoad(worst.mode, worst.value, limit_a, stands)
