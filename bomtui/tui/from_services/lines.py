"""What a line of the sheet is, so that a key knows what it can do there."""

from dataclasses import dataclass
from typing import Literal

from bomtui.model.ids import natural_key, parse_address
from bomtui.model.proposal import Snapshot
from bomtui.model.variant import Module, Variant
from bomtui.tui.from_services.names import COMMON, MESSAGE, NETWORK, NODE, RESERVE, UNPLACED, VEHICLE

LineKind = Literal[
    "vehicle", "module", "device", "rail", "item", "load", "subsystem", "unplaced", "network", "node", "message"
]
_LOAD, _SUBSYSTEM, _ITEM, _RAIL = "load ", "subsystem ", "item ", "rail "


@dataclass(frozen=True, slots=True)
class Line:
    """A line of the sheet.

    Attributes:
        kind: What it is; what is common and what is reserve belong to the vehicle.
        variant: Id of the variant that is shown; empty where there is none.
        module: Id of the module, of a device, rail or item that of the module around it.
        ref: Reference of the device.
        rail: Id of the rail.
        network: Id of the network, of a node or message that of the network around it.
        node: Id of the node.
        message: Id of the message.
        part: Catalog key of the device or item.
        load: Id of the load.
        subsystem: Id of the subsystem, of a load that of its owner.
    """

    kind: LineKind
    variant: str = ""
    module: str = ""
    ref: str = ""
    part: str = ""
    load: str = ""
    subsystem: str = ""
    rail: str = ""
    network: str = ""
    node: str = ""
    message: str = ""

    @property
    def words(self) -> str:
        """What it is called in a sentence."""
        return {
            "vehicle": "the whole vehicle",
            "module": f"module {self.module}",
            "device": f"{self.module}.{self.ref}",
            "rail": f"rail {self.rail} of {self.module}",
            "item": f"item {self.part} of {self.module}",
            "load": f"load {self.load}",
            "subsystem": f"subsystem {self.subsystem}",
            "unplaced": "the loads that no module serves",
            "network": f"network {self.network}",
            "node": f"node {self.node} of network {self.network}",
            "message": f"message {self.message} of network {self.network}",
        }[self.kind]


def line_of(snapshot: Snapshot, variant_id: str, address: str | None) -> Line:
    """Return what the line with an address is; the vehicle where there is none, or it is gone.

    Args:
        snapshot: The newest snapshot, which may have moved on since the line was drawn.
        variant_id: The variant that is shown.
        address: Address of the line.
    """
    proposal = snapshot.proposal
    variant = proposal.variants.get(variant_id)
    known = "" if variant is None else variant_id
    if address == UNPLACED:
        return Line("unplaced", known)
    if address is None or address in {VEHICLE, COMMON, RESERVE}:
        return Line("vehicle", known)
    if variant is not None:
        inside = _in_network(variant, known, address) or _in_module(variant, known, address)
        if inside is not None:
            return inside
    load = address.removeprefix(_LOAD)
    if load in proposal.loads:
        return Line("load", known, load=load, subsystem=proposal.loads[load].subsystem)
    subsystem = address.removeprefix(_SUBSYSTEM)
    if subsystem in proposal.subsystems:
        return Line("subsystem", known, subsystem=subsystem)
    return Line("vehicle", known)


def _in_network(variant: Variant, known: str, address: str) -> Line | None:
    network_id, _, rest = address.removeprefix(NETWORK).partition(".")
    network = variant.networks.get(network_id)
    if not address.startswith(NETWORK) or network is None:
        return None
    if rest.removeprefix(NODE) in network.nodes and rest.startswith(NODE):
        return Line("node", known, network=network_id, node=rest.removeprefix(NODE))
    if rest.removeprefix(MESSAGE) in network.messages and rest.startswith(MESSAGE):
        return Line("message", known, network=network_id, message=rest.removeprefix(MESSAGE))
    return Line("network", known, network=network_id)


def _in_module(variant: Variant, known: str, address: str) -> Line | None:
    module_id, _, rest = address.partition(".")
    module: Module | None = variant.modules.get(module_id)
    if module is None:
        return None
    if not rest:
        return Line("module", known, module_id)
    if rest.startswith(_ITEM):
        part = rest.removeprefix(_ITEM)
        return Line("item", known, module_id, part=part) if part in module.items else Line("module", known, module_id)
    if rest.startswith(_RAIL):
        rail = rest.removeprefix(_RAIL)
        return Line("rail", known, module_id, rail=rail) if rail in module.rails else Line("module", known, module_id)
    device = module.devices.get(rest)
    return Line("module", known, module_id) if device is None else Line("device", known, module_id, rest, device.part)


def loads_in(snapshot: Snapshot, line: Line) -> tuple[str, ...]:
    """Return the placed loads in a line, in natural order: on a device, in a module, of a subsystem, or the load."""
    variant = snapshot.proposal.variants.get(line.variant)
    if variant is None:
        return ()
    return tuple(
        load_id for load_id in sorted(variant.placements, key=natural_key) if _is_in(snapshot, variant, line, load_id)
    )


def _is_in(snapshot: Snapshot, variant: Variant, line: Line, load_id: str) -> bool:
    if line.kind == "load":
        return load_id == line.load
    if line.kind == "subsystem":
        load = snapshot.proposal.loads.get(load_id)
        return load is not None and load.subsystem == line.subsystem
    if line.kind not in {"module", "device"}:
        return False
    placement = variant.placements[load_id]
    served = [parse_address(text) for text in (*placement.on, *placement.stage)]
    return any(own.module == line.module and line.ref in {"", own.device} for own in served)
