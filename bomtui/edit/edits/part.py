"""Frozen parts: the copy of part data that a proposal is computed with."""

import msgspec

from bomtui.edit.edit import Edit, RefusedError
from bomtui.edit.edits.device import frozen_part
from bomtui.edit.tree import check_new_id, with_entry
from bomtui.model.part import Part
from bomtui.model.proposal import Proposal, Snapshot


class FreezePart(Edit, frozen=True):
    """Keep a copy of a part's data with the proposal, so that it can be used."""

    key: str
    part: Part

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"freeze {self.key}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot with the part; the same one where it is frozen with these very data."""
        former = snapshot.parts.get(self.key)
        if former == self.part:
            return snapshot
        if former is not None:
            raise RefusedError(f"{self.key} is frozen with other data; refreshing it takes the new ones")
        check_new_id(snapshot.parts, self.key, "part")
        return msgspec.structs.replace(snapshot, parts=with_entry(snapshot.parts, self.key, self.part))


class RefreshPart(Edit, frozen=True):
    """Replace the data of a frozen part."""

    key: str
    part: Part

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"refresh {self.key}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot with the new data."""
        if frozen_part(snapshot, self.key) == self.part:
            return snapshot
        return msgspec.structs.replace(snapshot, parts=with_entry(snapshot.parts, self.key, self.part))


class DropUnusedParts(Edit, frozen=True):
    """Drop the frozen parts that no variant uses; until then they stay, for undo and for trying again."""

    @property
    def label(self) -> str:
        """What it does, in words."""
        return "drop unused parts"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot with the parts that are used."""
        used = _used(snapshot.proposal)
        parts = {key: part for key, part in snapshot.parts.items() if key in used}
        if len(parts) == len(snapshot.parts):
            return snapshot
        return msgspec.structs.replace(snapshot, parts=parts)


def _used(proposal: Proposal) -> frozenset[str]:
    modules = [module for variant in proposal.variants.values() for module in variant.modules.values()]
    return frozenset(device.part for module in modules for device in module.devices.values()).union(
        *(module.items for module in modules)
    )
