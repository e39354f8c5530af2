"""Devices that serve a load, so that two loads can be asked whether they fail together."""

from collections.abc import Iterable
from dataclasses import dataclass

from bomtui.model.ids import Address, parse_address
from bomtui.model.variant import Variant


@dataclass(frozen=True, slots=True)
class ServedBy:
    """What serves a load.

    Attributes:
        devices: Addresses of the devices: of its channels, its power stage, and the chips counted in it.
        modules: Modules it is placed on.
    """

    devices: frozenset[str]
    modules: frozenset[str]


def served_by(variant: Variant, load_id: str, on: Iterable[Address], stage: Iterable[str]) -> ServedBy:
    """Return what serves a load that is placed somewhere, or would be.

    Args:
        variant: The variant.
        load_id: The load.
        on: Its addresses; none where no module serves it.
        stage: FETs that carry its current.

    Source: common practice.
    """
    places = list(on)
    addresses = [address for address in places if address.device]
    if places:
        addresses += [parse_address(text) for text in stage]
    named = {str(Address(address.module, address.device)) for address in addresses}
    modules = frozenset(address.module for address in places) & variant.modules.keys()
    for module_id in modules:
        for ref, device in variant.modules[module_id].devices.items():
            if device.counted_in_load == load_id:
                named.add(str(Address(module_id, ref)))
    return ServedBy(frozenset(named), modules)


def is_apart(one: ServedBy, other: ServedBy) -> bool | None:
    """Tell whether two loads have no device in common.

    None where one of them is placed on a module only and the other one is in that module too: nothing says by which
    device it is served.
    """
    if one.devices & other.devices:
        return False
    if (not one.devices or not other.devices) and one.modules & other.modules:
        return None
    return True
