"""What an edit is: a name, what it needs, and one pure function from a snapshot to the next.

Nothing else changes a proposal. There is no inverse: undoing hands back the former snapshot, so none can be wrong.
"""

import re

import msgspec

from bomtui.model.base import Base
from bomtui.model.proposal import Snapshot

TAG_FIELD = "edit"
"""Key under which a record of an edit names its kind."""

_WORD_START = re.compile(r"(?<!^)(?=[A-Z])")


class Edit(Base, frozen=True, tag_field=TAG_FIELD, tag=lambda name: _WORD_START.sub("_", name).lower()):
    """One change of a proposal, as data."""

    @property
    def label(self) -> str:
        """What it does, in the words of a list of steps: `set rated power of L11`."""
        raise NotImplementedError

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the changed snapshot, with all that does not change shared with the former one.

        Raises:
            RefusedError: It cannot be done; the sentence says why.
        """
        raise NotImplementedError


class Refusal(Base, frozen=True):
    """Why an edit was not done; nothing was changed.

    Attributes:
        sentence: One sentence for the person.
        takes: Places that would go along with what is to be removed.
        retry: The edit to do where the person agrees to lose those; None where nothing helps.
    """

    sentence: str
    takes: tuple[str, ...] = ()
    retry: Edit | None = None


class RefusedError(Exception):
    """An edit that cannot be done; `apply` turns it into a refusal."""

    def __init__(self, sentence: str, takes: tuple[str, ...] = (), retry: Edit | None = None) -> None:
        super().__init__(sentence)
        self.refusal = Refusal(sentence=sentence, takes=takes, retry=retry)


def apply(edit: Edit, snapshot: Snapshot) -> Snapshot | Refusal:
    """Do an edit.

    Args:
        edit: What to do.
        snapshot: What to do it to; it stays as it is.

    Returns:
        The next snapshot, its number one higher; the very same snapshot where the edit changes nothing; a refusal where
        it cannot be done.
    """
    try:
        changed = edit.changed(snapshot)
    except RefusedError as error:
        return error.refusal
    if changed.proposal is snapshot.proposal and changed.parts is snapshot.parts:
        return snapshot
    return msgspec.structs.replace(changed, number=snapshot.number + 1)
