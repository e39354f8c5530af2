"""Assumptions: what is taken for granted until somebody confirms it."""

import msgspec

from bomtui.edit.edit import Edit, RefusedError
from bomtui.edit.top_tables import with_added, with_removed, with_renamed
from bomtui.model.proposal import Assumption, Snapshot


class AddAssumption(Edit, frozen=True):
    """Write down something that is taken for granted.

    Attributes:
        assumption_id: Its id.
        text: What is assumed.
    """

    assumption_id: str
    text: str

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"add assumption {self.assumption_id}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot with the assumption, open and owned by nobody yet."""
        if not self.text.strip():
            raise RefusedError("an assumption says what is assumed: its text is missing")
        return with_added(snapshot, "assumption", self.assumption_id, Assumption(text=self.text))


class RemoveAssumption(Edit, frozen=True):
    """Remove an assumption.

    Attributes:
        assumption_id: The assumption.
        take_along: Whether findings accepted for it may go with it.
    """

    assumption_id: str
    take_along: bool = False

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"remove assumption {self.assumption_id}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot without the assumption."""
        retry = None if self.take_along else msgspec.structs.replace(self, take_along=True)
        return with_removed(snapshot, "assumption", self.assumption_id, retry)


class RenameAssumption(Edit, frozen=True):
    """Give an assumption another id."""

    assumption_id: str
    new_id: str

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"rename assumption {self.assumption_id} to {self.new_id}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot with the assumption under its new id."""
        return with_renamed(snapshot, "assumption", self.assumption_id, self.new_id)
