"""Which module serves which load, on which channels."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

from bomtui.engine.changes import changed_keys
from bomtui.model.base import Base
from bomtui.model.ids import Address, natural_key, parse_address
from bomtui.model.load import Load
from bomtui.model.variant import Placement, Variant


class Served(Base, frozen=True, kw_only=False):
    """One load in the module that serves it.

    Attributes:
        load_id: Id of the load.
        channels: Channels it is placed on, in the order of the placement; empty where it needs none.
        devices: References of the devices of these channels, with how many of the channels are on each.
        stage: References of the FETs of this module that carry its current.
        joined: How its channels are joined; None where they are not.
        rail: Rail of the module that feeds it; empty where its placement names none.
    """

    load_id: str
    channels: tuple[Address, ...]
    devices: tuple[tuple[str, int], ...]
    stage: tuple[str, ...]
    joined: str | None
    rail: str


@dataclass(frozen=True, slots=True)
class Serving:
    """Loads per module, and loads that no module serves.

    Attributes:
        placements: The placements it was made from.
        loads: The loads it was made from.
        per_module: Served loads per module, in natural order of their ids.
        module_of: Module of each placed load.
    """

    placements: Mapping[str, Placement]
    loads: Mapping[str, Load]
    per_module: Mapping[str, tuple[Served, ...]]
    module_of: Mapping[str, str]


def serving_of(variant: Variant, loads: Mapping[str, Load], former: Serving | None = None) -> Serving:
    """Sort the placements of a variant by module; a load belongs to the module of its first address.

    Args:
        variant: The variant.
        loads: Loads by id.
        former: Serving of a former snapshot of the variant, of which the modules are kept that no change concerns.
    """
    if former is not None and former.per_module.keys() == variant.modules.keys():
        return _renewed(variant, loads, former)
    per_module: dict[str, list[Served]] = {module: [] for module in variant.modules}
    module_of = {}
    for load_id in sorted(variant.placements, key=natural_key):
        found = _served(load_id, variant, loads)
        if found is not None:
            module, own = found
            module_of[load_id] = module
            per_module[module].append(own)
    served = {module: tuple(own) for module, own in per_module.items()}
    return Serving(variant.placements, loads, served, module_of)


def _renewed(variant: Variant, loads: Mapping[str, Load], former: Serving) -> Serving:
    changed = changed_keys(variant.placements, former.placements)
    if loads is not former.loads and loads.keys() != former.loads.keys():
        changed |= loads.keys() ^ former.loads.keys()
    module_of = dict(former.module_of)
    per_module: dict[str, dict[str, Served]] = {}

    def served_by(module: str) -> dict[str, Served]:
        if module not in per_module:
            per_module[module] = {own.load_id: own for own in former.per_module[module]}
        return per_module[module]

    for load_id in changed:
        if load_id in module_of:
            del served_by(module_of.pop(load_id))[load_id]
        found = _served(load_id, variant, loads)
        if found is not None:
            module, own = found
            module_of[load_id] = module
            served_by(module)[load_id] = own
    renewed = {
        module: tuple(sorted(served.values(), key=lambda own: natural_key(own.load_id)))
        for module, served in per_module.items()
    }
    return Serving(variant.placements, loads, {**former.per_module, **renewed}, module_of)


def _served(load_id: str, variant: Variant, loads: Mapping[str, Load]) -> tuple[str, Served] | None:
    """Return the module that serves a load, and the load in it; None where none does."""
    placement = variant.placements.get(load_id)
    if placement is None or not placement.on or load_id not in loads:
        return None
    addresses = tuple(map(parse_address, placement.on))
    module = addresses[0].module
    if module not in variant.modules:
        return None
    channels = addresses if len(addresses) == 1 and addresses[0].device else _channels(addresses)
    devices = ((channels[0].device, 1),) if len(channels) == 1 else _devices(channels)
    stage = tuple([parse_address(text).device for text in placement.stage]) if placement.stage else ()
    return module, Served(load_id, channels, devices, stage, placement.joined, placement.rail)


def _channels(addresses: tuple[Address, ...]) -> tuple[Address, ...]:
    return tuple([address for address in addresses if address.device])


def _devices(channels: tuple[Address, ...]) -> tuple[tuple[str, int], ...]:
    return tuple(Counter(address.device for address in channels).items())
