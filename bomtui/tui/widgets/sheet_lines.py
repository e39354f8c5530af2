"""Header and rows of a sheet as text of exact width: plain data, no widget."""

from collections.abc import Sequence
from dataclasses import dataclass

from bomtui.tui.glyphs import Glyphs
from bomtui.tui.marks import Mark
from bomtui.tui.text import fit, width_of
from bomtui.tui.widgets.columns import CURSOR_WIDTH, MORE_WIDTH, Column, Layout, lay_out
from bomtui.tui.widgets.rows import Row

INDENT = 2
FOLD_WIDTH = 2
WIDEST_STATE = 24


@dataclass(frozen=True, slots=True)
class Measures:
    """Cells that the texts of a sheet would like.

    Attributes:
        natural: By column.
        state_width: Of the state; 0 for a sheet without states.
        fold_width: Of the fold signs; 0 where no row has rows inside.
    """

    natural: tuple[int, ...]
    state_width: int
    fold_width: int

    def widened(self, other: "Measures") -> "Measures":
        """Measures that are enough for both."""
        return Measures(
            tuple(map(max, self.natural, other.natural)),
            max(self.state_width, other.state_width),
            max(self.fold_width, other.fold_width),
        )


def measure(rows: Sequence[Row], columns: Sequence[Column], state_title: str, *, folds: bool = False) -> Measures:
    """The widest text of each column, whether visible or not, so that opening and closing moves nothing sideways.

    Args:
        rows: The rows.
        columns: The columns.
        state_title: Title of the state column; empty for a sheet without states.
        folds: Whether rows beside these have rows inside.
    """
    fold_width = FOLD_WIDTH if folds or any(row.has_children for row in rows) else 0
    widths = [max(column.min_width, width_of(column.heading)) for column in columns]
    widths[0] += fold_width
    state_width = width_of(state_title)
    for row in rows:
        widths[0] = max(widths[0], row.depth * INDENT + fold_width + width_of(row.cells[0]))
        for index, text in enumerate(row.cells[1:], 1):
            if text:
                widths[index] = max(widths[index], width_of(text))
        if state_title and (row.mark or row.word):
            state_width = max(state_width, (2 if row.mark else 0) + width_of(row.word))
    natural = tuple(
        min(width, column.max_width) if column.max_width else width
        for width, column in zip(widths, columns, strict=True)
    )
    return Measures(natural, min(state_width, WIDEST_STATE), fold_width)


@dataclass(frozen=True, slots=True)
class SheetLines:
    """Draws a sheet of one width.

    Attributes:
        columns: The columns.
        measures: Cells that their texts would like.
        layout: Cells that they get.
        width: Cells of the sheet.
        state_title: Title of the state column.
        glyphs: Signs of the screen.
    """

    columns: tuple[Column, ...]
    measures: Measures
    layout: Layout
    width: int
    state_title: str
    glyphs: Glyphs

    def head(self) -> str:
        """The header."""
        layout, gap = self.layout, " " * self.layout.gap
        name = " " * self.measures.fold_width + self.columns[0].heading
        parts = [" " * CURSOR_WIDTH, fit(name, layout.name_width)]
        if layout.state_width:
            parts += [gap, fit(self.state_title, layout.state_width)]
        for number, (index, cells) in enumerate(layout.shown):
            column = self.columns[index]
            before = gap[1:] + self.glyphs.more_left if layout.hidden_left and not number else gap
            parts += [before, fit(column.heading, cells, column.align)]
        text = "".join(parts)
        if layout.hidden_right:
            text = fit(text, self.width - MORE_WIDTH) + self.glyphs.more_right
        return fit(text, self.width)

    def row(self, row: Row, *, is_open: bool, at_cursor: bool) -> list[tuple[str, Mark]]:
        """A row as texts and their states; the state column is the only one with a state."""
        layout, gap = self.layout, " " * self.layout.gap
        fold = (self.glyphs.opened if is_open else self.glyphs.closed) if row.has_children else ""
        # Where names are cut, letters are worth more than deep steps.
        step = INDENT if layout.name_width >= self.measures.natural[0] else 1
        name = " " * (row.depth * step) + fold.ljust(self.measures.fold_width) + row.cells[0]
        cursor = (self.glyphs.cursor if at_cursor else "").ljust(CURSOR_WIDTH)
        if not row.mark and not row.word and not any(row.cells[1:]):
            # Nothing stands beside the name: it may have the whole line.
            return [(cursor + fit(name, self.width - CURSOR_WIDTH, ellipsis=self.glyphs.ellipsis), "")]
        pieces: list[tuple[str, Mark]] = [
            (cursor + fit(name, layout.name_width, ellipsis=self.glyphs.ellipsis), ""),
        ]
        if layout.state_width:
            state = fit(self.glyphs.state(row.mark, row.word), layout.state_width, ellipsis=self.glyphs.ellipsis)
            pieces += [(gap, ""), (state, row.mark)]
        figures: list[str] = []
        used = CURSOR_WIDTH + layout.name_width + (layout.gap + layout.state_width if layout.state_width else 0)
        for index, cells in layout.shown:
            text = row.cells[index] if index < len(row.cells) else ""
            figures += [gap, fit(text, cells, self.columns[index].align, self.glyphs.ellipsis)]
            used += layout.gap + cells
        return [*pieces, ("".join(figures) + " " * max(0, self.width - used), "")]


def sheet_lines(
    columns: tuple[Column, ...],
    measures: Measures,
    width: int,
    first: int,
    min_name_width: int,
    state_title: str,
    glyphs: Glyphs,
) -> SheetLines:
    """What draws a sheet of this width, with the columns from the first one on."""
    layout = lay_out(measures.natural, measures.state_width, width, first, min_name_width)
    return SheetLines(columns, measures, layout, width, state_title, glyphs)
