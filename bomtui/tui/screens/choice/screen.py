"""Choosing one of a few things, or none."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import ClassVar

from textual import on
from textual.binding import BindingType
from textual.widget import Widget

from bomtui.tui.glyphs import Glyphs
from bomtui.tui.screens.fitted import FittedScreen
from bomtui.tui.text import width_of, wrap
from bomtui.tui.user_commands import Scope, bindings
from bomtui.tui.widgets.columns import CURSOR_WIDTH, GAPS, MORE_WIDTH, Column
from bomtui.tui.widgets.lines import Lines, SpanLine
from bomtui.tui.widgets.rows import Row
from bomtui.tui.widgets.sheet import Sheet

CHOICE = Column("Choice")
LEAST_NOTE = 20
"""Cells that a note has at least, however long the names are."""
SCROLLBAR = 1
MOST_NOTE_LINES = 3
MOST_SENTENCES = 12
"""Lines that may stand above the choices; what is longer is cut with its count."""


@dataclass(frozen=True, slots=True)
class Choice:
    """Something to choose.

    Attributes:
        id: What the screen ends with.
        title: Its name.
        note: What tells it from the others, or what it leads to.
    """

    id: str
    title: str
    note: str = ""


class ChoiceScreen(FittedScreen[str | None]):
    """A question with its choices; ends with the id of the chosen one, or with None.

    Args:
        question: The question, in a few words.
        choices: What there is to choose.
        glyphs: Signs of the screen.
        sentences: What must be known to choose.
        current: Id of the choice under the cursor at first; empty for the first one.
        empty: What stands in place of choices where there are none.
    """

    SCOPES: ClassVar[tuple[Scope, ...]] = ("choice", "sheet")
    BINDINGS: ClassVar[list[BindingType]] = [*bindings("choice")]
    DEFAULT_CSS = "ChoiceScreen #sentences { height: auto; }"

    def __init__(
        self,
        question: str,
        choices: Sequence[Choice],
        glyphs: Glyphs,
        *,
        sentences: Sequence[str] = (),
        current: str = "",
        empty: str = "There is nothing to choose.",
    ) -> None:
        super().__init__(glyphs)
        self._question = question
        self._choices = choices
        self._sentences = sentences
        self._current = current
        self._empty = empty

    def compose_parts(self) -> Iterable[Widget]:
        """Question, sentences and choices."""
        yield Lines(lambda _: [[(f" {self._question}", "strong"), ("   enter takes it", "quiet")]], id="title")
        yield Lines(self._sentence_lines, id="sentences")
        yield Sheet(self._columns(), self.glyphs, id="list", take=self._take, empty=self._empty)
        yield Lines(self._note_lines, id="status")

    def _sentence_lines(self, width: int) -> Sequence[SpanLine]:
        lines = [line for sentence in self._sentences for line in wrap(sentence, width - 2, hang=2)]
        if len(lines) > MOST_SENTENCES:
            lines = [*lines[: MOST_SENTENCES - 1], f"and {len(lines) - MOST_SENTENCES + 1} more lines"]
        return [[(f" {line}", "")] for line in lines]

    def _columns(self) -> tuple[Column, Column]:
        """Name and note: what tells the choices apart is not cut, the notes have what is left of the width."""
        names = max((width_of(choice.title) for choice in self._choices), default=0)
        room = self.app.size.width - CURSOR_WIDTH - names - GAPS[0] - MORE_WIDTH - SCROLLBAR
        return CHOICE, Column("What it is", max_width=max(LEAST_NOTE, room))

    def _note_lines(self, width: int) -> Sequence[SpanLine]:
        """The note of the choice under the cursor, where its column is too narrow for it."""
        row = self.query_one("#list", Sheet).cursor_row
        if row is None or width_of(row.cells[1]) <= self._columns()[1].max_width:
            return []
        return [[(f" {line}", "quiet")] for line in wrap(row.cells[1], width - 2, hang=0)[:MOST_NOTE_LINES]]

    @on(Sheet.Moved)
    def _moved(self) -> None:
        self.query_one("#status", Lines).rebuild()

    def fitted(self) -> None:
        """Share the new width between names and notes."""
        sheet = self.query_one("#list", Sheet)
        sheet.set_rows(sheet.rows, self._columns())

    def show_choices(self, choices: Sequence[Choice]) -> None:
        """Show all or some of the choices."""
        rows = [Row(choice.id, 0, (choice.title, choice.note)) for choice in choices]
        self.query_one("#list", Sheet).set_rows(rows)
        self.query_one("#status", Lines).rebuild()

    def on_mount(self) -> None:
        """Show the choices."""
        sheet = self.query_one("#list", Sheet)
        self.show_choices(self._choices)
        if self._current:
            sheet.reveal(self._current)
        self.begin()

    def begin(self) -> None:
        """Called when the choices are shown: from the next key on they are gone through."""
        self.set_focus(self.query_one("#list", Sheet))

    def _take(self, row: Row) -> None:
        self.dismiss(row.key)

    def action_leave(self) -> None:
        """Go back without choosing."""
        self.dismiss(None)
