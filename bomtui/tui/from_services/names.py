"""Addresses of places in the sheet, and the places that a finding or a field path is about."""

from collections.abc import Iterator
from dataclasses import dataclass

from bomtui.model.proposal import Proposal, Snapshot
from bomtui.model.rollup import Rollup
from bomtui.model.variant import Variant
from bomtui.tui.from_services.standing import Standing, standing_of

VEHICLE = "whole vehicle"
COMMON = "common cost"
RESERVE = "cost of reserve"
UNPLACED = "no module"
"""Addresses of lines that are no place of the proposal; the blank in them keeps them apart from every id."""

NETWORK, NODE, MESSAGE = "network ", "node ", "message "
"""How the addresses of networks, and of what is in them, begin."""

OF_THE_VEHICLE = frozenset({"vehicle", "modes", "proposal", "settings", "constraints", "cost"})
"""Beginnings of places that belong to the vehicle as a whole."""


@dataclass(frozen=True)
class Names:
    """Where everything of one variant stands in the sheet.

    Attributes:
        snapshot: Proposal and frozen parts.
        variant: The variant.
        standing: Which loads and parts stand on which devices.
    """

    snapshot: Snapshot
    variant: Variant
    standing: Standing

    @property
    def proposal(self) -> Proposal:
        """The proposal."""
        return self.snapshot.proposal

    def devices_of(self, load_id: str) -> tuple[str, ...]:
        """Return the devices that carry a load, channels and power stages, as `MODULE.REF`."""
        return self.standing.devices_of.get(load_id, ())

    def loads_on(self, device: str) -> tuple[str, ...]:
        """Return the loads on a device `MODULE.REF`."""
        return self.standing.loads_on.get(device, ())

    def load(self, load_id: str) -> str:
        """Return the address of a load."""
        return f"load {load_id}" if load_id in self.variant.modules else load_id

    def subsystem(self, subsystem_id: str) -> str:
        """Return the address of a subsystem."""
        is_taken = subsystem_id in self.variant.modules or subsystem_id in self.proposal.loads
        return f"subsystem {subsystem_id}" if is_taken else subsystem_id

    def item(self, module_id: str, part: str) -> str:
        """Return the address of a part that is counted in a module without a reference."""
        return f"{module_id}.item {part}"

    def rail(self, module_id: str, rail_id: str) -> str:
        """Return the address of a voltage inside a module."""
        return f"{module_id}.rail {rail_id}"

    def network(self, network_id: str) -> str:
        """Return the address of a network."""
        return f"{NETWORK}{network_id}"

    def node(self, network_id: str, node_id: str) -> str:
        """Return the address of a node of a network."""
        return f"{NETWORK}{network_id}.{NODE}{node_id}"

    def message(self, network_id: str, message_id: str) -> str:
        """Return the address of a message of a network."""
        return f"{NETWORK}{network_id}.{MESSAGE}{message_id}"

    def places(self, place: str) -> tuple[str, ...]:
        """Return the addresses that the place of a finding, or a field of a file, is about; none without a line.

        Args:
            place: Such as `ZREA.U6.3`, `L11.time_share`, `parts.hs24-1x4.rds_on`, `loads.L11.zone`, the id of a pair.
        """
        return tuple(dict.fromkeys(self._places(place)))

    def _places(self, place: str) -> Iterator[str]:
        first, _, rest = place.partition(".")
        second, _, third = rest.partition(".")
        if first in self.variant.modules:
            is_device = second in self.variant.modules[first].devices
            yield f"{first}.{second}" if is_device else first
        elif first in self.proposal.loads:
            yield self.load(first)
        elif first in self.proposal.subsystems:
            yield self.subsystem(first)
        elif first in OF_THE_VEHICLE:
            yield VEHICLE
        elif first in {"parts", "loads", "subsystems", "zones", "feeds", "networks"}:
            yield from self._in_table(first, second, third)
        elif first == "variants":
            yield from self._in_variant(second, third)
        else:
            yield from (self.load(load) for load in self._both(first, second) if load in self.proposal.loads)

    def _both(self, first: str, second: str) -> tuple[str, ...]:
        """Return the loads of a pair, or of a decomposition; none of anything else."""
        if first in self.proposal.pairs:
            pair = self.proposal.pairs[first]
            return pair.primary, pair.stand_in
        if first == "decompositions" and second in self.proposal.decompositions:
            own = self.proposal.decompositions[second]
            return own.one, own.other
        return ()

    def _in_table(self, table: str, key: str, rest: str) -> Iterator[str]:
        if table == "parts":
            yield from self.standing.devices_with.get(key, ())
            yield from (module_id for module_id, module in self.variant.modules.items() if key in module.items)
        elif table == "subsystems" and key in self.proposal.subsystems:
            yield self.subsystem(key)
        elif table == "loads" and key in self.proposal.loads:
            yield self.load(key)
        elif table in {"zones", "feeds"}:
            yield from self._modules_of(table, key)
        elif table == "networks":
            yield from self._in_network(key, rest)

    def _in_network(self, network_id: str, rest: str) -> Iterator[str]:
        network = self.variant.networks.get(network_id)
        kind, _, inside = rest.partition(".")
        key = inside.partition(".")[0]
        if network is None:
            return
        if kind == "nodes" and key in network.nodes:
            yield self.node(network_id, key)
        elif kind == "messages" and key in network.messages:
            yield self.message(network_id, key)
        else:
            yield self.network(network_id)

    def _modules_of(self, table: str, key: str) -> Iterator[str]:
        """Modules in a zone, or on a feed; a feed of no module belongs to the vehicle."""
        modules = self.variant.modules.items()
        if table == "zones":
            yield from (module_id for module_id, module in modules if module.zone == key)
        else:
            yield from [module_id for module_id, module in modules if key in module.feeds] or [VEHICLE]

    def _in_variant(self, variant_id: str, rest: str) -> Iterator[str]:
        if self.proposal.variants.get(variant_id) is not self.variant:
            return
        table, _, inner = rest.partition(".")
        if table == "placements":
            yield from self._places(inner)
        elif table == "networks":
            yield from self._places(rest)
        elif table == "feeds":
            yield from self._places(f"feeds.{inner.partition('.')[0]}")
        elif table == "modules":
            module_id, _, inside = inner.partition(".")
            kind, _, ref = inside.partition(".")
            yield from self._places(f"{module_id}.{ref.partition('.')[0]}" if kind == "devices" else module_id)


def names_of(snapshot: Snapshot, variant_id: str, rollup: Rollup | None, former: Standing | None = None) -> Names:
    """Look up where everything of a variant stands.

    Args:
        snapshot: Proposal and frozen parts.
        variant_id: Id of the variant.
        rollup: What was computed for it; None where there is no variant.
        former: What was looked up for a former snapshot, kept where it still holds.
    """
    variant = snapshot.proposal.variants[variant_id] if rollup is not None else Variant()
    return Names(snapshot, variant, standing_of(variant, snapshot.proposal.loads, rollup, former))
