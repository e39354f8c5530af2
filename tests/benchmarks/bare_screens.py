"""The other side of the screen's ratios: the least that the screen library needs for the like.

`python -m tests.benchmarks.bare_screens first` shows an input, a table of 200 rows and a footer;
`... grid` shows a line-API grid in which each `e` rewrites one cell and ten totals.
"""

import sys
from typing import ClassVar

from rich.segment import Segment
from textual.app import App, ComposeResult
from textual.binding import BindingType
from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget
from textual.widgets import DataTable, Footer, Input

ROWS = 200
TOTALS = 10
CELL_WIDTH = 12


class FirstApp(App[None]):
    """An input, a table of 200 rows and a footer."""

    BINDINGS: ClassVar[list[BindingType]] = [("ctrl+q", "quit", "quit")]

    def compose(self) -> ComposeResult:
        """The three widgets."""
        yield Input()
        yield DataTable()
        yield Footer()

    def on_mount(self) -> None:
        """Fill the table."""
        table = self.query_one(DataTable)
        table.add_columns("name", "current", "cost")
        for row in range(ROWS):
            table.add_row(f"load-{row}", f"{row / 10} A", f"{row / 100} EUR")


class Grid(Widget, can_focus=True):
    """Ten totals above a column of cells."""

    BINDINGS: ClassVar[list[BindingType]] = [("e", "edit", "edit")]
    count = 0

    def render_line(self, y: int) -> Strip:
        """A line of totals, or a cell."""
        if y == 0:
            text = "".join(f"total {self.count + number}".ljust(CELL_WIDTH) for number in range(TOTALS))
        else:
            text = f"cell {self.count if y == 1 else y}"
        return Strip([Segment(text[: self.size.width].ljust(self.size.width), self.rich_style)], self.size.width)

    def action_edit(self) -> None:
        """Rewrite one cell and the totals."""
        self.count += 1
        self.refresh(Region(0, 0, self.size.width, 2))


class GridApp(App[None]):
    """The grid alone."""

    def compose(self) -> ComposeResult:
        """The grid."""
        yield Grid()

    def on_mount(self) -> None:
        """Let it take keys."""
        self.query_one(Grid).focus()


if __name__ == "__main__":
    {"first": FirstApp, "grid": GridApp}[sys.argv[1]]().run()
