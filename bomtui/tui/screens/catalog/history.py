"""The steps in which people changed the catalog, and taking the last one back."""

import asyncio
from collections.abc import Sequence
from typing import ClassVar

from textual.binding import BindingType

from bomtui.tui.catalog import CatalogSource, HistoryStep
from bomtui.tui.glyphs import Glyphs
from bomtui.tui.screens.catalog.frame import CatalogFrame
from bomtui.tui.user_commands import bindings
from bomtui.tui.widgets.columns import Column
from bomtui.tui.widgets.rows import Row

NOTHING = "Nobody has changed a part of this catalog yet."


class HistoryScreen(CatalogFrame[str | None]):
    """The catalog's own history; ends with what was taken back last, or with None."""

    SCOPES = ("catalog_history", "sheet")
    BINDINGS: ClassVar[list[BindingType]] = [*bindings("catalog_history")]
    COLUMNS = (Column("What", max_width=60), Column("Parts", align="right"), Column("When"))
    STATE_TITLE = "State"

    def __init__(self, catalog: CatalogSource, glyphs: Glyphs) -> None:
        super().__init__(catalog, glyphs)
        self._steps: tuple[HistoryStep, ...] = ()
        self._said: str | None = None

    def head(self) -> str:
        """What the screen shows."""
        return "What was changed in the catalog"

    def more_head(self) -> Sequence[str]:
        """Whose history it is."""
        return ("The catalog's own history: u takes its last step back; undo of a proposal does not reach it.",)

    def fetch(self) -> object:
        """Read the steps."""
        return self.catalog.history()

    def show_fetched(self, result: object) -> None:
        """Show the steps."""
        if not isinstance(result, tuple):
            return
        self._steps = result
        self.sheet.empty = NOTHING
        self.sheet.set_rows(
            [
                Row(str(own.id), 0, (own.label, str(own.parts), own.made_at), word="taken back" if own.undone else "")
                for own in self._steps
            ]
        )

    def row_sentence(self) -> str:
        """The step in full."""
        row = self.sheet.cursor_row
        return "" if row is None else f"{row.cells[2] or 'at an unknown time'}: {row.cells[0]}"

    def take(self, row: Row) -> None:
        """Enter does nothing on a step."""
        del row

    async def action_undo(self) -> None:
        """Tell what the last step did, and take it back where that is wanted."""
        last = next((own for own in self._steps if not own.undone), None)
        if last is None:
            self.say("There is no step to take back.")
            return

        async def go_ahead() -> None:
            outcome = await asyncio.to_thread(self.catalog.undo, last.id)
            if outcome.state == "done":
                self._said = outcome.message
            self.fetch_anew()
            self.say(outcome.message)

        count = f"{last.parts} part{'' if last.parts == 1 else 's'}"
        sentences = (f"Taken back: {last.label}, {count}, {last.made_at or 'at an unknown time'}.",)
        await self.confirm(
            "Take the last step of the catalog back?", sentences, "all of it or nothing", go_ahead,
            "Nothing was taken back.",
        )  # fmt: skip

    def action_leave(self) -> None:
        """Go back."""
        self.dismiss(self._said)
