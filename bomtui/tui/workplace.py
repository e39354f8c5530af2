"""What can be opened, as the screens ask for it: plain data and callables, no screen library."""

from dataclasses import dataclass
from typing import Protocol

from bomtui.tui.catalog import CatalogSource
from bomtui.tui.source import ProposalSource


@dataclass(frozen=True, slots=True)
class Entry:
    """A proposal that can be opened.

    Attributes:
        path: Its path, as `open` takes it.
        title: Its title, or the name of its file.
        note: What tells it from the others, such as the day of the last opening.
    """

    path: str
    title: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class Refusal:
    """A proposal that could not be opened: what was tried, and sentences of file, line, field and what is expected."""

    title: str
    lines: tuple[str, ...]


class Workplace(Protocol):
    """What can be opened. Methods may be called from any thread."""

    @property
    def catalog(self) -> CatalogSource:
        """The catalog of parts."""

    def recent(self) -> tuple[Entry, ...]:
        """The proposals opened last, the newest first; those that are gone are left out."""

    def samples(self) -> tuple[Entry, ...]:
        """The sample proposals that come with the program."""

    def open(self, path: str) -> ProposalSource | Refusal:
        """Open a proposal, even a half-broken one; may take a while."""
