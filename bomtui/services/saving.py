"""The two files of an open proposal: what a save writes, what it would lose, and whether somebody changed them."""

import hashlib
from dataclasses import dataclass, replace
from pathlib import Path

from bomtui.model.plain_text import clean
from bomtui.model.proposal import Snapshot
from bomtui.services.errors import BomtuiError
from bomtui.services.files import FileExistsAlreadyError, check_place
from bomtui.services.open import Opened
from bomtui.services.samples import is_sample
from bomtui.storage.atomic import NO_FILE, ChangedOutsideError, file_hash, write
from bomtui.storage.frozen_parts import parts_path, parts_text
from bomtui.storage.journal_lines import Content
from bomtui.storage.proposal.read import PARTS_SUFFIX
from bomtui.storage.proposal.write import proposal_text

_LISTED_LINES = 5


class ConflictError(BomtuiError):
    """A file is not the one that was opened: somebody else has changed, made or deleted it.

    Attributes:
        path: The file.
    """

    def __init__(self, path: Path) -> None:
        super().__init__(f"{path}: the file was changed by somebody else since it was opened; nothing was written")
        self.path = path


class SampleError(BomtuiError):
    """The proposal is a sample that came with the program, which stays as it is."""

    def __init__(self, path: Path) -> None:
        super().__init__(f"{path}: this sample came with the program and stays as it is; save it as a file of your own")


class LossError(BomtuiError):
    """A save would lose something that the files hold.

    Attributes:
        losses: What, one sentence each.
    """

    def __init__(self, losses: tuple[str, ...]) -> None:
        super().__init__(f"saving would lose something: {'; '.join(losses)}")
        self.losses = losses


@dataclass(frozen=True, slots=True)
class Plan:
    """What a save writes.

    Attributes:
        proposal: New bytes of the proposal file; None where it stays.
        parts: New bytes of the frozen parts; None where they stay.
        content: What the files hold then.
        force: Whether they are overwritten whatever they hold now.
    """

    proposal: bytes | None
    parts: bytes | None
    content: Content
    force: bool

    @property
    def is_empty(self) -> bool:
        """Whether there is nothing to write."""
        return self.proposal is None and self.parts is None


class Files:
    """The files of a proposal.

    Attributes:
        opened: The proposal as the files hold it.
    """

    def __init__(self, opened: Opened) -> None:
        """Begin with files that were just read or written."""
        self.opened = opened
        self._now = opened

    def now(self, snapshot: Snapshot) -> Opened:
        """Return the proposal with what the files do not hold yet."""
        now = self._now
        if now.snapshot is not snapshot:
            self._now = now = replace(self.opened, snapshot=snapshot)
        return now

    def plan(self, saved: Snapshot, current: Snapshot, *, force: bool, losing: bool) -> Plan:
        """Work out what a save writes.

        Args:
            saved: What the files hold.
            current: What they are to hold.
            force: Overwrite files that somebody else has changed.
            losing: Write although something would be lost.

        Raises:
            SampleError: The files came with the program.
            ConflictError: A file was changed by somebody else.
            LossError: Something would be lost.
            BomtuiError: A file cannot be looked at.
        """
        if is_sample(self.opened.path):
            raise SampleError(self.opened.path)
        changed = self._changed_outside()
        if changed and not force:
            raise ConflictError(changed[0])
        losses = losses_of(self.opened, saved, current)
        if losses and not losing:
            raise LossError(losses)
        beside = parts_path(self.opened.path)
        proposal = parts = None
        if current.parts is not saved.parts or beside in changed:
            parts = parts_text(current.parts).encode()
        if current.proposal is not saved.proposal or self.opened.path in changed:
            proposal = proposal_text(current.proposal, self.opened.leading_comment).encode()
        content = Content(
            self.opened.file_hash if proposal is None else _hash_of(proposal),
            self.opened.parts_hash if parts is None else _hash_of(parts),
        )
        return Plan(proposal, parts, content, force)

    def write_parts(self, plan: Plan) -> None:
        """Write the frozen parts of a plan.

        Raises:
            BomtuiError: It cannot be written; the old file stands.
        """
        beside = parts_path(self.opened.path)
        written = _write(beside, plan.parts or b"", None if plan.force else self.opened.parts_hash)
        self._replaced(beside, parts_hash=written)

    def write_proposal(self, plan: Plan) -> None:
        """Write the proposal of a plan.

        Raises:
            BomtuiError: It cannot be written; the old file stands.
        """
        path = self.opened.path
        written = _write(path, plan.proposal or b"", None if plan.force else self.opened.file_hash)
        self._replaced(path, file_hash=written, lost_comments=())

    def _replaced(self, path: Path, **fields: object) -> None:
        """Note that a file was written: nothing is wrong with it any more."""
        problems = tuple(problem for problem in self.opened.problems if problem.file != clean(str(path)))
        self.opened = self._now = replace(self.opened, problems=problems, **fields)  # type: ignore[arg-type]

    def _changed_outside(self) -> list[Path]:
        """Return the files that are not those which were read or written last."""
        known = {self.opened.path: self.opened.file_hash, parts_path(self.opened.path): self.opened.parts_hash}
        try:
            return [path for path, expected in known.items() if file_hash(path) != expected]
        except OSError as error:
            raise _not_written(self.opened.path, error) from error


