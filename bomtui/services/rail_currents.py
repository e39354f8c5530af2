"""What the devices of a module draw from each of its rails, and what the source of a rail can give."""

from collections.abc import Mapping
from dataclasses import dataclass

from bomtui.engine.calc import PLAIN, Gate
from bomtui.engine.supply import INPUT, heating_tree, supply_plan, supply_tree
from bomtui.model.bound import Value, exceeds
from bomtui.model.ids import natural_key, parse_address
from bomtui.model.part import Part
from bomtui.model.proposal import Snapshot
from bomtui.model.variant import Module, Variant

RAIL_CURRENT = "rail_current_a"
SOURCE_CURRENT = "source_current_a"


def rail_figures(snapshot: Snapshot, variant_id: str, calc: Gate = PLAIN) -> dict[str, Value]:
    """Return what devices draw from the rails of every module, by name: `ZREA:rail_current_a.V5/max`.

    Of the source of rails it is what they take together: `ZREA.U2:source_current_a/max`. Currents of loads that come
    through a rail are not in it: they follow the mode, and their battery current already holds them.

    Args:
        snapshot: Proposal and frozen parts.
        variant_id: The variant.
        calc: Gate; a recorder explains every figure.
    """
    figures: dict[str, Value] = {}
    ratio = snapshot.proposal.settings.electronics.bus_dominant_ratio
    for module_id, module in snapshot.proposal.variants[variant_id].modules.items():
        if not module.rails:
            continue
        incomplete = _incomplete_rails(module, snapshot.parts)
        for corner, worst in (("typ", False), ("max", True)):
            plan = supply_plan(calc, module_id, module, snapshot.parts, ratio, worst=worst)
            # What a rail gives does not depend on the battery: its consumers see the voltage of the rail.
            tree = heating_tree(calc, supply_tree(calc, plan, None))
            for rail_id in module.rails:
                current_a = _bounded(calc, tree.rail_a.get(rail_id), is_complete=rail_id not in incomplete)
                figures[f"{module_id}:{RAIL_CURRENT}.{rail_id}/{corner}"] = current_a
            for ref in sorted({rail.source for rail in module.rails.values()} & module.devices.keys()):
                own = {rail_id for rail_id, rail in module.rails.items() if rail.source == ref}
                current_a = _bounded(calc, tree.output_a.get(ref), is_complete=own.isdisjoint(incomplete))
                figures[f"{module_id}.{ref}:{SOURCE_CURRENT}/{corner}"] = current_a
    return figures


def _bounded(calc: Gate, current_a: Value, *, is_complete: bool) -> Value:
    if is_complete or current_a is None:
        return current_a
    total: Value = calc.total(("inputs that are known", "devices of which no supply input is known"), (current_a, None))
    return total


def _incomplete_rails(module: Module, parts: Mapping[str, Part]) -> frozenset[str]:
    """Return the rails that are named by devices without known supply inputs, and the rails that feed these."""
    found = set()
    for device in module.devices.values():
        part = parts.get(device.part)
        known = {} if part is None else part.supplies
        found |= {rail for name, rail in device.supply.items() if name not in known} & module.rails.keys()
    waiting = list(found)
    while waiting:
        source = module.devices.get(module.rails[waiting.pop()].source)
        upstream = "" if source is None else source.supply.get(INPUT, "")
        if upstream in module.rails and upstream not in found:
            found.add(upstream)
            waiting.append(upstream)
    return frozenset(found)


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


def source_limit_a(snapshot: Snapshot, module: Module, rail_id: str) -> float | None:
    """Return what the source of a rail can give to all its rails together [A]; None where nobody knows."""
    source = module.devices.get(module.rails[rail_id].source)
    part = None if source is None else snapshot.parts.get(source.part)
    return None if part is None else part.output_current_a


def is_beyond(current_a: Value, limit_a: float | None) -> bool:
    """Tell whether a source surely gives more than it can."""
    return limit_a is not None and exceeds(current_a, limit_a) is True
