"""Modules of a variant."""

import msgspec

from bomtui.edit.edit import Edit, RefusedError
from bomtui.edit.references import followed_module, without_place
from bomtui.edit.tree import (
    check_new_id,
    counted,
    module_of,
    variant_of,
    with_entry,
    with_key,
    with_module,
    with_proposal,
    with_variant,
    without,
)
from bomtui.edit.values import Scope, check_record
from bomtui.model.proposal import Snapshot
from bomtui.model.variant import Module


class AddModule(Edit, frozen=True):
    """Add an empty box in a zone."""

    variant: str
    module_id: str
    zone: str
    name: str = ""

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"add module {self.module_id}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot with the module."""
        check_new_id(variant_of(snapshot, self.variant).modules, self.module_id, "module")
        module = Module(name=self.name, zone=self.zone)
        check_record(module, Scope(snapshot), self.module_id)
        return with_module(snapshot, self.variant, self.module_id, module)


class CopyModule(Edit, frozen=True):
    """Add a module with the devices, rails and items of another one; it serves no load yet.

    Attributes:
        variant: The variant.
        module_id: The module to copy.
        new_id: Id of the copy.
        zone: Where the copy is mounted; empty for the zone of the first.
    """

    variant: str
    module_id: str
    new_id: str
    zone: str = ""

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"copy module {self.module_id} to {self.new_id}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot with the copy."""
        module = module_of(snapshot, self.variant, self.module_id)
        check_new_id(variant_of(snapshot, self.variant).modules, self.new_id, "module")
        # A load's current holds the draw of one device, not that of its copy as well.
        devices = {
            ref: msgspec.structs.replace(device, counted_in_load="") if device.counted_in_load else device
            for ref, device in module.devices.items()
        }
        copy = msgspec.structs.replace(module, devices=devices, zone=self.zone or module.zone)
        check_record(copy, Scope(snapshot, variant=variant_of(snapshot, self.variant)), self.new_id)
        return with_module(snapshot, self.variant, self.new_id, copy)


class MoveModule(Edit, frozen=True):
    """Mount a module in another zone."""

    variant: str
    module_id: str
    zone: str

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"move module {self.module_id} to {self.zone}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot with the module in the zone."""
        module = module_of(snapshot, self.variant, self.module_id)
        if not self.zone:
            raise RefusedError(f"the module {self.module_id} moves to a zone, found none")
        if module.zone == self.zone:
            return snapshot
        moved = msgspec.structs.replace(module, zone=self.zone)
        check_record(moved, Scope(snapshot, variant=variant_of(snapshot, self.variant)), self.module_id)
        return with_module(snapshot, self.variant, self.module_id, moved)


class RenameModule(Edit, frozen=True):
    """Give a module another id; placements, stages and accepted findings follow."""

    variant: str
    module_id: str
    new_id: str

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"rename module {self.module_id} to {self.new_id}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot with the module under its new id."""
        module_of(snapshot, self.variant, self.module_id)
        variant = variant_of(snapshot, self.variant)
        check_new_id(variant.modules, self.new_id, "module", renamed=self.module_id)
        if self.new_id == self.module_id:
            return snapshot
        proposal = snapshot.proposal
        # A place that could also be that of a load or pair keeps its spelling: the finding opens again.
        own = self.module_id not in proposal.loads and self.module_id not in proposal.pairs
        followed = followed_module(variant, self.module_id, self.new_id)
        return with_variant(
            snapshot,
            self.variant,
            modules=with_key(variant.modules, self.module_id, self.new_id),
            placements=followed.placements,
            accepted=followed.accepted if own else variant.accepted,
        )


class RemoveModule(Edit, frozen=True):
    """Remove a module.

    Attributes:
        variant: The variant.
        module_id: The module.
        take_along: Whether the loads on it may become unplaced, and what was accepted for it may go.
    """

    variant: str
    module_id: str
    take_along: bool = False

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"remove module {self.module_id}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot without the module."""
        module_of(snapshot, self.variant, self.module_id)
        touched: list[str] = []
        variant = variant_of(snapshot, self.variant)
        rest = without_place(variant, self.module_id, "", f"variants.{self.variant}", touched)
        if touched and not self.take_along:
            raise RefusedError(
                f"with the module {self.module_id} would go what stands on it: {counted(len(touched), 'place')}",
                tuple(touched),
                msgspec.structs.replace(self, take_along=True),
            )
        rest = msgspec.structs.replace(rest, modules=without(rest.modules, (self.module_id,)))
        return with_proposal(snapshot, variants=with_entry(snapshot.proposal.variants, self.variant, rest))
