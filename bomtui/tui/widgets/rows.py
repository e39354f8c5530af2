"""Rows of a sheet and which of them are visible: plain data, no screen library."""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass

from bomtui.tui.marks import Mark


@dataclass(frozen=True, slots=True)
class Row:
    """One line of a sheet.

    Attributes:
        key: What the row is, unique in its sheet; the cursor and the open rows are kept by it.
        depth: 0 for the outermost rows; rows stand before the rows inside them.
        cells: Texts by column, the first being the name.
        has_children: Whether rows stand inside it.
        mark: Its state.
        word: Its state in words, never missing where there is a mark.
    """

    key: str
    depth: int
    cells: tuple[str, ...]
    has_children: bool = False
    mark: Mark = ""
    word: str = ""


def visible_rows(rows: Iterable[Row], open_keys: Collection[str]) -> list[Row]:
    """The rows that stand in no closed row."""
    shown: list[Row] = []
    closed_depth: int | None = None
    for row in rows:
        if closed_depth is not None and row.depth > closed_depth:
            continue
        closed_depth = row.depth if row.has_children and row.key not in open_keys else None
        shown.append(row)
    return shown


def parent_keys(rows: Iterable[Row]) -> dict[str, str]:
    """Key of the row that each row stands in; outermost rows are missing."""
    parents: dict[str, str] = {}
    around: list[Row] = []
    for row in rows:
        while around and around[-1].depth >= row.depth:
            around.pop()
        if around:
            parents[row.key] = around[-1].key
        around.append(row)
    return parents


def _others(before: Sequence[Row], after: Sequence[Row]) -> list[Row] | None:
    """The rows that are not the very same ones, where each stands for the same as the one before it; else None."""
    if len(before) != len(after):
        return None
    pairs = [(old, new) for old, new in zip(before, after, strict=True) if old is not new]
    if any((old.key, old.depth, old.has_children) != (new.key, new.depth, new.has_children) for old, new in pairs):
        return None
    return [new for _, new in pairs]


class Outline:
    """All rows of a sheet, the open ones, the visible ones and the row under the cursor.

    Attributes:
        rows: All rows.
        visible: The rows that stand in no closed row.
        open_keys: Keys of the open rows.
        cursor: Index of the cursor in `visible`; 0 in an empty sheet.
    """

    def __init__(self) -> None:
        self.rows: tuple[Row, ...] = ()
        self.visible: list[Row] = []
        self.open_keys: set[str] = set()
        self.cursor = 0
        self._index: dict[str, int] = {}
        self._parents: dict[str, str] = {}

    @property
    def cursor_row(self) -> Row | None:
        """The row under the cursor; None in an empty sheet."""
        return self.visible[self.cursor] if self.visible else None

    def set_rows(self, rows: Sequence[Row]) -> list[Row] | None:
        """Take new rows; the cursor stays on its row, or on the nearest row around it that is still there.

        Returns:
            The rows that are others than before, where all rows are where they were; else None.

        Raises:
            ValueError: If two rows have one key.
        """
        others = _others(self.rows, rows)
        if others is None:
            self._set_all_rows(rows)
        else:
            self.rows = tuple(rows)
            for row in others:
                if row.key in self._index:
                    self.visible[self._index[row.key]] = row
        return others

    def _set_all_rows(self, rows: Sequence[Row]) -> None:
        keys = {row.key for row in rows}
        if len(keys) != len(rows):
            raise ValueError("two rows of a sheet have the same key")
        wanted, old_parents = self.cursor_row, self._parents
        self.rows, self._parents = tuple(rows), parent_keys(rows)
        self._flatten()
        key = wanted.key if wanted else None
        while key is not None:
            if key in keys:
                self.cursor = self._nearest_visible(key)
                return
            key = old_parents.get(key)
        self.cursor = min(self.cursor, max(0, len(self.visible) - 1))

    def move_to(self, index: int) -> None:
        """Put the cursor on a visible row, or on the last or first one where the index is beyond."""
        self.cursor = max(0, min(index, len(self.visible) - 1))

    def set_open(self, key: str, *, is_open: bool) -> None:
        """Open or close one row; the cursor of a row that vanishes moves to the row it stood in."""
        (self.open_keys.add if is_open else self.open_keys.discard)(key)
        self._flatten_around_cursor()

    def set_all_open(self, *, is_open: bool) -> None:
        """Open or close all rows that have rows inside."""
        self.open_keys = {row.key for row in self.rows if row.has_children} if is_open else set()
        self._flatten_around_cursor()

    def reveal(self, key: str) -> bool:
        """Open the rows around a row and put the cursor on it; False if there is no such row."""
        if key not in self._index and all(row.key != key for row in self.rows):
            return False
        parent = self._parents.get(key)
        while parent is not None:
            self.open_keys.add(parent)
            parent = self._parents.get(parent)
        self._flatten()
        self.cursor = self._index[key]
        return True

    def parent_index(self) -> int | None:
        """Index of the row that the cursor's row stands in; None for an outermost row."""
        row = self.cursor_row
        return None if row is None or row.key not in self._parents else self._index[self._parents[row.key]]

    def _flatten_around_cursor(self) -> None:
        row = self.cursor_row
        self._flatten()
        if row is not None:
            self.cursor = self._nearest_visible(row.key)

    def _flatten(self) -> None:
        self.visible = visible_rows(self.rows, self.open_keys)
        self._index = {row.key: index for index, row in enumerate(self.visible)}

    def _nearest_visible(self, key: str) -> int:
        while key not in self._index:
            key = self._parents[key]
        return self._index[key]
