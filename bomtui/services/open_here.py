"""What lies beside an open proposal in the person's own state folder: journals, and the word that it is open."""

from pathlib import Path

from bomtui.storage.presence import Presence, arrive

OPEN_ELSEWHERE = (
    "Another program has this proposal open: each keeps its own steps, and whoever saves second is asked before "
    "anything is overwritten."
)


def journal_folder() -> Path:
    """Return the folder of the journals in the person's own state folder."""
    from platformdirs import user_state_path

    return user_state_path("bomtui", appauthor=False) / "journals"


class OpenHere:
    """Says to other programs of the person that a proposal is open.

    Args:
        folder: Folder of the journals.
        notices: Takes a sentence where another program has it open, or where that cannot be told.
    """

    def __init__(self, folder: Path, notices: list[str]) -> None:
        self._folder = folder
        self._notices = notices
        self._presence: Presence | None = None

    def arrive(self, proposal: Path) -> None:
        """Say that a proposal file is open, and no other one any more."""
        self.leave()
        try:
            self._presence = arrive(self._folder, proposal)
        except OSError as error:
            reason = error.strerror or error
            self._notices.append(
                f"{self._folder}: whether another program has this proposal open cannot be told ({reason})."
            )
            return
        if not self._presence.is_alone:
            self._notices.append(OPEN_ELSEWHERE)

    def leave(self) -> None:
        """Say that it is not open any more."""
        presence, self._presence = self._presence, None
        if presence is None:
            return
        try:
            presence.leave()
        except OSError as error:
            self._notices.append(f"{self._folder}: the mark of an open proposal cannot be deleted ({error.strerror}).")
