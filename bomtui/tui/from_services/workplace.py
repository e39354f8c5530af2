"""What can be opened: the samples, the proposals opened last, and every path.

The services are loaded when something is asked of them, in a thread of their own: the screen stands before that.
"""

import datetime
from pathlib import Path

from bomtui.tui.view import Entry, ProposalSource, Refusal


class ServicesWorkplace:
    """Opens proposals and remembers which ones were opened.

    Args:
        settings_folder: Where the list of the proposals opened last is kept; None for the person's own folder.
    """

    def __init__(self, settings_folder: Path | None = None) -> None:
        self._settings_folder = settings_folder

    def recent(self) -> tuple[Entry, ...]:
        """The proposals opened last, the newest first."""
        from bomtui.services.recent import recent_files

        entries = recent_files(self._settings_folder)
        return tuple(Entry(entry.path, entry.title, f"opened {entry.day.isoformat()}") for entry in entries)

    def samples(self) -> tuple[Entry, ...]:
        """The sample proposals."""
        from bomtui.services.samples import samples

        return tuple(Entry(str(sample.path), sample.title, sample.note) for sample in samples())

    def open(self, path: str) -> ProposalSource | Refusal:
        """Open a proposal and remember it."""
        from bomtui.services.errors import BomtuiError
        from bomtui.services.open import open_proposal
        from bomtui.services.recent import remember
        from bomtui.tui.from_services.source import OpenedProposal

        try:
            opened = open_proposal(Path(path).expanduser())
        except BomtuiError as error:
            return Refusal(f"Cannot open {path}", (*map(str, error.problems), str(error)))
        title = opened.snapshot.proposal.proposal.name or opened.path.name
        today = datetime.datetime.now(tz=datetime.UTC).astimezone().date()
        return OpenedProposal(opened, remember(opened.path, title, today, self._settings_folder))
