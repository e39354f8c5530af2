"""The steps of a running program: what was done, undone and can be done again."""

from dataclasses import dataclass

import msgspec

from bomtui.edit.edit import Edit, Refusal, apply
from bomtui.edit.edits.field import SetField
from bomtui.model.proposal import Snapshot

DEPTH = 1000
"""Steps that can be undone; older ones are forgotten. Snapshots share what does not change, so a step is small."""


@dataclass(frozen=True, slots=True)
class Step:
    """One step.

    Attributes:
        edit: What was done.
        before: Snapshot before it.
        after: Snapshot after it.
        replaces: Whether it takes the place of the step before it: the same field, typed again within one go.
    """

    edit: Edit
    before: Snapshot
    after: Snapshot
    replaces: bool = False


class History:
    """A line of snapshots; undoing hands back the very snapshot that was there before.

    Attributes:
        current: The snapshot that holds now.
    """

    def __init__(self, start: Snapshot, depth: int = DEPTH) -> None:
        """Begin with nothing to undo.

        Args:
            start: First snapshot.
            depth: Steps to keep.
        """
        self.current = start
        self._depth = depth
        self._done: list[Step] = []
        self._undone: list[Step] = []
        self._last_number = start.number

    @property
    def done(self) -> tuple[Step, ...]:
        """Steps that can be undone, the oldest first."""
        return tuple(self._done)

    @property
    def last(self) -> Step | None:
        """The step that `undo` takes back; None where there is none."""
        return self._done[-1] if self._done else None

    @property
    def next(self) -> Step | None:
        """The step that `redo` does again; None where there is none."""
        return self._undone[-1] if self._undone else None

    def attempt(self, edit: Edit, *, continues: bool = False) -> Step | Refusal | None:
        """Work out a step without doing it.

        Args:
            edit: What to do.
            continues: Whether it goes on with the step before it; that holds where both set the same field and nothing
                was undone in between, and makes one step of the two.

        Returns:
            The step for `take`; a refusal; None where the edit changes nothing.
        """
        last = self.last
        replaces = continues and last is not None and not self._undone and _is_same_field(last.edit, edit)
        before = last.before if replaces and last is not None else self.current
        after = apply(edit, before)
        if isinstance(after, Refusal):
            return after
        if after is before:
            # What was typed back to its beginning leaves no step.
            return Step(edit, before, before, replaces) if replaces else None
        # No number is given twice, even where an undone snapshot had it: results are told by it.
        return Step(edit, before, msgspec.structs.replace(after, number=self._last_number + 1), replaces)

    def take(self, step: Step) -> int:
        """Do a step that `attempt` has just worked out; what was undone can no longer be done again.

        Returns:
            How many more steps there are: 1, 0 where it replaces one, -1 where it leads back to before that.
        """
        more = 0 if step.after is step.before else 1
        if step.replaces:
            self._done.pop()
            more -= 1
        if step.after is not step.before:
            self._done.append(step)
            self._last_number = step.after.number
        del self._done[: -self._depth]
        self._undone.clear()
        self.current = step.after
        return more

    def undo(self) -> Step | None:
        """Go back to the snapshot before the last step; return that step, or None where there is none."""
        if not self._done:
            return None
        step = self._done.pop()
        self._undone.append(step)
        self.current = step.before
        return step

    def redo(self) -> Step | None:
        """Do the step again that was undone last; return it, or None where there is none."""
        if not self._undone:
            return None
        step = self._undone.pop()
        self._done.append(step)
        self.current = step.after
        return step


def _is_same_field(one: Edit, other: Edit) -> bool:
    return isinstance(one, SetField) and isinstance(other, SetField) and one.place == other.place
