"""Parts that stand in the very place of others: the same device of the same module, or the one item that took over."""

from collections.abc import Iterator
from collections.abc import Set as AbstractSet
from decimal import Decimal

from bomtui.engine.calc import PLAIN
from bomtui.engine.fitment import fitment
from bomtui.engine.quantities import Weights
from bomtui.engine.rollup import Computed
from bomtui.engine.scope import device_quantity
from bomtui.model.variant import Module

Swap = tuple[str, str, Decimal]
"""Part that goes, part that comes, and how much per average vehicle."""


def swapped_quantities(first: Computed, second: Computed, apart: AbstractSet[str]) -> Weights:
    """Return by how much swaps alone change the quantity of each part per average vehicle, second less first.

    A device is swapped where module and reference are the same and the part is not. An item is where a module lacks
    one of its items, has one more of the same kind instead, and as much of it.

    Args:
        first: One variant.
        second: The other.
        apart: Modules and devices (`MODULE`, `MODULE.REF`) that serve loads of one side only.
    """
    modules, others = (side.snapshot.proposal.variants[side.result.variant].modules for side in (first, second))
    steps: Weights = {}
    for module_id in sorted(modules.keys() & others.keys() - apart):
        module, other = modules[module_id], others[module_id]
        for old, new, quantity in (*_devices(module_id, module, other, apart), *_items(first, second, module, other)):
            steps[old] = steps.get(old, Decimal(0)) + -quantity
            steps[new] = steps.get(new, Decimal(0)) + quantity
    return {key: step for key, step in steps.items() if step}


def _devices(module_id: str, module: Module, other: Module, apart: AbstractSet[str]) -> Iterator[Swap]:
    for ref, device in module.devices.items():
        other_device = other.devices.get(ref)
        if other_device is None or other_device.part == device.part or f"{module_id}.{ref}" in apart:
            continue
        quantity = min(device_quantity(module, device), device_quantity(other, other_device))
        yield device.part, other_device.part, quantity


def _items(first: Computed, second: Computed, module: Module, other: Module) -> Iterator[Swap]:
    if module.fitment_ratio != other.fitment_ratio:
        return
    gone = {key: _kind(first, key) for key in module.items if key not in other.items}
    come = {key: _kind(second, key) for key in other.items if key not in module.items}
    for old, kind in gone.items():
        rivals, alike = _of_kind(gone, kind), _of_kind(come, kind)
        if not kind or len(rivals) != 1 or len(alike) != 1:
            continue
        quantity = module.items[old].quantity
        if quantity == other.items[alike[0]].quantity:
            yield old, alike[0], quantity.quantity * fitment(PLAIN, module.fitment_ratio)


def _of_kind(items: dict[str, str], kind: str) -> list[str]:
    return [key for key, own in items.items() if own == kind]


def _kind(side: Computed, key: str) -> str:
    part = side.snapshot.parts.get(key)
    return "" if part is None else part.kind
