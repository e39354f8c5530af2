"""A list before it is taken in, page by page, with what is open. Plain data, no screen library."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from bomtui.tui.report import Report

if TYPE_CHECKING:
    from bomtui.edit.edit import Edit
    from bomtui.tui.catalog import CatalogOutcome

Listed = Literal["loads", "placements", "distances", "quantities", "parts"]
"""What a list may hold; parts go into the catalog, all else into the proposal."""


@dataclass(frozen=True, slots=True)
class OpenQuestion:
    """Something that the list leaves open, or a column that can be told.

    Attributes:
        about: What an answer is of.
        subject: Header of the column that it is about; empty for anything else.
        sentence: The question.
        choices: Answers to choose from; none where a text is typed.
        proposed: What the line to type in holds at first.
    """

    about: str
    subject: str
    sentence: str
    choices: tuple[str, ...]
    proposed: str = ""

    @property
    def is_typed(self) -> bool:
        """Whether the answer is typed: a mode or a name is for the person to say."""
        return not self.choices or any("MODE" in choice for choice in self.choices)


@dataclass(frozen=True, slots=True)
class IncomingReport(Report):
    """What would become of the list.

    Attributes:
        questions: What can be answered, by page and key of the line.
        edit: The one step that takes the list into the proposal; None where there is nothing to do.
        into_catalog: Takes parts into the catalog, as one transaction; called in a thread of its own, with whether to
            leave out the rows that were refused. None for any other list, and where there is nothing to do.
        obstacle: Why it may not be taken in; empty where it may.
        obstacle_of_rest: Why not even without the rows that were refused; empty where that may be.
        refused: How many rows were refused.
    """

    questions: dict[tuple[str, str], OpenQuestion]
    edit: "Edit | None"
    into_catalog: "Callable[[bool], CatalogOutcome] | None"
    obstacle: str
    obstacle_of_rest: str
    refused: int

    @property
    def has_something(self) -> bool:
        """Whether there is something to take in."""
        return self.edit is not None or self.into_catalog is not None
