"""How a package is written: a line per wish, enter takes its next value."""

from bomtui.tui.glyphs import Glyphs
from bomtui.tui.screens.choice.screen import Choice, ChoiceScreen
from bomtui.tui.screens.package.rows import WRITE, next_value, wish_lines
from bomtui.tui.view import PackageWishes
from bomtui.tui.widgets.rows import Row

__all__ = ["WRITE", "PackageScreen"]


class PackageScreen(ChoiceScreen):
    """Asks how a package is written; ends with `WRITE`, or with None.

    Attributes:
        wishes: What is wished.
    """

    def __init__(self, glyphs: Glyphs) -> None:
        self.wishes = PackageWishes()
        super().__init__(
            "Package of the quotation",
            self._lines(),
            glyphs,
            sentences=("Enter on a line takes its next value; on the first line it goes on to the folder.",),
        )

    def _take(self, row: Row) -> None:
        if row.key == WRITE:
            self.dismiss(WRITE)
            return
        self.wishes = next_value(self.wishes, row.key)
        self.show_choices(self._lines())

    def _lines(self) -> list[Choice]:
        return [Choice(*line) for line in wish_lines(self.wishes)]
