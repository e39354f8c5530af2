"""Devices of a module."""

import msgspec

from bomtui.edit.edit import Edit, RefusedError
from bomtui.edit.node_places import of_place, with_nodes
from bomtui.edit.references import Mentions, followed_device, without_place, without_rail_of_loads
from bomtui.edit.tree import (
    check_new_id,
    counted,
    entry_of,
    listed,
    module_of,
    variant_of,
    with_entry,
    with_key,
    with_module,
    with_variant,
    without,
)
from bomtui.edit.wiring import commander_of, next_reference, supply_of
from bomtui.model.ids import natural_key, parse_address
from bomtui.model.part import DRIVER_KINDS, Part
from bomtui.model.proposal import Snapshot
from bomtui.model.variant import Device, Module, Variant


class AddDevice(Edit, frozen=True):
    """Add a device; it is wired as far as only one answer is possible.

    Attributes:
        variant: The variant.
        module_id: The module.
        part: Catalog key of a frozen part.
        ref: Its reference; empty for the lowest free one.
    """

    variant: str
    module_id: str
    part: str
    ref: str = ""

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"add {self.part} to {self.module_id}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot with the device."""
        module = module_of(snapshot, self.variant, self.module_id)
        part = frozen_part(snapshot, self.part)
        ref = self.ref or next_reference(module, part)
        check_new_id(module.devices, ref, "device")
        device = Device(
            part=self.part,
            supply=supply_of(module, part, {}),
            commanded_by=commander_of(module, part, snapshot.parts),
        )
        changed = msgspec.structs.replace(module, devices=with_entry(module.devices, ref, device))
        return with_module(snapshot, self.variant, self.module_id, changed)


class SwapDevice(Edit, frozen=True):
    """Put another part in the place of a device.

    Loads stay on the channels that the new part has. Supply inputs of the same name keep their rail.

    Attributes:
        variant: The variant.
        module_id: The module.
        ref: Reference of the device.
        part: Catalog key of a frozen part.
        taking_off: Loads that may become unplaced because their channel goes.
    """

    variant: str
    module_id: str
    ref: str
    part: str
    taking_off: tuple[str, ...] = ()

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"swap {self.module_id}.{self.ref} for {self.part}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot with the other part."""
        module = module_of(snapshot, self.variant, self.module_id)
        device = entry_of(module.devices, self.ref, "device", self.module_id)
        part = frozen_part(snapshot, self.part)
        if device.part == self.part:
            return snapshot
        off = self._loads_off(variant_of(snapshot, self.variant), part)
        if not set(off) <= set(self.taking_off):
            raise RefusedError(
                f"{self.part} has {_channels_text(part)}: {listed(off)} of {self.module_id}.{self.ref} would be taken "
                "off",
                tuple(f"variants.{self.variant}.placements.{load_id}" for load_id in off),
                msgspec.structs.replace(self, taking_off=off),
            )
        swapped = msgspec.structs.replace(
            device,
            part=self.part,
            supply=supply_of(module, part, device.supply),
            commanded_by=device.commanded_by or commander_of(module, part, snapshot.parts),
        )
        changed = msgspec.structs.replace(module, devices=with_entry(module.devices, self.ref, swapped))
        snapshot = with_module(snapshot, self.variant, self.module_id, changed)
        if not off:
            return snapshot
        placements = without(snapshot.proposal.variants[self.variant].placements, off)
        return with_variant(snapshot, self.variant, placements=placements)

    def _loads_off(self, variant: Variant, part: Part) -> tuple[str, ...]:
        """Return the loads that are on a channel which the part does not have."""
        channels = part.channels
        if channels is None:
            if part.kind in DRIVER_KINDS:
                # Nobody knows how many it has: nothing is taken off by a guess.
                return ()
            channels = 0
        return tuple(
            load_id
            for load_id in sorted(variant.placements, key=natural_key)
            if any(
                address[:2] == (self.module_id, self.ref) and address.channel > channels
                for address in map(parse_address, variant.placements[load_id].on)
            )
        )


