"""What is lost with every single thing: the list above, one of them in full below."""

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import ClassVar

from textual import on, work
from textual.binding import BindingType
from textual.message import Message
from textual.widget import Widget

from bomtui.tui.glyphs import Glyphs
from bomtui.tui.screens.failures.rows import COLUMNS, failure_lines, failure_rows, row_to_start_on
from bomtui.tui.screens.fitted import FittedScreen
from bomtui.tui.user_commands import bindings
from bomtui.tui.view import FailuresView, RollupView
from bomtui.tui.widgets.lines import Lines
from bomtui.tui.widgets.rows import Row
from bomtui.tui.widgets.sheet import Sheet
from bomtui.tui.widgets.text_pane import TextPane


class FailuresScreen(FittedScreen[str | None]):
    """Every single failure of a variant; ends with the address of a line to go to, or with None.

    Args:
        view: The computed variant.
        address: Address of the line whose failure is shown first.
        glyphs: Signs of the screen.
    """

    SCOPES = ("failures", "sheet", "text")
    BINDINGS: ClassVar[list[BindingType]] = [*bindings("failures")]
    CSS_PATH = Path(__file__).with_name("failures.tcss")

    @dataclass
    class Walked(Message):
        """What is lost is known."""

        failures: FailuresView

    def __init__(self, view: RollupView, address: str, glyphs: Glyphs) -> None:
        super().__init__(glyphs)
        self._view = view
        self._address = address
        self._failures: FailuresView | None = None

    def compose_parts(self) -> Iterable[Widget]:
        """Title, list, one failure in full."""
        title = f"outputs and inputs that are lost, or perhaps, in {self._view.heading.variant}"
        yield Lines(lambda _: [[(" Failures: ", "quiet"), (title, "strong")]], id="title")
        yield Sheet(COLUMNS, self.glyphs, id="causes", take=self._go_to_effect, empty="Walking.")
        yield TextPane(id="effect")

    def on_mount(self) -> None:
        """Start the walk."""
        self.set_focus(self.query_one("#causes", Sheet))
        self.walk_through()

    @work(thread=True, exclusive=True, group="failures", exit_on_error=False, description="walking the failures")
    def walk_through(self) -> None:
        """Take out every single thing."""
        self.post_message(self.Walked(self._view.failures()))

    @on(Walked)
    def _show(self, message: Walked) -> None:
        self._failures = message.failures
        sheet = self.query_one("#causes", Sheet)
        sheet.empty = "No module, nothing to take out: add a module first."
        sheet.set_rows(failure_rows(message.failures.failures))
        key = row_to_start_on(message.failures.failures, self._address)
        if key:
            sheet.reveal(key)

    @on(Sheet.Moved)
    def _show_effect(self, message: Sheet.Moved) -> None:
        view = self._failures
        own = None if view is None else next((one for one in view.failures if one.key == message.row.key), None)
        if view is not None and own is not None:
            self.query_one("#effect", TextPane).set_text(failure_lines(own, view))

    def _go_to_effect(self, _row: Row) -> None:
        self.set_focus(self.query_one("#effect", TextPane))

    def action_go(self) -> None:
        """Go to the line of what is taken out."""
        row = self.query_one("#causes", Sheet).cursor_row
        failures = () if self._failures is None else self._failures.failures
        found = next((own.address for own in failures if row is not None and own.key == row.key), "")
        if found:
            self.dismiss(found)

    def action_leave(self) -> None:
        """Go back to the sheet."""
        self.dismiss(None)
