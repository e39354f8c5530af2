"""The block diagram of the module under the cursor, or of the vehicle."""

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import ClassVar

from textual import on, work
from textual.binding import BindingType
from textual.message import Message
from textual.widget import Widget

from bomtui.tui.glyphs import ASCII, Glyphs
from bomtui.tui.screens.fitted import FittedScreen
from bomtui.tui.user_commands import bindings
from bomtui.tui.view import DiagramView, RollupView
from bomtui.tui.widgets.lines import Lines
from bomtui.tui.widgets.text_pane import TextPane


class DiagramScreen(FittedScreen[None]):
    """A block diagram.

    Args:
        view: The computed variant.
        module: Id of the module that is shown first; empty for the vehicle.
        glyphs: Signs of the screen.
    """

    SCOPES = ("diagram", "text")
    BINDINGS: ClassVar[list[BindingType]] = [*bindings("diagram")]
    CSS_PATH = Path(__file__).with_name("diagram.tcss")

    @dataclass
    class Drawn(Message):
        """The diagram is drawn."""

        diagram: DiagramView

    def __init__(self, view: RollupView, module: str, glyphs: Glyphs) -> None:
        super().__init__(glyphs)
        self._view = view
        self._modules = ("", *(place.address for place in view.modules))
        self._module = module if module in self._modules else ""
        self._title = "Block diagram"
        self._drawn_for = 0

    def compose_parts(self) -> Iterable[Widget]:
        """Title and drawing."""
        variant = self._view.heading.variant
        yield Lines(lambda _: [[(f" {self._title}", "strong"), (f"   variant {variant}", "quiet")]], id="title")
        yield TextPane(id="drawing")

    def on_mount(self) -> None:
        """Give the keys to the drawing."""
        self.set_focus(self.query_one("#drawing", TextPane))

    def fitted(self) -> None:
        """Draw for the width that there is."""
        self.call_after_refresh(self._draw)

    def _draw(self) -> None:
        width = self.query_one("#drawing", TextPane).scrollable_content_region.width
        if width > 0 and width != self._drawn_for:
            self._drawn_for = width
            self.draw(self._module, width)

    @work(thread=True, exclusive=True, group="diagram", exit_on_error=False, description="drawing the diagram")
    def draw(self, module: str, width: int) -> None:
        """Draw a diagram for a width."""
        self.post_message(self.Drawn(self._view.diagram(module, width, self.glyphs is ASCII)))

    @on(Drawn)
    def _show(self, message: Drawn) -> None:
        self._title = message.diagram.title
        self.query_one("#title", Lines).rebuild()
        lines = [(text, "strong" if is_head else "") for text, is_head in message.diagram.lines]
        self.query_one("#drawing", TextPane).set_text([*lines, ("", ""), (message.diagram.note, "quiet")])

    def _show_module(self, step: int) -> None:
        place = (self._modules.index(self._module) + step) % len(self._modules)
        self._module, self._drawn_for = self._modules[place], 0
        self._draw()

    def action_next_module(self) -> None:
        """Show the next module; behind the last one the vehicle."""
        self._show_module(1)

    def action_previous_module(self) -> None:
        """Show the module before; before the vehicle the last one."""
        self._show_module(-1)

    def action_leave(self) -> None:
        """Go back to the sheet."""
        self.dismiss(None)
