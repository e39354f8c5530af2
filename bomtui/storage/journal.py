"""The journal of edits that are not saved yet: every step is on the disk before it is acknowledged.

It lies in the person's own state folder under the path of the proposal, not beside it: a read-only or shared folder can
be worked in, nothing that is no proposal ever lies where proposals are read, copied or committed, and another person's
program never takes up what it did not do. It is a file of JSON lines. The first names the contents of proposal and
frozen parts that the steps belong to; each further one is a step, an undo, or the contents that a save is about to
write. A program that ends with everything saved removes it.

A lock says whether the program that writes it still lives; the system drops it with the process.
"""

import glob
import hashlib
import itertools
import os
import sys
from pathlib import Path

from bomtui.storage.atomic import sync_folder
from bomtui.storage.journal_lines import Content, Left, Line, read_lines, written_head, written_line

SUFFIX = ".journal"
"""Ending of a journal's name."""

_DAMAGED_SUFFIX = ".damaged"
_HASH_DIGITS = 16
_LOCKED_BYTE = 1 << 30
_NAME_LENGTH = 40


class Journal:
    """A journal that this process alone writes.

    Attributes:
        path: Its file.
    """

    def __init__(self, path: Path, descriptor: int) -> None:
        """Take over an open, locked file."""
        self.path = path
        self._descriptor = descriptor
        self._length = os.fstat(descriptor).st_size
        self._torn = False

    @property
    def is_empty(self) -> bool:
        """Whether it holds nothing."""
        return not self._length

    def read(self) -> Left | None:
        """Return what a former program left in it, and go on behind the last whole line.

        Returns:
            What it holds; None where not even its first line was written to its end.

        Raises:
            JournalError: A line before the last one cannot be read.
            OSError: It cannot be read.
        """
        left = read_lines(self.path.read_bytes())
        length = 0 if left is None else left.length
        if length != self._length:
            self._length, self._torn = length, True
        return left

    def append(self, line: Line, base: Content) -> None:
        """Write one line; when this returns, it is on the disk.

        Args:
            line: What to write.
            base: The contents that the journal belongs to, written first where it is empty.

        Raises:
            OSError: It cannot be written; the journal is as it was.
        """
        data = written_line(line)
        self._write(data if self._length else written_head(base) + data)

    def clear(self) -> None:
        """Empty it: everything in it is saved.

        Raises:
            OSError: It cannot be emptied.
        """
        os.ftruncate(self._descriptor, 0)
        self._length = 0
        os.fsync(self._descriptor)

    def remove(self) -> None:
        """Delete it and let it go.

        Raises:
            OSError: It cannot be deleted.
        """
        try:
            self.path.unlink(missing_ok=True)
        finally:
            self.close()

    def set_aside(self) -> Path:
        """Keep it under a name that no program takes up, let it go, and return that name.

        Raises:
            OSError: It cannot be renamed.
        """
        names = (
            self.path.with_name(f"{self.path.name}{_DAMAGED_SUFFIX}{number or ''}") for number in itertools.count()
        )
        aside = next(name for name in names if not name.exists())
        try:
            self.path.rename(aside)
        finally:
            self.close()
        return aside

    def close(self) -> None:
        """Let it go as it is; the next program takes it up."""
        os.close(self._descriptor)

    def _write(self, data: bytes) -> None:
        if self._torn:
            # What was left of a line that failed must not stand before the next one.
            os.ftruncate(self._descriptor, self._length)
        self._torn = True
        os.lseek(self._descriptor, self._length, os.SEEK_SET)
        written = 0
        while written < len(data):
            written += os.write(self._descriptor, data[written:])
        os.fsync(self._descriptor)
        self._length += len(data)
        self._torn = False


def find_journal(folder: Path, proposal: Path) -> Journal | None:
    """Take the journal that a killed program left for a proposal; None where there is none.

    Args:
        folder: Folder of the journals.
        proposal: The proposal file.

    Raises:
        OSError: The folder or a journal cannot be used.
    """
    for path in sorted(folder.glob(f"{glob.escape(proposal_stem(proposal))}-*{SUFFIX}")):
        journal = _taken(path)
        if journal is None:
            continue
        if not journal.is_empty:
            return journal
        journal.remove()
    return None


def new_journal(folder: Path, proposal: Path) -> Journal:
    """Begin a journal beside those that other programs write, or left, for the same proposal.

    Args:
        folder: Folder of the journals; it is made where it does not exist.
        proposal: The proposal file.

    Raises:
        OSError: It cannot be made.
    """
    folder.mkdir(parents=True, exist_ok=True)
    number = 0
    while True:
        number += 1
        journal = _taken(folder / f"{proposal_stem(proposal)}-{number}{SUFFIX}")
        if journal is not None and journal.is_empty:
            sync_folder(folder)
            return journal
        if journal is not None:
            journal.close()


def proposal_stem(proposal: Path) -> str:
    """Name for the journals of a proposal: readable, and one for each path."""
    real = os.path.realpath(proposal)
    digest = hashlib.sha256(os.fsencode(real)).hexdigest()[:_HASH_DIGITS]
    return f"{Path(real).name.removesuffix('.toml')[:_NAME_LENGTH]}-{digest}"


def _taken(path: Path) -> Journal | None:
    """Open and lock a file, made where it does not exist; None where another process has it."""
    while True:
        descriptor = os.open(path, os.O_RDWR | os.O_CREAT, 0o600)
        try:
            if not _lock(descriptor):
                os.close(descriptor)
                return None
            if path.exists() and os.path.samestat(os.fstat(descriptor), path.stat()):
                return Journal(path, descriptor)
        except OSError:
            os.close(descriptor)
            raise
        # Its former owner deleted it between the opening and the locking.
        os.close(descriptor)


def _lock(descriptor: int) -> bool:
    """Lock an open file until it is closed or the process ends; False where another process has it."""
    if sys.platform == "win32":
        import msvcrt

        # A locked byte cannot be read through another handle, so it lies far behind the content.
        os.lseek(descriptor, _LOCKED_BYTE, os.SEEK_SET)
        try:
            msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        return True
    import fcntl

    try:
        fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        return False
    return True
