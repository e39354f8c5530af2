"""A message that stays until it is read."""

from collections.abc import Iterable
from typing import ClassVar

from textual.binding import BindingType
from textual.widget import Widget

from bomtui.tui.glyphs import Glyphs
from bomtui.tui.screens.fitted import FittedScreen
from bomtui.tui.user_commands import bindings
from bomtui.tui.widgets.lines import Lines
from bomtui.tui.widgets.text_pane import TextPane


class ErrorScreen(FittedScreen[None]):
    """What could not be done, and why.

    Args:
        title: What could not be done.
        lines: Why, and what to do.
        glyphs: Signs of the screen.
    """

    SCOPES = ("error", "text")
    BINDINGS: ClassVar[list[BindingType]] = [*bindings("error")]

    def __init__(self, title: str, lines: tuple[str, ...], glyphs: Glyphs) -> None:
        super().__init__(glyphs)
        self._title = title
        self._lines = lines

    def compose_parts(self) -> Iterable[Widget]:
        """Title and text."""
        yield Lines(lambda _: [[(f" {self.glyphs.state('over', self._title)}", "over")]], id="title")
        yield TextPane(id="message")

    def on_mount(self) -> None:
        """Show the text."""
        pane = self.query_one("#message", TextPane)
        pane.set_text([("", ""), *((line, "") for line in self._lines)])
        self.set_focus(pane)

    def action_leave(self) -> None:
        """Go back."""
        self.dismiss(None)
