"""Habits of drive codes that a proposal has of its own."""

import msgspec

from bomtui.edit.edit import Edit
from bomtui.edit.tree import entry_of, with_proposal, without
from bomtui.model.proposal import Snapshot


class DropHabit(Edit, frozen=True):
    """Count a drive code as the trade does again, not by the proposal's own habit."""

    drive: str

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"drop the proposal's own habit of {self.drive}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot without the habit."""
        settings = snapshot.proposal.settings
        entry_of(settings.drives, self.drive, "own habit of the drive code")
        drives = without(settings.drives, (self.drive,))
        return with_proposal(snapshot, settings=msgspec.structs.replace(settings, drives=drives))
