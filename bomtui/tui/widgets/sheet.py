"""A tree and a table in one: rows that open and close, figures in columns, drawn line by line."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from inspect import isawaitable
from typing import ClassVar

from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.binding import BindingType
from textual.cache import LRUCache
from textual.geometry import Region, Size
from textual.message import Message
from textual.scroll_view import ScrollView
from textual.strip import Strip

from bomtui.tui.glyphs import Glyphs
from bomtui.tui.text import fit
from bomtui.tui.user_commands import bindings
from bomtui.tui.widgets.columns import CURSOR_WIDTH, Column
from bomtui.tui.widgets.rows import Outline, Row
from bomtui.tui.widgets.sheet_lines import INDENT, SheetLines, measure, sheet_lines

HEAD_LINES = 1
LEAST_NAME_SHARE = 0.3
"""Share of the width that the name may have before other columns are shown."""


class Sheet(ScrollView, can_focus=True, inherit_bindings=False):
    """Rows under a fixed header; the first column and the state stay, the other columns move sideways, whole ones only.

    Args:
        columns: The columns; the first one is the name.
        glyphs: Signs of the screen.
        id: Id of the widget.
        take: Called when a row that has no rows inside is taken; what it awaits is done before the next key is looked
            at, as that may be meant for what opens.
        state_title: Title of the state column; empty for a sheet without states.
        empty: What an empty sheet says: what it is for and what fills it.
        min_name_width: Cells of the name below which other columns are hidden instead.
    """

    ALLOW_SELECT = False
    BINDINGS: ClassVar[list[BindingType]] = [*bindings("sheet")]
    COMPONENT_CLASSES: ClassVar[set[str]] = {
        "sheet--head", "sheet--cursor", "sheet--group", "sheet--quiet",
        "sheet--ok", "sheet--check", "sheet--over", "sheet--unknown", "sheet--note",
    }  # fmt: skip
    DEFAULT_CSS = """
    Sheet {
        height: 1fr; width: 1fr; scrollbar-size: 0 1; scrollbar-gutter: stable; overflow-x: hidden; overflow-y: auto;
    }
    """

    @dataclass
    class Moved(Message):
        """The cursor is on another row, or on the same one with other content."""

        sheet: "Sheet"
        row: Row

        @property
        def control(self) -> "Sheet":
            """The sheet."""
            return self.sheet

    def __init__(
        self,
        columns: Sequence[Column],
        glyphs: Glyphs,
        *,
        id: str,  # noqa: A002 - the library's word
        take: Callable[[Row], object],
        state_title: str = "",
        empty: str = "",
        min_name_width: int = 20,
    ) -> None:
        super().__init__(id=id)
        self.columns = tuple(columns)
        self.first_column = 0
        self.strips_drawn = 0
        self._glyphs = glyphs
        self._take = take
        self._state_title = state_title
        self.empty = empty
        self._min_name_width = min_name_width
        self._outline = Outline()
        self._strips: LRUCache[tuple[Row, bool, bool, int, int], Strip] = LRUCache(2048)
        self._lines: SheetLines | None = None
        self._looks: dict[str, Style] = {}
        self._measures = measure((), self.columns, state_title)

    @property
    def rows(self) -> tuple[Row, ...]:
        """All rows."""
        return self._outline.rows

    @property
    def shown_rows(self) -> Sequence[Row]:
        """The rows that stand in no closed row."""
        return self._outline.visible

    @property
    def cursor_row(self) -> Row | None:
        """The row under the cursor; None in an empty sheet."""
        return self._outline.cursor_row

    def set_rows(
        self, rows: Sequence[Row], columns: Sequence[Column] | None = None, *, state_title: str | None = None
    ) -> None:
        """Show other rows; the cursor stays on its row, or on the nearest row around it that is still there.

        Only lines that differ are drawn again.

        Args:
            rows: The rows, each before the rows inside it.
            columns: The columns, where they change too.
            state_title: Title of the state column, where it changes too.
        """
        if state_title is not None and state_title != self._state_title:
            self._state_title, self._lines = state_title, None
            self.refresh(Region(0, 0, self.size.width, HEAD_LINES))
        before, widths = list(self._outline.visible), (self.columns, self._measures)
        top_distance = self._outline.cursor - self.scroll_offset.y
        if columns is not None:
            self.columns = tuple(columns)
        others = self._outline.set_rows(rows)
        if others is None or self.columns != widths[0]:
            self._measures = measure(self._outline.rows, self.columns, self._state_title)
        else:
            # As long as every row is where it was, no column becomes narrower: nothing moves sideways.
            folds = self._measures.fold_width > 0
            self._measures = self._measures.widened(measure(others, self.columns, self._state_title, folds=folds))
        after = self._outline.visible
        if widths != (self.columns, self._measures) or len(before) != len(after):
            self._redraw()
            self.scroll_to(y=self._outline.cursor - top_distance, animate=False, immediate=True)
        else:
            for index, (old, new) in enumerate(zip(before, after, strict=True)):
                if old is not new and old != new:
                    self.refresh_line(index + HEAD_LINES)
        self._show_cursor()

    def reveal(self, key: str) -> bool:
        """Open the rows around a row and go there; False if there is no such row."""
        found = self._outline.reveal(key)
        if found:
            self._redraw()
            self._show_cursor()
        return found

    def open_rows(self, keys: Sequence[str]) -> None:
        """Open some rows without moving the cursor."""
        for key in keys:
            self._outline.set_open(key, is_open=True)
        self._redraw()

    def _redraw(self) -> None:
        self._strips.clear()
        self._lines = None
        self.virtual_size = Size(self.scrollable_content_region.width, len(self._outline.visible) + HEAD_LINES)
        self.refresh()

    def on_resize(self, event: events.Resize) -> None:  # noqa: ARG002 - the library's call
        """Share the new width between the columns; the cursor stays in sight."""
        self._redraw()
        self._scroll_to_cursor()

    def notify_style_update(self) -> None:
        """Forget the drawn lines: colours or focus changed."""
        super().notify_style_update()
        self._strips.clear()
        self._looks.clear()

    def _drawn(self, width: int) -> SheetLines:
        """What draws the sheet at this width."""
        if self._lines is None or self._lines.width != width:
            self._lines = sheet_lines(
                self.columns,
                self._measures,
                width,
                self.first_column,
                max(self._min_name_width, int(width * LEAST_NAME_SHARE)),
                self._state_title,
                self._glyphs,
            )
            self.first_column = self._lines.layout.hidden_left
        return self._lines

    def render_line(self, y: int) -> Strip:
        """The header or one row."""
        width = self.scrollable_content_region.width
        if y < HEAD_LINES:
            return Strip([Segment(self._drawn(width).head(), self._look("head"))], width)
        index = self.scroll_offset.y + y - HEAD_LINES
        if index >= len(self._outline.visible):
            return self._blank(index, width)
        row = self._outline.visible[index]
        at_cursor = index == self._outline.cursor
        key = (row, row.key in self._outline.open_keys, at_cursor, self.first_column, width)
        strip = self._strips.get(key)
        if strip is None:
            strip = self._strips[key] = self._row(row, at_cursor=at_cursor, width=width)
        return strip

    def _blank(self, index: int, width: int) -> Strip:
        if index == 1 and not self._outline.visible and self.empty:
            quiet = self._look("") + self._look("quiet")
            text = fit(" " * CURSOR_WIDTH + self.empty, width, ellipsis=self._glyphs.ellipsis)
            return Strip([Segment(text, quiet)], width)
        return Strip.blank(width, self._look(""))

    def _row(self, row: Row, *, at_cursor: bool, width: int) -> Strip:
        self.strips_drawn += 1
        ground = self._look("cursor") if at_cursor else self._look("")
        if row.has_children:
            ground += self._look("group")
        pieces = self._drawn(width).row(row, is_open=row.key in self._outline.open_keys, at_cursor=at_cursor)
        segments = [
            Segment(text, ground + self._look(mark) if mark and not at_cursor else ground) for text, mark in pieces
        ]
        return Strip(segments, width)

    def _look(self, name: str) -> Style:
        """A style of the sheet; the library would look it up anew after every change of a line."""
        if name not in self._looks:
            # Not the partial style for the cursor: it would lose the cursor's ground.
            is_partial = name not in {"head", "cursor"}
            own = self.get_component_rich_style(f"sheet--{name}", partial=is_partial) if name else self.rich_style
            self._looks[name] = own
        return self._looks[name]

    def _scroll_to_cursor(self) -> None:
        top, height = self.scroll_offset.y, max(1, self.size.height - HEAD_LINES)
        cursor = self._outline.cursor
        if cursor < top:
            self.scroll_to(y=cursor, animate=False, immediate=True, force=True)
        elif cursor >= top + height:
            # Rows that have just come have no scrollbar yet, without which the library moves nothing unless forced.
            self.scroll_to(y=cursor - height + 1, animate=False, immediate=True, force=True)

    def _show_cursor(self) -> None:
        self._scroll_to_cursor()
        row = self._outline.cursor_row
        if row is not None:
            self.post_message(self.Moved(self, row))

    def _move_to(self, index: int) -> None:
        before = self._outline.cursor
        self._outline.move_to(index)
        if self._outline.cursor == before:
            return
        for line in (before, self._outline.cursor):
            self.refresh_line(line + HEAD_LINES)
        self._show_cursor()

    def _page(self) -> int:
        return max(1, self.size.height - HEAD_LINES - 1)

    def _set_open(self, *, is_open: bool) -> None:
        row = self._outline.cursor_row
        if row is not None:
            self._outline.set_open(row.key, is_open=is_open)
            self._redraw()
            self._show_cursor()

    def action_up(self) -> None:
        """One line up."""
        self._move_to(self._outline.cursor - 1)

    def action_down(self) -> None:
        """One line down."""
        self._move_to(self._outline.cursor + 1)

    def action_page_up(self) -> None:
        """One page up."""
        self._move_to(self._outline.cursor - self._page())

    def action_page_down(self) -> None:
        """One page down."""
        self._move_to(self._outline.cursor + self._page())

    def action_first(self) -> None:
        """To the first line."""
        self._move_to(0)

    def action_last(self) -> None:
        """To the last line."""
        self._move_to(len(self._outline.visible) - 1)

    def action_unfold(self) -> None:
        """Open the row; from an open row to the first one inside."""
        row = self._outline.cursor_row
        if row is None or not row.has_children:
            return
        if row.key in self._outline.open_keys:
            self._move_to(self._outline.cursor + 1)
        else:
            self._set_open(is_open=True)

    def action_fold(self) -> None:
        """Close the row; from a closed one to the row around it."""
        row, parent = self._outline.cursor_row, self._outline.parent_index()
        if row is not None and row.has_children and row.key in self._outline.open_keys:
            self._set_open(is_open=False)
        elif parent is not None:
            self._move_to(parent)

    async def action_choose(self) -> None:
        """Open or close a row with rows inside, take one without."""
        row = self._outline.cursor_row
        if row is None:
            return
        if row.has_children:
            self._set_open(is_open=row.key not in self._outline.open_keys)
        else:
            taken = self._take(row)
            if isawaitable(taken):
                await taken

    def action_unfold_all(self) -> None:
        """Open all rows."""
        self._outline.set_all_open(is_open=True)
        self._redraw()
        self._show_cursor()

    def action_fold_all(self) -> None:
        """Close all rows."""
        self._outline.set_all_open(is_open=False)
        self._redraw()
        self._show_cursor()

    def action_columns_right(self) -> None:
        """Show columns further right."""
        layout = self._drawn(self.scrollable_content_region.width).layout
        if layout.hidden_right:
            self.first_column += 1
            self._redraw()

    def action_columns_left(self) -> None:
        """Show columns further left."""
        if self.first_column:
            self.first_column -= 1
            self._redraw()

    async def on_click(self, event: events.Click) -> None:
        """Go to the clicked row; a click on its fold sign opens or closes it."""
        index = self.scroll_offset.y + event.y - HEAD_LINES
        if event.y < HEAD_LINES or index >= len(self._outline.visible):
            return
        self._move_to(index)
        row = self._outline.visible[index]
        if row.has_children and event.x < CURSOR_WIDTH + row.depth * INDENT + self._measures.fold_width:
            await self.action_choose()
