"""A screen over the working one on which the proposal is changed: title with the saved state, status line, prompts."""

from collections.abc import Callable, Iterable, Sequence

from textual import on
from textual.widget import Widget

from bomtui.tui.glyphs import Glyphs
from bomtui.tui.outcomes import Outcome
from bomtui.tui.screens.steps.keeping import Keeping
from bomtui.tui.screens.steps.save_as_prompt import SaveAsPrompt
from bomtui.tui.screens.steps.steps import Result
from bomtui.tui.source import ProposalSource
from bomtui.tui.text import fit, width_of, wrap
from bomtui.tui.widgets.lines import Lines, SpanLine
from bomtui.tui.widgets.prompt_line import PromptLine
from bomtui.tui.widgets.sheet import Sheet

STATUS_LINES = 4
"""Lines that a sentence may take."""


class SideScreen(Keeping[Result]):
    """A screen with one sheet of things that can be changed.

    Args:
        source: The open proposal.
        variant: Id of the variant that is shown.
        glyphs: Signs of the screen.
    """

    def __init__(self, source: ProposalSource, variant: str, glyphs: Glyphs) -> None:
        super().__init__(source, glyphs)
        self.variant = variant
        self._message = ""
        self._message_key: str | None = None

    def compose_foot(self) -> Iterable[Widget]:
        """Status line, and the lines to type in."""
        yield Lines(self._status_lines, id="status")
        yield PromptLine(id="ask")
        yield SaveAsPrompt(self.file_written, id="save-as")

    @property
    def sheet(self) -> Sheet:
        """The sheet."""
        return self.query_one(Sheet)

    def head(self) -> str:
        """What the screen shows, for its title line."""
        raise NotImplementedError

    def row_sentence(self) -> str:
        """What the status line says of the row under the cursor."""
        return ""

    def title_line(self, width: int) -> Sequence[SpanLine]:
        """What the screen shows, and on the right whether all of it is saved."""
        saved = self.source.heading(self.variant).saved
        room = max(0, width - width_of(saved) - 4)
        return [[(" ", ""), (fit(self.head(), room, ellipsis=self.glyphs.ellipsis), "strong"), (f"  {saved}", "quiet")]]

    def show_heading(self) -> None:
        """Draw the title line anew."""
        self.query_one("#title", Lines).rebuild()

    def say(self, message: str, *, is_short: bool = False) -> None:
        """Put a sentence into the status line; it stays until the cursor moves."""
        del is_short
        row = self.sheet.cursor_row
        self._message, self._message_key = message, row.key if row else None
        self.query_one("#status", Lines).rebuild()

    def _status_lines(self, width: int) -> Sequence[SpanLine]:
        text, style = (self._message, "strong") if self._message else (self.row_sentence(), "quiet")
        # Only as much of a text as the lines can hold: it may be very long.
        lines = wrap(text[: STATUS_LINES * width], width - 2, hang=0)[:STATUS_LINES]
        return [[(f" {line}", style)] for line in lines]

    @on(Sheet.Moved)
    def _row_changed(self) -> None:
        # Where the cursor is now: a step may have moved it twice, and this tells of the first time.
        row = self.sheet.cursor_row
        if row is None or row.key != self._message_key:
            self._message = ""
        self.query_one("#status", Lines).rebuild()

    def ask(self, question: str, value: str, answered: Callable[[str], object]) -> None:
        """Ask for a text; what is typed from the next key on is the answer."""
        self.query_one("#ask", PromptLine).ask(question, value, answered)

    async def ask_until_taken(self, question: str, value: str, attempt: Callable[[str], Outcome]) -> None:
        """Ask for a text and do something with it; where that is refused the text stays, and the sentence says why.

        Args:
            question: The question.
            value: What the line holds at first.
            attempt: What is done with the text.
        """

        async def answered(text: str) -> None:
            outcome = attempt(text)
            await self.settle(outcome)
            if outcome.state in {"refused", "failed"} and outcome.retry is None:
                self.ask(question, text, answered)

        self.ask(question, value, answered)
