"""Sheets that are read and written out, page by page: a comparison, cost over volume. Plain data, no screen library.

As in `view`, numbers arrive as finished text, and everything belongs to one snapshot.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from bomtui.tui.marks import Mark
from bomtui.tui.view import WriteOutcome


@dataclass(frozen=True, slots=True)
class ReportColumn:
    """A column: its title, the unit of its numbers, and whether these stand right."""

    title: str
    unit: str = ""
    align: Literal["left", "right"] = "left"
    max_width: int = 0


@dataclass(frozen=True, slots=True)
class ReportLine:
    """One line of a page.

    Attributes:
        key: Unique on its page.
        depth: 0 for the outermost lines; lines stand before the lines inside them.
        cells: Texts by column, the first being the name.
        has_children: Whether lines stand inside it.
        mark: Its state.
        word: Its state in words, never missing where there is a mark.
        variant: Variant that its place is in; empty where it has none.
        address: Address of its place in the working sheet; empty where it has none.
        sentence: What the status line says of it.
    """

    key: str
    depth: int
    cells: tuple[str, ...]
    has_children: bool = False
    mark: Mark = ""
    word: str = ""
    variant: str = ""
    address: str = ""
    sentence: str = ""


@dataclass(frozen=True, slots=True)
class ReportPage:
    """One page.

    Attributes:
        title: What it shows, in a word or two.
        columns: Its columns.
        lines: Its lines.
        state_title: Title of the state column; empty where no line has a state.
        empty: What stands in place of no line.
    """

    title: str
    columns: tuple[ReportColumn, ...]
    lines: tuple[ReportLine, ...]
    state_title: str = ""
    empty: str = "Nothing to show here."


@dataclass(frozen=True, slots=True)
class Report:
    """Pages under a title and sentences that must be read first.

    Attributes:
        snapshot_number: Snapshot that it belongs to.
        title: What it is.
        sentences: What must be read before any figure, each with its mark.
        pages: Its pages.
        path: Where it is written unless another path is typed; empty where it cannot be written.
        suffixes: Endings that say in which format.
        write: Writes it to a path; the flag allows overwriting.
    """

    snapshot_number: int
    title: str
    sentences: tuple[tuple[Mark, str], ...]
    pages: tuple[ReportPage, ...]
    path: str
    suffixes: tuple[str, ...]
    write: Callable[[str, bool], WriteOutcome]


@dataclass(frozen=True, slots=True)
class Refused:
    """Why there is no report, as a sentence."""

    sentence: str


@dataclass(frozen=True, slots=True)
class Goal:
    """Where to go in the working sheet."""

    variant: str
    address: str
