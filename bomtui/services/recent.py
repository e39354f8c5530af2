"""The proposals opened last, in the person's own configuration folder; they never change a figure."""

import datetime
from dataclasses import dataclass
from pathlib import Path

import msgspec

from bomtui.model.plain_text import clean, is_writable
from bomtui.services.errors import BomtuiError
from bomtui.services.files import write_output

KEPT = 20
"""How many are remembered."""


@dataclass(frozen=True, slots=True)
class RecentFile:
    """A proposal that was opened.

    Attributes:
        path: Absolute path of its file.
        title: Its title then.
        day: Day of the last opening.
    """

    path: str
    title: str
    day: datetime.date


def recent_path(folder: Path | None = None) -> Path:
    """Return the file that remembers.

    Args:
        folder: Configuration folder; None for the person's own.
    """
    if folder is None:
        from platformdirs import user_config_path

        folder = user_config_path("bomtui", appauthor=False)
    return folder / "recent.json"


def recent_files(folder: Path | None = None) -> tuple[RecentFile, ...]:
    """Return the proposals opened last, the newest first; those that are gone are left out.

    A file that was damaged remembers nothing: the next opening writes it anew.

    Args:
        folder: Configuration folder; None for the person's own.
    """
    return tuple(entry for entry in _read(recent_path(folder)) if _is_there(entry.path))


def remember(path: Path, title: str, day: datetime.date, folder: Path | None = None) -> str:
    """Remember that a proposal was opened.

    Args:
        path: Its file.
        title: Its title.
        day: Today.
        folder: Configuration folder; None for the person's own.

    Returns:
        One sentence where it could not be written down, which keeps nobody from working; empty otherwise.
    """
    place = recent_path(folder)
    new = RecentFile(str(path.resolve()), title, day)
    if not is_writable(new.path):
        return f"{clean(new.path)}: this name holds bytes that are no text, so the file is not remembered"
    entries = [new, *(entry for entry in _read(place) if entry.path != new.path)][:KEPT]
    try:
        place.parent.mkdir(parents=True, exist_ok=True)
        write_output(place, msgspec.json.format(msgspec.json.encode(entries)))
    except OSError as error:
        return f"{place.parent}: the folder cannot be made ({error.strerror or error}), so nothing is remembered"
    except BomtuiError as error:
        return str(error)
    return ""


def _read(place: Path) -> list[RecentFile]:
    try:
        return msgspec.json.decode(place.read_bytes(), type=list[RecentFile])
    except (OSError, msgspec.MsgspecError, UnicodeDecodeError):
        # Nothing written yet, or not by this program: there is nothing to offer, and nothing of value is lost.
        return []


def _is_there(path: str) -> bool:
    try:
        return Path(path).is_file()
    except (OSError, ValueError):
        return False
