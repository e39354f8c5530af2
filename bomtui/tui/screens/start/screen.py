"""Opening a proposal: those opened last, the samples, or a path."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import ClassVar

from textual import on, work
from textual.binding import BindingType
from textual.message import Message
from textual.widget import Widget

from bomtui.services.program import ESTIMATES
from bomtui.tui.glyphs import Glyphs
from bomtui.tui.screens.fitted import FittedScreen
from bomtui.tui.screens.start.rows import COLUMNS, RECENT_KEY, SAMPLES_KEY, start_rows
from bomtui.tui.text import fit, wrap
from bomtui.tui.user_commands import bindings
from bomtui.tui.widgets.lines import Lines, SpanLine
from bomtui.tui.widgets.prompt_line import PromptLine
from bomtui.tui.widgets.rows import Row
from bomtui.tui.widgets.sheet import Sheet
from bomtui.tui.workplace import Entry, Workplace

INTRODUCTION = "from the loads of a vehicle to a costed parts list"


class StartScreen(FittedScreen[None]):
    """What can be opened.

    Args:
        workplace: Knows what can be opened.
        glyphs: Signs of the screen.
    """

    SCOPES = ("start", "sheet")
    BINDINGS: ClassVar[list[BindingType]] = [*bindings("start")]

    @dataclass
    class OpenAsked(Message):
        """A proposal is to be opened."""

        path: str

    @dataclass
    class Listed(Message):
        """What can be opened is known."""

        recent: tuple[Entry, ...]
        samples: tuple[Entry, ...]

    class LeaveAsked(Message):
        """The proposal beneath is wanted back."""

    def __init__(self, workplace: Workplace, glyphs: Glyphs) -> None:
        super().__init__(glyphs)
        self._workplace = workplace
        self._paths: dict[str, str] = {}
        self._message = ""
        self._is_opening = False

    def compose_parts(self) -> Iterable[Widget]:
        """Title, list, status, prompt."""
        yield Lines(lambda _: [[(" bomtui", "strong"), (f"   {INTRODUCTION}", "quiet")]], id="title")
        yield Sheet(COLUMNS, self.glyphs, id="list", take=self._open_row, empty="Looking for proposals.")
        yield Lines(
            lambda width: [[(f" {line}", "quiet")] for line in wrap(ESTIMATES, width - 2, hang=0)], id="caution"
        )
        yield Lines(self._status_line, id="status")
        yield PromptLine(id="prompt")

    def on_mount(self) -> None:
        """Start looking for proposals."""
        self.set_focus(self.query_one("#list", Sheet))
        self.look()

    @work(thread=True, exclusive=True, group="list", exit_on_error=False, description="listing the proposals")
    def look(self) -> None:
        """Find what can be opened."""
        self.post_message(self.Listed(self._workplace.recent(), self._workplace.samples()))

    @on(Listed)
    def _show(self, message: Listed) -> None:
        rows, self._paths = start_rows(message.recent, message.samples)
        sheet = self.query_one("#list", Sheet)
        is_first = not sheet.rows
        sheet.set_rows(rows)
        sheet.open_rows((RECENT_KEY, SAMPLES_KEY))
        if is_first and self._paths:
            sheet.reveal(next(iter(self._paths)))

    def _status_line(self, width: int) -> Sequence[SpanLine]:
        """What was said last, or the path of the line, for titles may be alike."""
        if self._message:
            return [[(f" {line}", "strong")] for line in wrap(self._message, width - 2, hang=0)]
        row = self.query_one("#list", Sheet).cursor_row
        path = self._paths.get(row.key, "") if row else ""
        return [[(" " + fit(path, width - 2, ellipsis=self.glyphs.ellipsis).rstrip(), "quiet")]]

    @on(Sheet.Moved)
    def _row_changed(self) -> None:
        self.query_one("#status", Lines).rebuild()

    def say(self, message: str) -> None:
        """Put a sentence into the status line."""
        self._message = message
        self.query_one("#status", Lines).rebuild()

    def _open_row(self, row: Row) -> None:
        if self._is_opening:
            # A second enter is a slip, and the line under the cursor may be another proposal.
            return
        path = self._paths.get(row.key)
        if path is None:
            self.action_ask_path()
        else:
            self._open(path)

    async def action_catalog(self) -> None:
        """Open the catalog."""
        from bomtui.tui.screens.catalog.screen import CatalogScreen

        await self.app.push_screen(CatalogScreen(self._workplace.catalog, self.glyphs))

    def action_ask_path(self) -> None:
        """Ask for a path and open it."""
        self.query_one(PromptLine).ask("Path of a proposal:", "", self._open)

    def _open(self, path: str) -> None:
        if path.strip():
            self._is_opening = True
            self.say(f"Opening {path.strip()}.")
            self.post_message(self.OpenAsked(path.strip()))

    def on_screen_resume(self) -> None:
        """The list may have changed while another screen was up."""
        self._is_opening = False
        self.say("")
        self.look()

    def action_leave(self) -> None:
        """Go back to the proposal that is open."""
        self.post_message(self.LeaveAsked())
