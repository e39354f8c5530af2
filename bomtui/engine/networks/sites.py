"""Where the nodes of a network are: which device of which module, or which load."""

from collections.abc import Mapping
from dataclasses import dataclass

from bomtui.model.ids import Address, natural_key, parse_address
from bomtui.model.load import Load
from bomtui.model.network import Network, Node
from bomtui.model.part import Part
from bomtui.model.variant import Device, Variant


@dataclass(frozen=True, slots=True)
class Site:
    """One node and what is there.

    Attributes:
        id: Id of the node.
        node: The node.
        address: Address of the device; None where it is a load.
        device: The device; None where it is a load, or the variant has no such device.
        part: Its part; None where nothing is known of it.
        load: The load; None where it is a device, or the vehicle has no such load.
    """

    id: str
    node: Node
    address: Address | None
    device: Device | None
    part: Part | None
    load: Load | None


def sites_of(
    network: Network, variant: Variant, loads: Mapping[str, Load], parts: Mapping[str, Part]
) -> tuple[Site, ...]:
    """Return the nodes of a network in natural order of their ids.

    Args:
        network: The network.
        variant: The variant that holds it.
        loads: Loads of the vehicle.
        parts: Frozen parts.
    """
    return tuple(
        _site(key, network.nodes[key], variant, loads, parts) for key in sorted(network.nodes, key=natural_key)
    )


def is_device(at: str) -> bool:
    """Tell whether a node is at a device, not at a load: the address of a device has a point."""
    return "." in at


def _site(key: str, node: Node, variant: Variant, loads: Mapping[str, Load], parts: Mapping[str, Part]) -> Site:
    if not is_device(node.at):
        return Site(key, node, None, None, None, loads.get(node.at))
    address = parse_address(node.at)
    module = variant.modules.get(address.module)
    device = None if module is None else module.devices.get(address.device)
    return Site(key, node, address, device, None if device is None else parts.get(device.part), None)
