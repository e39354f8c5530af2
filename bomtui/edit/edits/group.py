"""Several edits as one step."""

from bomtui.edit.edit import Edit, RefusedError
from bomtui.model.proposal import Snapshot


class Group(Edit, frozen=True):
    """Do several edits, all or none.

    Attributes:
        edits: What to do, in this order.
        words: What it does, in the words of a list of steps.
    """

    edits: tuple[Edit, ...]
    words: str

    @property
    def label(self) -> str:
        """What it does, in words."""
        return self.words

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot after all of them."""
        for edit in self.edits:
            try:
                snapshot = edit.changed(snapshot)
            except RefusedError as error:
                # Where one of them would take something along, it is the whole group that has to be asked again.
                again = None if error.refusal.retry is None else self._with(edit, error.refusal.retry)
                raise RefusedError(error.refusal.sentence, error.refusal.takes, again) from None
        return snapshot

    def _with(self, edit: Edit, other: Edit) -> "Group":
        return Group(edits=tuple(other if one is edit else one for one in self.edits), words=self.words)
