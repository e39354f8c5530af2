"""Write what a person asked for to where the person asked for it."""

from pathlib import Path

from bomtui.services.errors import BomtuiError
from bomtui.storage.atomic import write


class FileExistsAlreadyError(BomtuiError):
    """There is a file of that name, and overwriting was not asked for."""


def write_output(path: Path, data: bytes, *, overwrite: bool = True) -> None:
    """Write a file, whole or not at all.

    Args:
        path: Where to; its folder exists.
        data: Content.
        overwrite: Whether a file of that name may be replaced.

    Raises:
        FileExistsAlreadyError: There is such a file and it may not be replaced.
        BomtuiError: It cannot be written; the sentence says why.
    """
    check_place(path)
    try:
        if not overwrite and path.exists():
            raise FileExistsAlreadyError(f"{path}: there is such a file already; nothing was written")
        write(path, data)
    except OSError as error:
        raise BomtuiError(f"{path}: it cannot be written ({error.strerror or error}); nothing was written") from error


def check_place(path: Path) -> None:
    """Tell early whether a file can be written there at all.

    Raises:
        BomtuiError: It is a folder, a device or pipe, or its folder does not exist.
    """
    try:
        if path.is_dir():
            raise BomtuiError(f"{path}: expected the name of a file, found a folder; nothing was written")
        if not path.parent.is_dir():
            raise BomtuiError(f"{path}: there is no folder {path.parent}; nothing was written")
        if path.exists() and not path.is_file():
            raise BomtuiError(f"{path}: expected a plain file, found a device or pipe; nothing was written")
    except OSError as error:
        raise BomtuiError(f"{path}: it cannot be written ({error.strerror or error}); nothing was written") from error
    except ValueError as error:
        raise BomtuiError(f"{path}: expected a file name, found one with a NUL character") from error