class RenameDevice(Edit, frozen=True):
    """Give a device another reference; its rails, what it commands, placements, stages and acceptances follow."""

    variant: str
    module_id: str
    ref: str
    new_ref: str

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"rename {self.module_id}.{self.ref} to {self.new_ref}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot with the device under its new reference."""
        module = module_of(snapshot, self.variant, self.module_id)
        entry_of(module.devices, self.ref, "device", self.module_id)
        check_new_id(module.devices, self.new_ref, "device", renamed=self.ref)
        if self.new_ref == self.ref:
            return snapshot
        module = Mentions("device", self.ref, self.new_ref).record(module)
        module = msgspec.structs.replace(module, devices=with_key(module.devices, self.ref, self.new_ref))
        variant = variant_of(snapshot, self.variant)
        followed = followed_device(variant, self.module_id, self.ref, self.new_ref)
        moved = of_place(f"{self.module_id}.{self.ref}", f"{self.module_id}.{self.new_ref}")
        # A place that could also be that of a load or pair keeps its spelling: the finding opens again.
        own = self.module_id not in snapshot.proposal.loads and self.module_id not in snapshot.proposal.pairs
        return with_variant(
            snapshot,
            self.variant,
            modules=with_entry(variant.modules, self.module_id, module),
            placements=followed.placements,
            networks=with_nodes(variant, moved, "", []).networks,
            feeds=followed.feeds,
            accepted=followed.accepted if own else variant.accepted,
        )


class RemoveDevice(Edit, frozen=True):
    """Remove a device.

    Attributes:
        variant: The variant.
        module_id: The module.
        ref: Reference of the device.
        take_along: Whether its loads may become unplaced, its rails go, and what it supplies or commands lose it.
    """

    variant: str
    module_id: str
    ref: str
    take_along: bool = False

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"remove {self.module_id}.{self.ref}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot without the device."""
        module = module_of(snapshot, self.variant, self.module_id)
        entry_of(module.devices, self.ref, "device", self.module_id)
        place = f"variants.{self.variant}.modules.{self.module_id}"
        rest = msgspec.structs.replace(module, devices=without(module.devices, (self.ref,)))
        mentions = Mentions("device", self.ref, None)
        rest = mentions.record(rest, place)
        touched = mentions.touched
        variant = variant_of(snapshot, self.variant)
        for rail_id in sorted(module.rails.keys() - rest.rails.keys(), key=natural_key):
            rest = without_rail(rest, rail_id, place, touched)
            variant = without_rail_of_loads(variant, self.module_id, rail_id, f"variants.{self.variant}", touched)
        freed = without_place(variant, self.module_id, self.ref, f"variants.{self.variant}", touched)
        moved = of_place(f"{self.module_id}.{self.ref}", None)
        freed = with_nodes(freed, moved, f"variants.{self.variant}", touched)
        if touched and not self.take_along:
            raise RefusedError(
                f"with {self.module_id}.{self.ref} would go what stands on it: {counted(len(touched), 'place')}",
                tuple(touched),
                msgspec.structs.replace(self, take_along=True),
            )
        return with_variant(
            snapshot,
            self.variant,
            modules=with_entry(freed.modules, self.module_id, rest),
            placements=freed.placements,
            networks=freed.networks,
            feeds=freed.feeds,
            accepted=freed.accepted,
        )


def without_rail(module: Module, rail_id: str, place: str, touched: list[str]) -> Module:
    """Return a module whose devices no longer draw from a rail that goes.

    Args:
        module: The module.
        rail_id: The rail.
        place: Place of the module in the file.
        touched: Takes the places of the supply inputs that lose it.
    """
    mentions = Mentions("rail", rail_id, None)
    rest = mentions.record(module, place)
    touched += mentions.touched
    return rest


def frozen_part(snapshot: Snapshot, key: str) -> Part:
    """Return the frozen data of a part.

    Raises:
        RefusedError: It is not frozen; a proposal is computed with frozen parts only.
    """
    return entry_of(snapshot.parts, key, "part", "the frozen parts")


def _channels_text(part: Part) -> str:
    return counted(part.channels, "channel") if part.channels else "no channel"
