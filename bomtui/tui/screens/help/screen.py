"""All keys of the screen beneath, and the cautions."""

from collections.abc import Iterable, Sequence
from typing import ClassVar

from textual.binding import BindingType
from textual.widget import Widget

from bomtui.services.program import CAUTIONS
from bomtui.tui.glyphs import Glyphs
from bomtui.tui.marks import Mark
from bomtui.tui.screens.fitted import FittedScreen
from bomtui.tui.user_commands import SCOPE_TITLES, Scope, bindings, commands_in, key_word
from bomtui.tui.widgets.lines import Lines
from bomtui.tui.widgets.text_pane import TextPane

STATES: tuple[tuple[Mark, str], ...] = (
    ("ok", "within its limit, everything known"),
    ("check", "a warning: look at it"),
    ("over", "an error: over a limit, or it cannot work"),
    ("unknown", "not decided, because something is not known"),
    ("note", "a hint"),
)


def help_lines(scopes: Sequence[Scope], glyphs: Glyphs) -> list[tuple[str, str]]:
    """Keys by scope, the signs, and the cautions."""
    lines: list[tuple[str, str]] = []
    for scope in (*scopes, "app"):
        lines.append((SCOPE_TITLES[scope], "strong"))
        lines += [
            (f"  {', '.join(key_word(key) for key in command.keys).ljust(20)} {command.help}", "")
            for command in commands_in(scope)
        ]
        lines.append(("", ""))
    lines.append(("Signs", "strong"))
    lines += [(f"  {glyphs.marks[mark]} {meaning}", mark) for mark, meaning in STATES]
    lines += [("", ""), ("Cautions", "strong"), *((f"  {caution}", "") for caution in CAUTIONS)]
    return lines


class HelpScreen(FittedScreen[None]):
    """The help page.

    Args:
        scopes: Scopes of the screen beneath.
        glyphs: Signs of the screen.
    """

    SCOPES = ("help", "text")
    BINDINGS: ClassVar[list[BindingType]] = [*bindings("help")]

    def __init__(self, scopes: Sequence[Scope], glyphs: Glyphs) -> None:
        super().__init__(glyphs)
        self._scopes = scopes

    def compose_parts(self) -> Iterable[Widget]:
        """Title and text."""
        yield Lines(lambda _: [[(" What the keys do", "strong")]], id="title")
        yield TextPane(id="help")

    def on_mount(self) -> None:
        """Show the text."""
        pane = self.query_one("#help", TextPane)
        pane.set_text(help_lines(self._scopes, self.glyphs))
        self.set_focus(pane)

    def action_leave(self) -> None:
        """Go back."""
        self.dismiss(None)
