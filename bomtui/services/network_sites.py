"""Where a new node of a network can be."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from bomtui.engine.networks.ports import OWN_DRIVES, port_sort, ports_for, serves
from bomtui.model.ids import Address, natural_key
from bomtui.model.network import Network
from bomtui.model.proposal import Snapshot
from bomtui.model.variant import Variant


@dataclass(frozen=True, slots=True)
class FreeSite:
    """A device or load that a node can be at.

    Attributes:
        at: Address of the device, or id of the load.
        name: What it is: part, or name of the load.
        remark: What is left there.
    """

    at: str
    name: str
    remark: str


def free_sites(snapshot: Snapshot, variant_id: str, network_id: str) -> tuple[FreeSite, ...]:
    """Return every device with a port left for a network, then every load that answers over one of its kind.

    Args:
        snapshot: Proposal and frozen parts.
        variant_id: The variant.
        network_id: The network.

    Raises:
        KeyError: There is no such variant or network.
    """
    variant = snapshot.proposal.variants[variant_id]
    network = variant.networks[network_id]
    return (*_devices(snapshot, variant, network), *_loads(snapshot, variant, network))


def _devices(snapshot: Snapshot, variant: Variant, network: Network) -> Iterator[FreeSite]:
    taken = Counter((node.at, port_sort(own.kind)) for own in variant.networks.values() for node in own.nodes.values())
    for module_id in sorted(variant.modules, key=natural_key):
        devices = variant.modules[module_id].devices
        for ref in sorted(devices, key=natural_key):
            part, at = snapshot.parts.get(devices[ref].part), str(Address(module_id, ref))
            if part is None or not serves(part, network.kind):
                continue
            ports, used = ports_for(part, network.kind), taken[at, port_sort(network.kind)]
            if ports is None or used < ports:
                remark = "ports unknown" if ports is None else f"{used} of {ports} ports used"
                yield FreeSite(at, devices[ref].part, remark)


def _loads(snapshot: Snapshot, variant: Variant, network: Network) -> Iterator[FreeSite]:
    on_one = {node.at for own in variant.networks.values() for node in own.nodes.values()}
    loads = snapshot.proposal.loads
    for load_id in sorted(loads, key=natural_key):
        if OWN_DRIVES.get(loads[load_id].drive) == network.kind and load_id not in on_one:
            yield FreeSite(load_id, loads[load_id].name, "load with its own transceiver")
