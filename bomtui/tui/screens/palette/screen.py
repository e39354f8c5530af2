"""The palette: every command of the screen beneath, found by a piece of its name."""

from collections.abc import Iterable, Sequence
from typing import ClassVar

from textual import on
from textual.binding import BindingType
from textual.widget import Widget
from textual.widgets import Input

from bomtui.tui.glyphs import Glyphs
from bomtui.tui.screens.choice.screen import ChoiceScreen
from bomtui.tui.screens.palette.rows import choice_of, matching
from bomtui.tui.user_commands import UserCommand, bindings
from bomtui.tui.widgets.prompt_line import PlainInput, PromptLine
from bomtui.tui.widgets.sheet import Sheet


class NameLine(PromptLine):
    """The line in which a name is typed; leaving it leaves the palette."""

    def action_cancel(self) -> None:
        """Close the line and the screen."""
        super().action_cancel()
        self.screen.dismiss(None)


class PaletteScreen(ChoiceScreen):
    """Commands of which one is found by typing; ends with its id, or with None.

    Args:
        commands: The commands.
        glyphs: Signs of the screen.
    """

    SCOPES = ("palette",)
    BINDINGS: ClassVar[list[BindingType]] = [*bindings("palette")]

    def __init__(self, commands: Sequence[UserCommand], glyphs: Glyphs) -> None:
        empty = "No command holds that in its name or in what it does."
        super().__init__("Do what?", [choice_of(own) for own in commands], glyphs, empty=empty)
        self._commands = commands
        self._word = ""

    def compose_parts(self) -> Iterable[Widget]:
        """The commands, and the line for a piece of the name."""
        yield from super().compose_parts()
        yield NameLine(id="word")

    def begin(self) -> None:
        """What is typed from the next key on is a piece of the name."""
        self._ask("")

    def _ask(self, word: str) -> None:
        self.query_one(NameLine).ask("Command:", word, self._answered)

    def _answered(self, word: str) -> None:
        """End with the command under the cursor; where there is none, the name is there to be mended."""
        self._narrow(word)
        row = self.query_one("#list", Sheet).cursor_row
        if row is None:
            self._ask(word)
        else:
            self.dismiss(row.key)

    def _narrow(self, word: str) -> None:
        """Show what holds a text, the cursor on the first; nothing moves where that is shown already."""
        if word == self._word:
            return
        self._word = word
        found = [choice_of(own) for own in matching(self._commands, word)]
        self.show_choices(found)
        self.query_one("#list", Sheet).action_first()

    @on(Input.Changed)
    def _typed(self, message: Input.Changed) -> None:
        self._narrow(message.value)

    def _sheet_of_typed(self) -> Sheet:
        """The sheet, showing what is typed by now: a key may come before the message that tells of the one before."""
        self._narrow(self.query_one(PlainInput).value)
        return self.query_one("#list", Sheet)

    def action_up(self) -> None:
        """One line up."""
        self._sheet_of_typed().action_up()

    def action_down(self) -> None:
        """One line down."""
        self._sheet_of_typed().action_down()

    def action_page_up(self) -> None:
        """One page up."""
        self._sheet_of_typed().action_page_up()

    def action_page_down(self) -> None:
        """One page down."""
        self._sheet_of_typed().action_page_down()
