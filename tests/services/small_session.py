"""What tests of a session share: its small proposal's field and part, and how a program ends."""

from pathlib import Path

from bomtui.model.part import Part
from bomtui.services.session import Session

POWER = "loads.L1.rated_power"
NEW_PART = Part(kind="high_side", channels=2, sides=("HS",), mpn="0012")


def leave(session: Session) -> None:
    """End as a killed program does: nothing is written, removed or asked any more."""
    for journal in (session._journal, session._offered[0] if session._offered else None):
        if journal is not None:
            journal.close()
    session._here.leave()


def do(session: Session, place: str, text: str) -> None:
    """Type a value that must be taken."""
    assert session.set_text(place, text) is None


def names(folder: Path) -> list[str]:
    """Names of everything in a folder."""
    return sorted(entry.name for entry in folder.iterdir()) if folder.exists() else []


def fail(*_: object, **__: object) -> None:
    """Fail as a full disk does."""
    raise OSError(28, "No space left on device")


def change_outside(path: Path) -> None:
    """Write the proposal as somebody else's program would."""
    path.write_text(path.read_text(encoding="utf-8").replace('"small"', '"theirs"'), encoding="utf-8")
