"""Two to four parts side by side: the fields in which they differ first."""

from collections.abc import Sequence
from typing import ClassVar

from textual.binding import BindingType

from bomtui.tui.catalog import CatalogSource, SideBySide
from bomtui.tui.glyphs import Glyphs
from bomtui.tui.screens.catalog.frame import CatalogFrame
from bomtui.tui.screens.catalog.rows import UNKNOWN, first_open, side_columns, side_rows
from bomtui.tui.user_commands import bindings
from bomtui.tui.widgets.rows import Row


class SideBySideScreen(CatalogFrame[None]):
    """Parts side by side.

    Args:
        catalog: The catalog.
        keys: Their keys.
        glyphs: Signs of the screen.
    """

    SCOPES = ("side_by_side", "sheet")
    BINDINGS: ClassVar[list[BindingType]] = [*bindings("side_by_side")]

    def __init__(self, catalog: CatalogSource, keys: tuple[str, ...], glyphs: Glyphs) -> None:
        super().__init__(catalog, glyphs)
        self._keys = keys
        self._sides: SideBySide | None = None

    def head(self) -> str:
        """Which parts they are."""
        return f"Side by side: {', '.join(self._keys)}"

    def more_head(self) -> Sequence[str]:
        """What is to be known of the values."""
        return ("As the catalog says it now; 'unknown' is no value, and nothing here is held against a need.",)

    def fetch(self) -> object:
        """Read the parts."""
        return self.catalog.side_by_side(self._keys)

    def show_fetched(self, result: object) -> None:
        """Show the fields."""
        if isinstance(result, SideBySide):
            self._sides = result
            self._show()
            self.sheet.open_rows(first_open(self.sheet.rows))

    def _show(self) -> None:
        if self._sides is not None:
            self.sheet.set_rows(side_rows(self._sides), side_columns(self._sides, self.app.size.width))

    def fitted(self) -> None:
        """Share the new width between the parts."""
        self._show()

    def row_sentence(self) -> str:
        """What the field means, and every value in full."""
        row = self.sheet.cursor_row
        fields = () if self._sides is None else self._sides.fields
        own = next((field for field in fields if row is not None and field.key == row.key), None)
        if own is None:
            return ""
        values = "; ".join(f"{key}: {text or UNKNOWN}" for key, text in zip(self._keys, own.texts, strict=True))
        return f"{own.key}: {own.help}. {values}"

    def take(self, row: Row) -> None:
        """Enter does nothing on a field."""
        del row

    def action_leave(self) -> None:
        """Go back."""
        self.dismiss(None)
