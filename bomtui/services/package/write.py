"""Write a package into a folder: all of it or nothing, and nothing of anybody else is taken away."""

import hashlib
from pathlib import Path

import msgspec

from bomtui.export.package.manifest import FileRecord
from bomtui.services.errors import BomtuiError
from bomtui.services.files import FileExistsAlreadyError
from bomtui.services.package.naming import MANIFEST
from bomtui.services.package.package import Package
from bomtui.storage.folder import ForeignFileError, foreign_files, write_folder


class _Listed(msgspec.Struct):
    """What is read of the list of files of a former package."""

    files: tuple[FileRecord, ...]


def check_folder(folder: Path) -> None:
    """Tell early whether a package can be written there at all.

    Raises:
        BomtuiError: It is no folder, or the folder above it does not exist.
    """
    try:
        if folder.exists() and not folder.is_dir():
            raise BomtuiError(f"{folder}: expected the name of a folder, found a file; nothing was written")
        if not folder.absolute().parent.is_dir():
            raise BomtuiError(f"{folder}: there is no folder {folder.parent}; nothing was written")
    except OSError as error:
        raise BomtuiError(f"{folder}: it cannot be written ({error.strerror or error}); nothing was written") from error
    except ValueError as error:
        raise BomtuiError(f"{folder}: expected the name of a folder, found one with a NUL character") from error


def write_package(package: Package, folder: Path, *, overwrite: bool = False) -> None:
    """Write a package.

    Args:
        package: The package.
        folder: Where to; it is made, or empty, or holds a former package and nothing else.
        overwrite: Whether a former package may be replaced: only where no file of it was changed since.

    Raises:
        FileExistsAlreadyError: There is something in the folder and it may not be replaced.
        BomtuiError: It cannot be written; nothing was.
    """
    check_folder(folder)
    try:
        replaceable = _unchanged(folder) if overwrite else frozenset[str]()
        foreign = foreign_files(folder, replaceable)
        if foreign:
            raise FileExistsAlreadyError(_refusal(folder, foreign, overwrite=overwrite))
        write_folder(folder.absolute(), {file.name: file.data for file in package.files}, replaceable)
    except ForeignFileError as error:
        raise FileExistsAlreadyError(f"{folder}: it holds {error}; nothing was written") from error
    except OSError as error:
        raise BomtuiError(f"{folder}: it cannot be written ({error.strerror or error}); nothing was written") from error


def _refusal(folder: Path, foreign: list[str], *, overwrite: bool) -> str:
    names = foreign[0] + (f" and {len(foreign) - 1} more" if len(foreign) > 1 else "")
    if overwrite:
        return f"{folder}: it holds {names}, not as a package was written; nothing was written"
    return f"{folder}: it holds {names} already; nothing was written"


def _unchanged(folder: Path) -> frozenset[str]:
    """Return the files of a former package in a folder that are as they were written."""
    found: set[str] = set()
    for listing in folder.glob(f"*_{MANIFEST}*.json") if folder.is_dir() else ():
        try:
            listed = msgspec.json.decode(listing.read_bytes(), type=_Listed)
        except msgspec.MsgspecError:
            # Somebody else's file: it is not replaced.
            continue
        found.add(listing.name)
        for file in listed.files:
            path = folder / file.name
            if path.is_file() and hashlib.sha256(path.read_bytes()).hexdigest() == file.sha256:
                found.add(file.name)
    return frozenset(found)
