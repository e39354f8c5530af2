"""A whole former state."""

import msgspec

from bomtui.edit.edit import Edit
from bomtui.model.part import Part
from bomtui.model.proposal import Proposal, Snapshot


class RestoreState(Edit, frozen=True):
    """Put back a state that came before the edits on record: what undoing past the last save leads to.

    Attributes:
        proposal: The proposal then.
        parts: Its frozen parts then.
        words: What was undone, in the words of a list of steps.
    """

    proposal: Proposal
    parts: dict[str, Part]
    words: str

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"undo {self.words}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return a snapshot of that state."""
        return msgspec.structs.replace(snapshot, proposal=self.proposal, parts=self.parts)
