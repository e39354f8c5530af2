"""Where the figures of one place come from: the figures above, the steps of the chosen one below."""

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import ClassVar

from textual import on, work
from textual.binding import BindingType
from textual.message import Message
from textual.timer import Timer
from textual.widget import Widget

from bomtui.tui.glyphs import Glyphs
from bomtui.tui.screens.fitted import FittedScreen
from bomtui.tui.user_commands import bindings
from bomtui.tui.view import Details, Explanation, RollupView
from bomtui.tui.widgets.columns import Column
from bomtui.tui.widgets.lines import Lines
from bomtui.tui.widgets.rows import Row
from bomtui.tui.widgets.sheet import Sheet
from bomtui.tui.widgets.text_pane import TextPane

EXPLAIN_DELAY_S = 0.08
"""How long the cursor rests on a figure before it is explained."""
COLUMNS = (Column("Figure", max_width=60), Column("Value", align="right"), Column("State"))


def figure_rows(details: Details, glyphs: Glyphs) -> list[Row]:
    """The figures of a place that can be explained; the key of a row is the figure's name."""
    return [
        Row(figure.name, 0, (figure.title, figure.text, glyphs.state(figure.mark, figure.word)))
        for figure in details.figures
        if figure.name
    ]


class ExplainScreen(FittedScreen[None]):
    """The explanation of one figure at a time.

    Args:
        view: The computed variant.
        address: Address of the place.
        glyphs: Signs of the screen.
    """

    SCOPES = ("explain", "sheet", "text")
    BINDINGS: ClassVar[list[BindingType]] = [*bindings("explain")]
    CSS_PATH = Path(__file__).with_name("explain.tcss")

    @dataclass
    class LookedUp(Message):
        """The figures of the place are collected."""

        details: Details

    @dataclass
    class Explained(Message):
        """A figure is explained."""

        name: str
        explanation: Explanation

    def __init__(self, view: RollupView, address: str, glyphs: Glyphs) -> None:
        super().__init__(glyphs)
        self._view = view
        self._address = address
        self._title = address
        self._timer: Timer | None = None

    def compose_parts(self) -> Iterable[Widget]:
        """Title, figures, steps."""
        yield Lines(lambda _: [[(" Where it comes from:  ", "quiet"), (self._title, "strong")]], id="title")
        yield Sheet(COLUMNS, self.glyphs, id="figures", take=self._go_to_steps, empty="No figures yet.")
        yield TextPane(id="steps")

    def on_mount(self) -> None:
        """Collect the figures."""
        self.set_focus(self.query_one("#figures", Sheet))
        self.query_one("#steps", TextPane).set_text([("Computing the steps.", "quiet")])
        self.look_up()

    @work(thread=True, exclusive=True, group="figures", exit_on_error=False, description="collecting the figures")
    def look_up(self) -> None:
        """Collect the figures of the place."""
        self.post_message(self.LookedUp(self._view.details(self._address)))

    @on(LookedUp)
    def _show_figures(self, message: LookedUp) -> None:
        """Show the figures and explain the first one."""
        self._title = message.details.title
        self.query_one("#title", Lines).rebuild()
        sheet = self.query_one("#figures", Sheet)
        sheet.empty = "Nothing is computed for this line."
        if not any(figure.name for figure in message.details.figures):
            self.query_one("#steps", TextPane).set_text([])
        sheet.set_rows(figure_rows(message.details, self.glyphs))

    @on(Sheet.Moved)
    def _figure_changed(self, message: Sheet.Moved) -> None:
        if self._timer is not None:
            self._timer.stop()
        name = message.row.key
        self._timer = self.set_timer(EXPLAIN_DELAY_S, lambda: self.compute(name))

    def _go_to_steps(self, _row: Row) -> None:
        self.set_focus(self.query_one("#steps", TextPane))

    @work(thread=True, exclusive=True, group="explain", exit_on_error=False, description="explaining the figure")
    def compute(self, name: str) -> None:
        """Explain a figure."""
        self.post_message(self.Explained(name, self._view.explain(name)))

    @on(Explained)
    def _show(self, message: Explained) -> None:
        """Show an explanation, unless the cursor has moved on."""
        row = self.query_one("#figures", Sheet).cursor_row
        if row is not None and row.key == message.name:
            title, steps = message.explanation.title, message.explanation.lines
            self.query_one("#steps", TextPane).set_text([(title, "strong"), ("", ""), *((step, "") for step in steps)])

    def action_leave(self) -> None:
        """Go back to the sheet."""
        self.dismiss(None)
