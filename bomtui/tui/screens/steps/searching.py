"""Finding a line by a word in its name."""

from collections.abc import Sequence
from typing import ClassVar

from textual.binding import BindingType

from bomtui.tui.screens.steps.steps import Result, Steps
from bomtui.tui.user_commands import bindings
from bomtui.tui.widgets.prompt_line import PromptLine
from bomtui.tui.widgets.rows import Row
from bomtui.tui.widgets.sheet import Sheet


class Searching(Steps[Result]):
    """The part of a screen that finds lines of its sheet; the screen has a line `#find` to type in."""

    BINDINGS: ClassVar[list[BindingType]] = [*bindings("find")]
    _word = ""

    def action_find(self) -> None:
        """Ask for a word and go to the next row with it."""

        def answered(word: str) -> None:
            self._word = word.strip() or self._word
            self._find(1)

        self.query_one("#find", PromptLine).ask("Find:", "", answered)

    def action_find_next(self) -> None:
        """Go to the next row with the word."""
        self._find(1)

    def action_find_previous(self) -> None:
        """Go to the previous row with the word."""
        self._find(-1)

    def _find(self, step: int) -> None:
        if not self._word:
            self.say("Nothing to find yet: / asks for a word.")
            return
        sheet = self.query_one("#sheet", Sheet)
        row = sheet.cursor_row
        key = find(sheet.rows, self._word, row.key if row else None, step)
        if key is None:
            self.say(f"No line holds {self._word!r}.")
        else:
            sheet.reveal(key)


def find(rows: Sequence[Row], word: str, start: str | None, step: int) -> str | None:
    """Key of the next row whose name holds the word, whatever its case, going around; None if there is none.

    Args:
        rows: All rows, visible or not.
        word: What is looked for.
        start: Key of the row to start behind.
        step: 1 forwards, -1 backwards.
    """
    wanted = word.casefold()
    at = next((index for index, row in enumerate(rows) if row.key == start), 0)
    for distance in range(1, len(rows) + 1):
        row = rows[(at + step * distance) % len(rows)]
        if wanted in row.cells[0].casefold():
            return row.key
    return None
