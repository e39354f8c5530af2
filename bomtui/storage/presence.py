"""Which proposals are open in running programs of the person: a lock that the system drops with its process.

Beside the journals lies, for each open proposal, an empty file. Every program that has the proposal open shares a lock
on it; whoever could lock it alone is the only one. A killed program leaves the file but no lock, so that the file says
nothing by itself. Programs on other machines, or of other persons, are not seen.
"""

import os
import sys
from pathlib import Path

from bomtui.storage.journal import proposal_stem

SUFFIX = ".open"
"""Ending of such a file's name."""

_MOST_PROGRAMS = 16
"""Programs that are told apart where the system has no shared locks."""


class Presence:
    """An open proposal of this program.

    Attributes:
        is_alone: Whether no other program of the person had it open when this one came.
    """

    def __init__(self, path: Path, descriptor: int, *, is_alone: bool) -> None:
        """Take over an open file on which this program has its lock."""
        self.is_alone = is_alone
        self._path = path
        self._descriptor = descriptor

    def leave(self) -> None:
        """Let it go; who leaves last takes the file away.

        Raises:
            OSError: The file cannot be deleted; the lock is gone all the same.
        """
        try:
            # Nobody can have come in between unseen: who comes later finds another file, or none, and begins again.
            if _is_alone_in(self._descriptor):
                self._path.unlink(missing_ok=True)
        finally:
            os.close(self._descriptor)


def arrive(folder: Path, proposal: Path) -> Presence:
    """Say that this program has a proposal open, and find out whether another one has.

    Args:
        folder: Folder of the journals; it is made where it does not exist.
        proposal: The proposal file.

    Raises:
        OSError: The folder cannot be used, or its file system has no locks.
    """
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / f"{proposal_stem(proposal)}{SUFFIX}"
    while True:
        descriptor = os.open(path, os.O_RDWR | os.O_CREAT, 0o600)
        try:
            is_alone = _share(descriptor)
            if _is_at(path, descriptor):
                return Presence(path, descriptor, is_alone=is_alone)
        except OSError:
            os.close(descriptor)
            raise
        # The last one to leave has deleted it between the opening and the locking.
        os.close(descriptor)


def _is_at(path: Path, descriptor: int) -> bool:
    try:
        return os.path.samestat(os.fstat(descriptor), path.stat())
    except FileNotFoundError:
        return False


if sys.platform == "win32":
    import msvcrt

    def _locked(descriptor: int, byte: int) -> bool:
        os.lseek(descriptor, byte, os.SEEK_SET)
        try:
            msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        return True

    def _share(descriptor: int) -> bool:
        """Lock a byte of one's own; tell whether every other one was free."""
        own: int | None = None
        is_alone = True
        for byte in range(_MOST_PROGRAMS):
            if not _locked(descriptor, byte):
                is_alone = False
            elif own is None:
                own = byte
            else:
                os.lseek(descriptor, byte, os.SEEK_SET)
                msvcrt.locking(descriptor, msvcrt.LK_UNLCK, 1)
        return is_alone

    def _is_alone_in(descriptor: int) -> bool:
        # A file that others have open cannot be deleted there, and one that nobody has open does no harm.
        del descriptor
        return False

else:
    import fcntl

    def _share(descriptor: int) -> bool:
        """Lock a file together with others; tell whether there are none."""
        is_alone = _is_alone_in(descriptor)
        # Waits only while somebody looks whether he is alone, which is over at once.
        fcntl.flock(descriptor, fcntl.LOCK_SH)
        return is_alone

    def _is_alone_in(descriptor: int) -> bool:
        try:
            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        return True
