"""Writing a file so that it is whole at every moment: the old content or the new, never half of either.

Order of the steps: POSIX.1-2017, rename() and fsync(); a rename becomes durable with the folder's own fsync.
"""

import errno
import hashlib
import os
import secrets
from contextlib import suppress
from pathlib import Path

NO_FILE = ""
"""Hash of a file that does not exist."""


class ChangedOutsideError(Exception):
    """The file is not the one that was read: somebody else has changed, made or deleted it."""

    def __init__(self, path: Path) -> None:
        super().__init__(f"{path}: the file was changed by somebody else since it was read; nothing was written")
        self.path = path


def file_hash(path: Path) -> str:
    """Return the SHA-256 of a file's bytes; `NO_FILE` where there is none.

    Raises:
        OSError: It cannot be read.
    """
    try:
        with path.open("rb") as file:
            return hashlib.file_digest(file, "sha256").hexdigest()
    except FileNotFoundError:
        return NO_FILE


def write(path: Path, data: bytes, *, expected_hash: str | None = None) -> str:
    """Replace a file's content, or make the file.

    A link is followed and kept, and so are the permissions of an existing file. Nothing remains of a write that fails.

    Args:
        path: File to write; its folder exists.
        data: Whole new content.
        expected_hash: What `file_hash` must give for the file as it stands; None where any content may be replaced.

    Returns:
        Hash of the new content, to expect at the next write.

    Raises:
        ChangedOutsideError: The file is not the expected one.
        OSError: The system refuses; the old file stands as it was.
    """
    target = Path(os.path.realpath(path))
    # A rename asks only whether the folder may be written: a file that its owner has locked would be replaced.
    if target.exists() and not os.access(target, os.W_OK):
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES), str(path))
    temporary = target.with_name(f".{target.name}.{secrets.token_hex(8)}.tmp")
    try:
        # The file's own mode is set below; for a new file the person's mask decides.
        with os.fdopen(os.open(temporary, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o666), "wb") as file:
            file.write(data)
            file.flush()
            _keep_mode(file.fileno(), target)
            os.fsync(file.fileno())
        # As late as possible: what happens between this look and the rename goes unseen.
        _expect(path, target, expected_hash)
        temporary.replace(target)
    finally:
        # After the rename there is none; after a failure or an interrupt this is all that was written.
        temporary.unlink(missing_ok=True)
    sync_folder(target.parent)
    return hashlib.sha256(data).hexdigest()


def _expect(path: Path, target: Path, expected_hash: str | None) -> None:
    if expected_hash is not None and file_hash(target) != expected_hash:
        raise ChangedOutsideError(path)


def _keep_mode(descriptor: int, target: Path) -> None:
    if os.name == "posix":
        with suppress(FileNotFoundError):
            os.fchmod(descriptor, target.stat().st_mode & 0o7777)


def sync_folder(folder: Path) -> None:
    """Make a rename durable; only POSIX systems open folders."""
    if os.name != "posix":
        return
    descriptor = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
