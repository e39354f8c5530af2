"""Write a folder of files whole or not at all."""

import os
import shutil
import tempfile
from collections.abc import Mapping
from pathlib import Path

from bomtui.storage.atomic import sync_folder


class ForeignFileError(OSError):
    """The folder holds something that a new content would take away; the text names it."""


def write_folder(folder: Path, files: Mapping[str, bytes], replaceable: frozenset[str]) -> None:
    """Write files as the content of a folder: afterwards it holds these files and nothing else, or is as it was.

    All is written into a hidden folder beside it, which then takes its name.

    Args:
        folder: The folder; the one above it exists.
        files: Content by file name.
        replaceable: Names of files that may go when the folder exists already.

    Raises:
        ForeignFileError: The folder exists and holds something else.
        OSError: It cannot be written; nothing has changed.
    """
    _bring_back(folder)
    foreign = foreign_files(folder, replaceable)
    if foreign:
        raise ForeignFileError(", ".join(foreign[:3]))
    room = Path(tempfile.mkdtemp(prefix=f".{folder.name}.", dir=folder.parent))
    fresh, former = room / "new", room / "former"
    try:
        fresh.mkdir()
        for name, data in files.items():
            _write(fresh / name, data)
        sync_folder(fresh)
        if folder.exists():
            folder.rename(former)
        fresh.rename(folder)
        sync_folder(folder.parent)
    finally:
        if former.exists() and not folder.exists():
            former.rename(folder)
        shutil.rmtree(room, ignore_errors=True)


def _bring_back(folder: Path) -> None:
    """Give a folder its name again that a killed program had moved aside for a new content."""
    if folder.exists() or not folder.parent.is_dir():
        return
    rooms = sorted(room for room in folder.parent.iterdir() if room.name.startswith(f".{folder.name}."))
    for room in rooms:
        if (room / "former").is_dir():
            (room / "former").rename(folder)
            shutil.rmtree(room, ignore_errors=True)
            return


def foreign_files(folder: Path, replaceable: frozenset[str]) -> list[str]:
    """Return what a folder holds beside files of some names, in order; nothing where there is no such folder."""
    if not folder.exists():
        return []
    return sorted(entry.name for entry in folder.iterdir() if entry.name not in replaceable or not entry.is_file())


def _write(path: Path, data: bytes) -> None:
    with path.open("xb") as stream:
        stream.write(data)
        stream.flush()
        os.fsync(stream.fileno())
