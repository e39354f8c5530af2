"""What stands on the screen while the first proposal is being read."""

from collections.abc import Iterable

from textual.widget import Widget

from bomtui.tui.glyphs import Glyphs
from bomtui.tui.screens.fitted import FittedScreen
from bomtui.tui.widgets.lines import Lines
from bomtui.tui.widgets.text_pane import TextPane


class OpeningScreen(FittedScreen[None]):
    """Says which proposal is being opened.

    Args:
        path: Its path.
        glyphs: Signs of the screen.
    """

    def __init__(self, path: str, glyphs: Glyphs) -> None:
        super().__init__(glyphs)
        self._path = path

    def compose_parts(self) -> Iterable[Widget]:
        """Title and path."""
        yield Lines(lambda _: [[(" bomtui", "strong")]], id="title")
        yield TextPane(id="message")

    def on_mount(self) -> None:
        """Show the path."""
        self.query_one("#message", TextPane).set_text([("", ""), (f"Opening {self._path}.", "quiet")])
