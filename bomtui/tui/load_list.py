"""A customer's load list before it is taken in, page by page, with what is open. Plain data, no screen library."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from bomtui.tui.report import Report

if TYPE_CHECKING:
    from bomtui.edit.edit import Edit


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
class LoadListReport(Report):
    """What would become of the list.

    Attributes:
        questions: What can be answered, by page and key of the line.
        edit: The one step that takes the list in; None where there is nothing to do.
        obstacle: Why it may not be taken in; empty where it may.
        obstacle_of_rest: Why not even without the rows that were refused; empty where that may be.
        refused: How many rows were refused.
    """

    questions: dict[tuple[str, str], OpenQuestion]
    edit: "Edit | None"
    obstacle: str
    obstacle_of_rest: str
    refused: int
