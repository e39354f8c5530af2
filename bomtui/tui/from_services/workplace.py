"""What can be opened: the samples, the proposals opened last, and every path.

The services are loaded when something is asked of them, in a thread of their own: the screen stands before that.
"""

import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from bomtui.tui.catalog import CatalogSource
from bomtui.tui.source import ProposalSource
from bomtui.tui.workplace import Entry, Refusal

if TYPE_CHECKING:
    from bomtui.services.session import Session


class ServicesWorkplace:
    """Opens proposals and remembers which ones were opened.

    Args:
        settings_folder: Where the list of the proposals opened last is kept; None for the person's own folder.
        journal_folder: Where steps are kept that are not saved; None for the person's own folder.
    """

    def __init__(self, settings_folder: Path | None = None, journal_folder: Path | None = None) -> None:
        self._settings_folder = settings_folder
        self._journal_folder = journal_folder
        self._catalog: CatalogSource | None = None

    @property
    def catalog(self) -> CatalogSource:
        """The catalog of parts; what was looked for last is kept with it."""
        if self._catalog is None:
            # Only who asks for the catalog waits for what reads it.
            from bomtui.tui.from_services.catalog import ServicesCatalog

            self._catalog = ServicesCatalog(settings_folder=self._settings_folder)
        return self._catalog

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
        """Open a proposal to work on it, with the steps that a killed program had not saved, and remember it."""
        from bomtui.services.errors import BomtuiError
        from bomtui.services.present import counted
        from bomtui.services.session import open_session
        from bomtui.tui.from_services.source import SessionSource

        try:
            session = open_session(Path(path).expanduser(), self._journal_folder)
        except BomtuiError as error:
            return Refusal(f"Cannot open {path}", (*map(str, error.problems), str(error)))
        remarks = [self._remember(session), *session.notices]
        if session.recovered:
            steps = counted(session.recovered, "step that was", "steps that were")
            remarks.insert(0, f"Recovered {steps} not saved; undo takes them back one by one.")
        return SessionSource(session, " ".join(filter(None, remarks)), self._remember)

    def _remember(self, session: "Session") -> str:
        """Remember where a proposal is worked on; a sentence where that cannot be written down."""
        from bomtui.services.recent import remember

        title = session.snapshot.proposal.proposal.name or session.path.name
        today = datetime.datetime.now(tz=datetime.UTC).astimezone().date()
        return remember(session.path, title, today, self._settings_folder)
