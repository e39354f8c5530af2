"""Parts that may be one and the same: their numbers differ only in how they are written."""

from collections.abc import Sequence
from itertools import groupby
from typing import ClassVar

from textual.binding import BindingType

from bomtui.tui.catalog import CatalogSource
from bomtui.tui.glyphs import Glyphs
from bomtui.tui.screens.catalog.frame import CatalogFrame
from bomtui.tui.screens.catalog.part import PartScreen
from bomtui.tui.screens.catalog.rows import first_open
from bomtui.tui.user_commands import bindings
from bomtui.tui.widgets.columns import Column
from bomtui.tui.widgets.rows import Row

NONE_FOUND = "No two parts have numbers that differ only in how they are written."


class DoublesScreen(CatalogFrame[str | None]):
    """Parts that may be doubles; ends with what was written last, or with None."""

    SCOPES = ("doubles", "sheet")
    BINDINGS: ClassVar[list[BindingType]] = [*bindings("doubles")]
    COLUMNS = (Column("Part", max_width=40), Column("Number", max_width=30), Column("Maker", max_width=40))

    def __init__(self, catalog: CatalogSource, glyphs: Glyphs) -> None:
        super().__init__(catalog, glyphs)
        self._said: str | None = None

    def head(self) -> str:
        """What the screen shows."""
        return "Doubles in the catalog"

    def more_head(self) -> Sequence[str]:
        """What counts as a double."""
        return ("Numbers that differ only in separators, capitals, or letters written for digits; enter opens a part.",)

    def fetch(self) -> object:
        """Read every part number."""
        return self.catalog.doubles()

    def show_fetched(self, result: object) -> None:
        """Show them by number."""
        if not isinstance(result, tuple):
            return
        rows: list[Row] = []
        for number, group in groupby(result, key=lambda own: own.number):
            same = list(group)
            rows.append(Row(f"\x1e{number}", 0, (f"{number}: {len(same)}", "", ""), has_children=True))
            rows += [Row(own.key, 1, (own.key, own.mpn, own.maker)) for own in same]
        self.sheet.empty = NONE_FOUND
        self.sheet.set_rows(rows)
        self.sheet.open_rows(first_open(rows))

    async def take(self, row: Row) -> None:
        """Open the part."""
        await self.app.push_screen(PartScreen(self.catalog, row.key, self.glyphs), self._came_back)

    def _came_back(self, said: str | None) -> None:
        """Look anew: what was written may have been one of them."""
        if said:
            self._said = said
            self.fetch_anew()
            self.say(said)

    def action_leave(self) -> None:
        """Go back."""
        self.dismiss(self._said)
