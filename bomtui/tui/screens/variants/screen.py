"""Choosing another variant."""

from collections.abc import Iterable, Sequence
from typing import ClassVar

from textual.binding import BindingType
from textual.widget import Widget

from bomtui.tui.glyphs import Glyphs
from bomtui.tui.screens.fitted import FittedScreen
from bomtui.tui.user_commands import bindings
from bomtui.tui.view import VariantChoice
from bomtui.tui.widgets.columns import Column
from bomtui.tui.widgets.lines import Lines
from bomtui.tui.widgets.rows import Row
from bomtui.tui.widgets.sheet import Sheet

COLUMNS = (Column("Variant"), Column("Name"), Column("Remark"))


class VariantsScreen(FittedScreen[str | None]):
    """The variants of a proposal; ends with the id of the chosen one, or with None.

    Args:
        variants: The variants.
        current: Id of the one that is shown.
        glyphs: Signs of the screen.
    """

    SCOPES = ("variants", "sheet")
    BINDINGS: ClassVar[list[BindingType]] = [*bindings("variants")]

    def __init__(self, variants: Sequence[VariantChoice], current: str, glyphs: Glyphs) -> None:
        super().__init__(glyphs)
        self._variants = variants
        self._current = current

    def compose_parts(self) -> Iterable[Widget]:
        """Title and list."""
        yield Lines(lambda _: [[(" Which variant?", "strong"), ("   enter takes it", "quiet")]], id="title")
        empty = "This proposal has no variants yet: add one to its file."
        yield Sheet(COLUMNS, self.glyphs, id="list", take=self._take, empty=empty)

    def on_mount(self) -> None:
        """Show the variants with the cursor on the one that is shown."""
        sheet = self.query_one("#list", Sheet)
        sheet.set_rows([Row(choice.id, 0, (choice.id, choice.title, choice.note)) for choice in self._variants])
        sheet.reveal(self._current)
        self.set_focus(sheet)

    def _take(self, row: Row) -> None:
        self.dismiss(row.key)

    def action_next(self) -> None:
        """Go to the next variant, from the last one to the first."""
        sheet = self.query_one("#list", Sheet)
        keys = [choice.id for choice in self._variants]
        if sheet.cursor_row is not None:
            sheet.reveal(keys[(keys.index(sheet.cursor_row.key) + 1) % len(keys)])

    def action_leave(self) -> None:
        """Go back without changing the variant."""
        self.dismiss(None)
