"""Devices that serve a load, so that two loads can be asked whether they fail together."""

from collections.abc import Iterable

from bomtui.model.ids import Address, parse_address
from bomtui.model.variant import Variant


def serving_devices(variant: Variant, load_id: str, on: Iterable[Address], stage: Iterable[str]) -> frozenset[str]:
    """Return the addresses of the devices that serve a load.

    They are those of its channels, its power stage, and the chips of these modules that are counted in the load.

    Args:
        variant: The variant.
        load_id: The load.
        on: Where it is placed, or would be.
        stage: FETs that carry its current, or would.

    Source: common practice.
    """
    places = list(on)
    addresses = [address for address in places if address.device]
    addresses += [parse_address(text) for text in stage]
    named = {str(Address(address.module, address.device)) for address in addresses}
    for module_id in {address.module for address in places} & variant.modules.keys():
        for ref, device in variant.modules[module_id].devices.items():
            if device.counted_in_load == load_id:
                named.add(str(Address(module_id, ref)))
    return frozenset(named)
