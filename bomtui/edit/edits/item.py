"""Items and rails of a module."""

import msgspec

from bomtui.edit.edit import Edit, RefusedError
from bomtui.edit.edits.device import frozen_part, without_rail
from bomtui.edit.references import Mentions, followed_rail_of_loads, without_rail_of_loads
from bomtui.edit.tree import (
    check_new_id,
    counted,
    entry_of,
    module_of,
    variant_of,
    with_entry,
    with_key,
    with_module,
    with_variant,
    without,
)
from bomtui.edit.values import Scope, check_record
from bomtui.model.proposal import Snapshot
from bomtui.model.variant import BATTERY, Amount, Item, Rail


class AddItem(Edit, frozen=True):
    """Count a part in a module without a reference."""

    variant: str
    module_id: str
    part: str
    quantity: Amount

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"add item {self.part} to {self.module_id}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot with the item."""
        module = module_of(snapshot, self.variant, self.module_id)
        frozen_part(snapshot, self.part)
        check_new_id(module.items, self.part, "item")
        items = with_entry(module.items, self.part, Item(quantity=self.quantity))
        return with_module(snapshot, self.variant, self.module_id, msgspec.structs.replace(module, items=items))


class SetQuantity(Edit, frozen=True):
    """Count more or less of an item."""

    variant: str
    module_id: str
    part: str
    quantity: Amount

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"set quantity of {self.part} in {self.module_id}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot with the quantity."""
        module = module_of(snapshot, self.variant, self.module_id)
        item = entry_of(module.items, self.part, "item", self.module_id)
        if repr(item.quantity) == repr(self.quantity):
            return snapshot
        items = with_entry(module.items, self.part, msgspec.structs.replace(item, quantity=self.quantity))
        return with_module(snapshot, self.variant, self.module_id, msgspec.structs.replace(module, items=items))


class RemoveItem(Edit, frozen=True):
    """Count a part no longer."""

    variant: str
    module_id: str
    part: str

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"remove item {self.part} from {self.module_id}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot without the item."""
        module = module_of(snapshot, self.variant, self.module_id)
        entry_of(module.items, self.part, "item", self.module_id)
        items = without(module.items, (self.part,))
        return with_module(snapshot, self.variant, self.module_id, msgspec.structs.replace(module, items=items))


class AddRail(Edit, frozen=True):
    """Add a voltage that a device of the module makes."""

    variant: str
    module_id: str
    rail_id: str
    rail: Rail

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"add rail {self.rail_id} to {self.module_id}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot with the rail."""
        module = module_of(snapshot, self.variant, self.module_id)
        check_new_id((*module.rails, BATTERY), self.rail_id, "rail")
        check_record(self.rail, Scope(snapshot, module), self.rail_id)
        rails = with_entry(module.rails, self.rail_id, self.rail)
        return with_module(snapshot, self.variant, self.module_id, msgspec.structs.replace(module, rails=rails))


class RemoveRail(Edit, frozen=True):
    """Remove a rail.

    Attributes:
        variant: The variant.
        module_id: The module.
        rail_id: The rail.
        take_along: Whether the devices and loads that draw from it may be left without.
    """

    variant: str
    module_id: str
    rail_id: str
    take_along: bool = False

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"remove rail {self.rail_id} from {self.module_id}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot without the rail."""
        module = module_of(snapshot, self.variant, self.module_id)
        entry_of(module.rails, self.rail_id, "rail", self.module_id)
        touched: list[str] = []
        rest = without_rail(module, self.rail_id, f"variants.{self.variant}.modules.{self.module_id}", touched)
        variant = without_rail_of_loads(
            variant_of(snapshot, self.variant), self.module_id, self.rail_id, f"variants.{self.variant}", touched
        )
        if touched and not self.take_along:
            raise RefusedError(
                f"{counted(len(touched), 'supply input or load', 'supply inputs or loads')} of {self.module_id} would "
                f"be left without the rail {self.rail_id}",
                tuple(touched),
                msgspec.structs.replace(self, take_along=True),
            )
        rest = msgspec.structs.replace(rest, rails=without(rest.rails, (self.rail_id,)))
        return with_variant(
            snapshot,
            self.variant,
            modules=with_entry(variant.modules, self.module_id, rest),
            placements=variant.placements,
        )


class RenameRail(Edit, frozen=True):
    """Give a rail another id; the devices and loads that draw from it follow."""

    variant: str
    module_id: str
    rail_id: str
    new_id: str

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"rename rail {self.rail_id} of {self.module_id} to {self.new_id}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot with the rail under its new id."""
        module = module_of(snapshot, self.variant, self.module_id)
        entry_of(module.rails, self.rail_id, "rail", self.module_id)
        check_new_id((*module.rails, BATTERY), self.new_id, "rail", renamed=self.rail_id)
        if self.new_id == self.rail_id:
            return snapshot
        module = Mentions("rail", self.rail_id, self.new_id).record(module)
        module = msgspec.structs.replace(module, rails=with_key(module.rails, self.rail_id, self.new_id))
        variant = followed_rail_of_loads(variant_of(snapshot, self.variant), self.module_id, self.rail_id, self.new_id)
        return with_variant(
            snapshot,
            self.variant,
            modules=with_entry(variant.modules, self.module_id, module),
            placements=variant.placements,
        )
