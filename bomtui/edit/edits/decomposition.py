"""Loads that are redundant for one requirement."""

import msgspec

from bomtui.edit.edit import Edit, RefusedError
from bomtui.edit.top_tables import with_added, with_removed, with_renamed
from bomtui.model.proposal import Snapshot
from bomtui.model.vehicle import Decomposition


class AddDecomposition(Edit, frozen=True):
    """Name two loads that are redundant for one requirement."""

    decomposition_id: str
    decomposition: Decomposition

    @property
    def label(self) -> str:
        """What it does, in words."""
        own = self.decomposition
        return f"add decomposition {self.decomposition_id} of {own.one} and {own.other}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot with the decomposition."""
        if self.decomposition.one == self.decomposition.other:
            raise RefusedError(f"the load {self.decomposition.one} cannot be redundant to itself")
        return with_added(snapshot, "decomposition", self.decomposition_id, self.decomposition)


class RemoveDecomposition(Edit, frozen=True):
    """Remove a decomposition: both loads are built to the level that they ask.

    Attributes:
        decomposition_id: The decomposition.
        take_along: Whether findings accepted for it may go with it.
    """

    decomposition_id: str
    take_along: bool = False

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"remove decomposition {self.decomposition_id}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot without the decomposition."""
        retry = None if self.take_along else msgspec.structs.replace(self, take_along=True)
        return with_removed(snapshot, "decomposition", self.decomposition_id, retry)


class RenameDecomposition(Edit, frozen=True):
    """Give a decomposition another id; findings accepted for it follow."""

    decomposition_id: str
    new_id: str

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"rename decomposition {self.decomposition_id} to {self.new_id}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot with the decomposition under its new id."""
        return with_renamed(snapshot, "decomposition", self.decomposition_id, self.new_id)
