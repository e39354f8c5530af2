"""An open proposal in a running program: edits, undo, the journal, saving.

A step is written to the journal before it counts. A save writes the frozen parts, then the proposal, then empties the
journal; after a kill at any moment the next opening has every step that was acknowledged.
"""

from dataclasses import dataclass
from pathlib import Path

import msgspec

from bomtui.edit.edit import Edit, Refusal
from bomtui.edit.edits.state import RestoreState
from bomtui.edit.history import History, Step
from bomtui.model.proposal import Snapshot
from bomtui.services import rollup
from bomtui.services.editing import typed
from bomtui.services.errors import BomtuiError
from bomtui.services.open import Opened, Problem, open_proposal
from bomtui.services.open_here import OpenHere, journal_folder
from bomtui.services.saving import Files, losses_of, save_copy
from bomtui.storage.journal import Journal, find_journal, new_journal
from bomtui.storage.journal_lines import Content, Done, JournalError, Left, Line, Saving, Undone, replay


@dataclass(frozen=True, slots=True)
class Offer:
    """Steps that a killed program left, for contents that the files do not have any more.

    Attributes:
        labels: What was done and not undone, in order.
    """

    labels: tuple[str, ...]


class Session:
    """One proposal while it is worked on.

    Attributes:
        notices: Sentences for the person about what was found at the opening, or could not be kept.
    """

    def __init__(self, opened: Opened, folder: Path) -> None:
        """Begin without anything to undo; `open_session` takes up what a killed program left.

        Args:
            opened: The proposal as it was read.
            folder: Folder of the journals.
        """
        self.notices: list[str] = []
        self._files = Files(opened)
        self._folder = folder
        self._history = History(opened.snapshot)
        self._saved = opened.snapshot
        self._base_parts = opened.snapshot.parts
        self._journal: Journal | None = None
        self._here = OpenHere(folder, self.notices)
        self._offered: tuple[Journal, Left] | None = None
        self._recovered = 0
        # Steps that an undo line of the journal can take back; whatever lies before the last save is not among them.
        self._journalled = 0
        self._computed: dict[str, rollup.Computed] = {}

    @property
    def path(self) -> Path:
        """The proposal file."""
        return self._files.opened.path

    @property
    def snapshot(self) -> Snapshot:
        """Proposal and frozen parts as they are now."""
        return self._history.current

    @property
    def opened(self) -> Opened:
        """The proposal as it is now, for computing and exporting."""
        return self._files.now(self.snapshot)

    @property
    def problems(self) -> tuple[Problem, ...]:
        """Everything that is wrong with the files."""
        return self._files.opened.problems

    @property
    def recovered(self) -> int:
        """Steps that a killed program had not saved and that were done again at the opening."""
        return self._recovered

    @property
    def offer(self) -> Offer | None:
        """Steps that a killed program left for other contents of the files; None where there are none."""
        if self._offered is None:
            return None
        return Offer(tuple(edit.label for edit in self._offered[1].edits))

    @property
    def unsaved(self) -> bool:
        """Whether the files hold something else."""
        return not (self.snapshot.proposal is self._saved.proposal and self.snapshot.parts is self._saved.parts)

    @property
    def labels(self) -> tuple[str, ...]:
        """What can be undone, the oldest first."""
        return tuple(step.edit.label for step in self._history.done)

    @property
    def last_step(self) -> Edit | None:
        """What `undo` takes back; None where there is nothing."""
        return self._history.last.edit if self._history.last else None

    @property
    def next_step(self) -> Edit | None:
        """What `redo` does again; None where there is nothing."""
        return self._history.next.edit if self._history.next else None

    @property
    def losses(self) -> tuple[str, ...]:
        """What the files hold and the next save would lose, one sentence each: other comments, faulty entries."""
        return losses_of(self._files.opened, self._saved, self.snapshot)

    def do(self, edit: Edit, *, continues: bool = False) -> Refusal | None:
        """Do an edit as one step.

        Args:
            edit: What to do.
            continues: Whether it goes on with the step before it: both set the same field, typed within one go.

        Returns:
            A refusal; None where it is done, or changes nothing.

        Raises:
            BomtuiError: The step cannot be kept in the journal; nothing was changed.
        """
        # A step before the last save is not replaced: the journal could not say so.
        step = self._history.attempt(edit, continues=continues and self._journalled > 0)
        if not isinstance(step, Step):
            return step
        self._write(Done(edit, step.replaces))
        self._journalled += self._history.take(step)
        return None

    def set_text(
        self, place: str, text: str, *, default_unit: str | None = None, continues: bool = False
    ) -> Refusal | None:
        """Set a field to what was typed; for the arguments see `editing.typed` and `do`.

        Returns:
            A refusal that says what is expected; None where it is done.

        Raises:
            BomtuiError: The step cannot be kept in the journal; nothing was changed.
        """
        edit = typed(place, text, default_unit)
        return edit if isinstance(edit, Refusal) else self.do(edit, continues=continues)

    def undo(self) -> str:
        """Go back to the snapshot before the last step, also where that was saved.

        Returns:
            What was undone; empty where there is nothing.

        Raises:
            BomtuiError: That cannot be kept in the journal; nothing was changed.
        """
        step = self._history.last
        if step is None:
            return ""
        label = step.edit.label
        if self._journalled:
            self._write(Undone())
            self._journalled -= 1
        else:
            # The journal begins after this step: what it leads back to is written down as a whole.
            before = step.before
            self._write(Done(RestoreState(proposal=before.proposal, parts=before.parts, words=label)))
        self._history.undo()
        return label

    def redo(self) -> str:
        """Do the step again that was undone last.

        Returns:
            What was done; empty where there is nothing.

        Raises:
            BomtuiError: That cannot be kept in the journal; nothing was changed.
        """
        step = self._history.next
        if step is None:
            return ""
        self._write(Done(step.edit))
        self._journalled += 1
        self._history.redo()
        return step.edit.label

    def save(self, *, force: bool = False, losing: bool = False) -> None:
        """Write the files.

        Args:
            force: Overwrite files that somebody else has changed.
            losing: Save although `losses` would be lost.

        Raises:
            SampleError: The files came with the program; nothing was written.
            ConflictError: A file was changed, made or deleted by somebody else; nothing was written.
            LossError: Something would be lost; nothing was written.
            BomtuiError: The system refuses; what is unsaved stays in the journal.
        """
        plan = self._files.plan(self._saved, self.snapshot, force=force, losing=losing)
        if plan.is_empty:
            return
        self._note_saving(plan.content, writes_parts=plan.parts is not None)
        if plan.parts is not None:
            self._files.write_parts(plan)
            self._saved = msgspec.structs.replace(self._saved, parts=self.snapshot.parts)
        if plan.proposal is not None:
            self._files.write_proposal(plan)
        self._now_saved()
        if self._journal is not None:
            self._clear(self._journal)

    def save_as(self, path: Path, *, overwrite: bool = False) -> None:
        """Write the proposal and its frozen parts under another name, and go on there; the former files stay.

        Args:
            path: The new proposal file, `NAME.toml`.
            overwrite: Whether files of that name may be replaced.

        Raises:
            FileExistsAlreadyError: There is such a file and it may not be replaced.
            BomtuiError: It cannot be written; the session goes on with the former file.
        """
        self._files = save_copy(self.opened, path, overwrite=overwrite)
        self._now_saved()
        self._here.arrive(path)
        if self._journal is not None:
            self._forget(self._journal)

    def take_offer(self) -> tuple[str, ...]:
        """Do the offered steps on what the files hold now, each as a step of its own.

        Returns:
            A sentence for each that cannot be done.

        Raises:
            BomtuiError: A step cannot be kept in the journal; the offer stays.
        """
        if self._offered is None:
            return ()
        journal, left = self._offered
        refused = []
        for edit in left.edits:
            refusal = self.do(edit)
            if refusal is not None:
                refused.append(f"{edit.label}: {refusal.sentence}")
        self._offered = None
        self._remove(journal)
        return tuple(refused)

    def drop_offer(self) -> None:
        """Give up the offered steps for good."""
        if self._offered is not None:
            journal, _ = self._offered
            self._offered = None
            self._remove(journal)

    def close(self) -> None:
        """End the session; what is unsaved stays in the journal, and the next opening takes it up."""
        journal, self._journal = self._journal, None
        if journal is not None and self.unsaved:
            journal.close()
        elif journal is not None:
            self._remove(journal)
        if self._offered is not None:
            self._offered[0].close()
            self._offered = None
        self._here.leave()

    def discard(self) -> None:
        """End the session and give up what is unsaved."""
        journal, self._journal = self._journal, None
        if journal is not None:
            self._remove(journal)
        self.close()

    def computed(self, variant: str | None = None) -> rollup.Computed:
        """Compute a variant as it is now, reusing what did not change since it was last computed.

        Args:
            variant: Id of the variant; None for the one that the proposal shows first.

        Raises:
            UnknownNameError: There is no such variant.
            BomtuiError: There is none at all.
        """
        # Taken once: an edit may come in while a worker computes.
        opened = self.opened
        chosen = rollup.chosen_variant(opened.snapshot.proposal, variant)
        computed = rollup.compute(opened, chosen, self._computed.get(chosen))
        self._computed[chosen] = computed
        return computed

    def recover(self) -> None:
        """Say that the proposal is open; do again what a killed program left, or offer it where files have changed."""
        self._here.arrive(self.path)
        try:
            while self._offered is None and self._journal is None:
                journal = find_journal(self._folder, self.path)
                if journal is None:
                    return
                self._take_up(journal)
        except OSError as error:
            self.notices.append(f"{self._folder}: steps that were not saved cannot be looked for ({error.strerror})")

    def _take_up(self, journal: Journal) -> None:
        opened = self._files.opened
        try:
            left = journal.read()
            pending = None if left is None else left.pending(Content(opened.file_hash, opened.parts_hash))
            history = None if pending is None else replay(pending, opened.snapshot)
        except JournalError as error:
            aside = journal.set_aside()
            self.notices.append(f"steps that were not saved cannot be done again and are kept in {aside}: {error}")
            return
        if left is None or (pending is not None and not pending.lines) or (pending is None and not left.edits):
            journal.remove()
        elif pending is None or history is None:
            self._offered = (journal, left)
        else:
            self._journal = journal
            self._history = history
            if pending.base_parts is not None:
                self._base_parts = dict(pending.base_parts)
            self._recovered = self._journalled = len(history.done)

    def _write(self, line: Line) -> None:
        """Write one line of the journal.

        Raises:
            BomtuiError: It cannot be written.
        """
        try:
            if self._journal is None:
                self._journal = new_journal(self._folder, self.path)
            opened = self._files.opened
            self._journal.append(line, Content(opened.file_hash, opened.parts_hash))
        except OSError as error:
            raise BomtuiError(
                f"{self._folder}: the step cannot be kept ({error.strerror or error}); nothing was changed"
            ) from error

    def _note_saving(self, content: Content, *, writes_parts: bool) -> None:
        """Say in the journal what the files will hold; undo lines no longer reach behind this."""
        try:
            self._write(Saving(content, self._base_parts if writes_parts else None))
        except BomtuiError:
            # The save itself is what keeps the work now; a kill within it would only mean that the steps are offered.
            self.notices.append(f"{self._folder}: the journal could not be written while saving")
        self._journalled = 0

    def _now_saved(self) -> None:
        self._saved = self.snapshot
        self._base_parts = self.snapshot.parts
        self._journalled = 0

    def _clear(self, journal: Journal) -> None:
        try:
            journal.clear()
        except OSError:
            # A journal of its own for what comes: the old one says that all of it is saved.
            self._forget(journal)

    def _forget(self, journal: Journal) -> None:
        self._journal = None
        self._remove(journal)

    def _remove(self, journal: Journal) -> None:
        try:
            journal.remove()
        except OSError as error:
            self.notices.append(f"{journal.path}: it is not needed any more and cannot be deleted ({error.strerror})")


def open_session(path: Path, folder: Path | None = None) -> Session:
    """Open a proposal to work on it, with the steps that a killed program had not saved.

    Args:
        path: A proposal file, or a folder that holds one.
        folder: Folder of the journals; None for the person's own.

    Raises:
        BomtuiError: Nothing of the proposal can be read.
    """
    session = Session(open_proposal(path), journal_folder() if folder is None else folder)
    session.recover()
    return session