def save_copy(opened: Opened, path: Path, *, overwrite: bool) -> Files:
    """Write a proposal and its frozen parts under another name.

    Args:
        opened: The proposal as it is now.
        path: The new proposal file, `NAME.toml`.
        overwrite: Whether files of that name may be replaced.

    Returns:
        The new files.

    Raises:
        FileExistsAlreadyError: There is such a file and it may not be replaced.
        BomtuiError: It cannot be written.
    """
    if path.suffix != ".toml" or path.name.endswith(PARTS_SUFFIX) or path.name.startswith("."):
        raise BomtuiError(f"expected the name of a proposal file, NAME.toml, found {clean(path.name)}")
    beside = parts_path(path)
    for file in (path, beside):
        check_place(file)
        if not overwrite and file.exists():
            raise FileExistsAlreadyError(f"{file}: there is such a file already; nothing was written")
    expected = None if overwrite else NO_FILE
    parts_hash = NO_FILE
    if opened.snapshot.parts or beside.exists():
        parts_hash = _write(beside, parts_text(opened.snapshot.parts).encode(), expected)
    text = proposal_text(opened.snapshot.proposal, opened.leading_comment)
    written = _write(path, text.encode(), expected)
    return Files(replace(opened, path=path, problems=(), file_hash=written, parts_hash=parts_hash, lost_comments=()))


def losses_of(opened: Opened, saved: Snapshot, current: Snapshot) -> tuple[str, ...]:
    """Return what the files hold and a save would lose, one sentence each."""
    losses = []
    files = [opened.path] if current.proposal is not saved.proposal else []
    if current.parts is not saved.parts:
        files.append(parts_path(opened.path))
    if opened.path in files and opened.lost_comments:
        count = len(opened.lost_comments)
        lines = ", ".join(map(str, opened.lost_comments[:_LISTED_LINES])) + (", ..." if count > _LISTED_LINES else "")
        losses.append(
            f"{opened.path}: {count} comment{'' if count == 1 else 's'} below the first lines (line {lines}); "
            "only the block at the top is kept"
        )
    for file in files:
        faults = sum(problem.file == clean(str(file)) for problem in opened.problems)
        if faults:
            losses.append(
                f"{file}: {faults} faulty entr{'y' if faults == 1 else 'ies'}; what cannot be read is not saved"
            )
    return tuple(losses)


def _write(path: Path, data: bytes, expected_hash: str | None) -> str:
    try:
        return write(path, data, expected_hash=expected_hash)
    except ChangedOutsideError:
        raise ConflictError(path) from None
    except OSError as error:
        raise _not_written(path, error) from error


def _not_written(path: Path, error: OSError) -> BomtuiError:
    return BomtuiError(
        f"{path}: it cannot be written ({error.strerror or error}); what is unsaved stays in the journal"
    )


def _hash_of(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()
