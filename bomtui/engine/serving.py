"""Which module serves which load, on which channels."""

from collections.abc import Mapping
from dataclasses import dataclass

from bomtui.model.base import Base
from bomtui.model.ids import Address, natural_key, parse_address
from bomtui.model.load import Load
from bomtui.model.variant import Placement, Variant


class Served(Base, frozen=True, kw_only=False):
    """One load in the module that serves it.

    Attributes:
        load_id: Id of the load.
        channels: Channels it is placed on, in the order of the placement; empty where it needs none.
        stage: References of the FETs of this module that carry its current.
    """

    load_id: str
    channels: tuple[Address, ...]
    stage: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Serving:
    """Loads per module, and loads that no module serves.

    Attributes:
        placements: The placements it was made from.
        per_module: Served loads per module, in natural order of their ids.
        module_of: Module of each placed load.
    """

    placements: Mapping[str, Placement]
    per_module: Mapping[str, tuple[Served, ...]]
    module_of: Mapping[str, str]


def serving_of(variant: Variant, loads: Mapping[str, Load]) -> Serving:
    """Sort the placements of a variant by module; a load belongs to the module of its first address."""
    per_module: dict[str, list[Served]] = {module: [] for module in variant.modules}
    module_of = {}
    for load_id in sorted(variant.placements, key=natural_key):
        placement = variant.placements[load_id]
        addresses = tuple(parse_address(text) for text in placement.on)
        if not addresses or load_id not in loads or addresses[0].module not in per_module:
            continue
        module = addresses[0].module
        stage = tuple(parse_address(text).device for text in placement.stage)
        module_of[load_id] = module
        per_module[module].append(Served(load_id, tuple(address for address in addresses if address.device), stage))
    return Serving(variant.placements, {module: tuple(served) for module, served in per_module.items()}, module_of)
