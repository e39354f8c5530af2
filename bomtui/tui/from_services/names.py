"""Addresses of places in the sheet, and the places that a finding or a field path is about."""

from collections.abc import Iterator
from dataclasses import dataclass

from bomtui.model.ids import Address, parse_address
from bomtui.model.proposal import Proposal, Snapshot
from bomtui.model.rollup import Rollup
from bomtui.model.variant import Variant

VEHICLE = "whole vehicle"
COMMON = "common cost"
RESERVE = "cost of reserve"
UNPLACED = "no module"
"""Addresses of lines that are no place of the proposal; the blank in them keeps them apart from every id."""

OF_THE_VEHICLE = frozenset({"vehicle", "modes", "proposal", "settings", "constraints"})
"""Beginnings of places that belong to the vehicle as a whole."""


@dataclass(frozen=True)
class Names:
    """Where everything of one variant stands in the sheet.

    Attributes:
        snapshot: Proposal and frozen parts.
        variant: The variant.
        module_of: Module that serves each placed load.
        devices_of: Devices that carry each load, channels and power stages, as `MODULE.REF`.
        devices_with: Devices per part.
    """

    snapshot: Snapshot
    variant: Variant
    module_of: dict[str, str]
    devices_of: dict[str, tuple[str, ...]]
    devices_with: dict[str, tuple[str, ...]]

    @property
    def proposal(self) -> Proposal:
        """The proposal."""
        return self.snapshot.proposal

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
        elif first == "parts":
            yield from self.devices_with.get(second, ())
        elif first == "loads" and second in self.proposal.loads:
            yield self.load(second)
        elif first == "zones":
            yield from (key for key, module in self.variant.modules.items() if module.zone == second)
        elif first in OF_THE_VEHICLE:
            yield VEHICLE
        elif first == "variants":
            yield from self._in_variant(second, third)
        elif first in self.proposal.pairs:
            pair = self.proposal.pairs[first]
            yield from (self.load(load) for load in (pair.primary, pair.stand_in) if load in self.proposal.loads)

    def _in_variant(self, variant_id: str, rest: str) -> Iterator[str]:
        if self.proposal.variants.get(variant_id) is not self.variant:
            return
        table, _, inner = rest.partition(".")
        if table == "placements":
            yield from self._places(inner)
        elif table == "modules":
            module_id, _, inside = inner.partition(".")
            kind, _, ref = inside.partition(".")
            yield from self._places(f"{module_id}.{ref.partition('.')[0]}" if kind == "devices" else module_id)


def names_of(snapshot: Snapshot, variant_id: str, rollup: Rollup | None) -> Names:
    """Look up where everything of a variant stands.

    Args:
        snapshot: Proposal and frozen parts.
        variant_id: Id of the variant.
        rollup: What was computed for it; None where there is no variant.
    """
    variant = snapshot.proposal.variants[variant_id] if rollup is not None else Variant()
    module_of = {} if rollup is None else {load: key for key, own in rollup.modules.items() for load in own.loads}
    devices_with: dict[str, list[str]] = {}
    for module_id, module in variant.modules.items():
        for ref, device in module.devices.items():
            devices_with.setdefault(device.part, []).append(f"{module_id}.{ref}")
    return Names(
        snapshot=snapshot,
        variant=variant,
        module_of=module_of,
        devices_of={load_id: _devices(variant, load_id) for load_id in module_of},
        devices_with={part: tuple(devices) for part, devices in devices_with.items()},
    )


def _devices(variant: Variant, load_id: str) -> tuple[str, ...]:
    placement = variant.placements[load_id]
    addresses = [parse_address(text) for text in (*placement.on, *placement.stage)]
    known = [
        str(Address(address.module, address.device))
        for address in addresses
        if address.module in variant.modules and address.device in variant.modules[address.module].devices
    ]
    return tuple(dict.fromkeys(known))
