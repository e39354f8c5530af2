"""The outline of a wide terminal: the outermost lines of the sheet with their states, one cursor with the sheet."""

from collections.abc import Iterable

from textual import on
from textual.widget import Widget

from bomtui.tui.screens.rollup.rows import STATE, TITLES, TreeKind, outermost_key
from bomtui.tui.screens.rollup.work import Work
from bomtui.tui.widgets.columns import Column
from bomtui.tui.widgets.rows import Row
from bomtui.tui.widgets.sheet import Sheet

SHORTEST_NAME = 8
"""Cells of a name that stay beside the state."""


def outline_columns(tree: TreeKind) -> tuple[Column, ...]:
    """Columns of the outline; the state comes by itself."""
    return (Column(TITLES[tree]),)


def outline_rows(rows: Iterable[Row]) -> list[Row]:
    """The outermost of some rows, without figures and without what is inside."""
    return [Row(row.key, 0, row.cells[:1], mark=row.mark, word=row.word) for row in rows if not row.depth]


class Outlining(Work):
    """The part of the working screen that has an outline."""

    @property
    def sheet(self) -> Sheet:
        """The sheet of all lines."""
        return self.query_one("#sheet", Sheet)

    @property
    def outline(self) -> Sheet:
        """The sheet of the outermost lines."""
        return self.query_one("#outline", Sheet)

    def compose_outline(self) -> Iterable[Widget]:
        """The outline; it stands at the left, and is reached behind everything else."""
        columns = outline_columns("modules")
        yield Sheet(
            columns,
            self.glyphs,
            id="outline",
            take=self._go_into_sheet,
            state_title=STATE,
            min_name_width=SHORTEST_NAME,
        )

    def show_outline(self, tree: TreeKind, state_title: str) -> None:
        """Show the outermost lines of what the sheet shows."""
        self.outline.set_rows(outline_rows(self.sheet.rows), outline_columns(tree), state_title=state_title)
        self.follow_sheet()

    def follow_sheet(self) -> None:
        """Put the outline's cursor on the line that the sheet's cursor stands in."""
        row, own = self.sheet.cursor_row, self.outline.cursor_row
        if row is not None and own is not None and own.key != outermost_key(row.key):
            self.outline.reveal(outermost_key(row.key))

    @property
    def cursor_key(self) -> str | None:
        """Key of the line that is meant: that of the outline at once where the sheet has not followed it yet."""
        row, own = self.sheet.cursor_row, self.outline.cursor_row
        if row is None:
            return None
        if own is not None and self.outline.has_focus and own.key != outermost_key(row.key):
            return own.key
        return row.key

    @on(Sheet.Moved, "#outline")
    def _follow_outline(self) -> None:
        """Put the sheet's cursor on the line of the outline, unless it stands in it already."""
        key = self.cursor_key
        row = self.sheet.cursor_row
        if key is not None and row is not None and key != row.key:
            self.sheet.reveal(key)

    def _go_into_sheet(self, row: Row) -> None:
        self.sheet.reveal(row.key)
        self.set_focus(self.sheet)
