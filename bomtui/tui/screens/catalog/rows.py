"""Pages of a long answer, a part, and parts side by side, as rows: plain data, no screen library."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Literal

from bomtui.services.catalog import Wish
from bomtui.services.part_draft import GROUPS, PartField
from bomtui.services.part_words import kind_words
from bomtui.tui.catalog import CatalogLine, CatalogPage, PartView, SideBySide, UsedIn
from bomtui.tui.marks import Mark
from bomtui.tui.widgets.columns import Column
from bomtui.tui.widgets.rows import Row

HELD_PAGES = 4
"""Pages that are held at once: however long the answer is, the sheet has no more rows than these."""
AHEAD_ROWS = 120
"""Rows from the end of what is held at which the next page is asked for."""
MOST_MARKED = 4
UNKNOWN = "unknown"
NOT_GIVEN = "\x1enot given"
HISTORY = "\x1ehistory"
USES = "\x1euses"
RUNG = "\x1erung "
OTHER = "\x1eother "
SHORT_TEXT = 46
PART_COLUMNS = (Column("Field", max_width=34), Column("Value", max_width=SHORT_TEXT))
_NAME_CELLS = 24
_LEAST_CELLS = 9


class Window:
    """The pages of an answer that are held, and where the pages before and behind them begin."""

    def __init__(self) -> None:
        self._marks: list[object | None] = []
        self._counts: list[int] = []
        self._first = 0
        self._pages: list[CatalogPage] = []

    def begin(self, page: CatalogPage) -> None:
        """Take the first page of another answer."""
        self._marks, self._counts, self._first, self._pages = [None, page.after], [len(page.lines)], 0, [page]

    @property
    def lines(self) -> tuple[CatalogLine, ...]:
        """The parts that are held, each once: one that was changed meanwhile may stand on two pages."""
        return tuple({line.key: line for page in self._pages for line in page.lines}.values())

    @property
    def before(self) -> int:
        """How many parts stand before those that are held."""
        return sum(self._counts[: self._first])

    @property
    def has_more(self) -> bool:
        """Whether parts follow those that are held."""
        return self.mark_below is not None

    @property
    def mark_below(self) -> object | None:
        """Where the page behind those that are held begins; None where there is none."""
        return self._pages[-1].after if self._pages else None

    def wanted(self, index: int) -> Literal["", "below", "above"]:
        """Say which page is wanted where the cursor is on a row: `below`, `above`, or none."""
        if self.has_more and index >= len(self.lines) - AHEAD_ROWS:
            return "below"
        return "above" if self._first and index < AHEAD_ROWS else ""

    @property
    def mark_above(self) -> object | None:
        """Where the page before those that are held begins."""
        return self._marks[self._first - 1]

    def add_below(self, page: CatalogPage) -> None:
        """Take the page behind; the first one that is held may go."""
        number = self._first + len(self._pages)
        self._marks[number + 1 :] = [page.after]
        self._counts[number:] = [len(page.lines)]
        self._pages.append(page)
        if len(self._pages) > HELD_PAGES:
            self._pages.pop(0)
            self._first += 1

    def add_above(self, page: CatalogPage) -> None:
        """Take the page before; the last one that is held may go."""
        self._first -= 1
        self._pages.insert(0, page)
        if len(self._pages) > HELD_PAGES:
            self._pages.pop()


def list_rows(lines: Iterable[CatalogLine], marked: Sequence[str]) -> list[Row]:
    """Rows of a list; what is marked has its number in front."""
    return [
        Row(
            own.key,
            0,
            (f"{marked.index(own.key) + 1}* {own.key}" if own.key in marked else own.key, *own.cells[1:]),
            mark=own.mark,
            word=own.word,
        )
        for own in lines
    ]


def wish_words(wish: Wish) -> str:
    """What is looked for, in one line."""
    pieces = [
        f"Search {wish.text}" if wish.text else "Search: every part",
        f"kind {kind_words(wish.kind)}" if wish.kind else "",
        f"filters {'; '.join(wish.where)}" if wish.where else "",
        f"order {wish.sort.removeprefix('-')}{', largest first' if wish.sort.startswith('-') else ''}"
        if wish.sort
        else "",
        f"price at an order of {wish.quantity} {wish.currency}",
    ]
    return "   ".join(filter(None, pieces))


def part_rows(view: PartView, texts: Mapping[str, str], uses: Sequence[UsedIn] | None = None) -> list[Row]:
    """Rows of a part: what is known of it in groups, its alternates, what was changed in it, what is not given.

    Args:
        view: The part.
        texts: Texts that were typed and are not written yet, by field.
        uses: Proposals beside it; None where nobody has asked.
    """
    rows: list[Row] = []
    said = [own for own in view.fields if own.text or own.key in texts]
    for group, words in GROUPS.items():
        own = [field for field in said if field.group == group]
        if own:
            rows.append(Row(f"\x1e{group}", 0, (words, ""), has_children=True))
        for field in own:
            rows += _field_rows(view, field, texts)
    extra = sorted(key for key in texts if all(field.key != key for field in view.fields))
    if extra:
        rows.append(Row("\x1eextra", 0, ("further fields", ""), has_children=True))
        rows += [Row(key, 1, (key, texts[key]), mark="note", word="not written") for key in extra]
    if view.history:
        rows.append(Row(HISTORY, 0, ("what was changed", str(len(view.history))), has_children=True))
    for number, step in enumerate(view.history):
        key = f"{HISTORY} {number}"
        rows.append(Row(key, 1, (step.title, ""), has_children=bool(step.changes)))
        rows += [Row(f"{key} {at}", 2, (line, "")) for at, line in enumerate(step.changes)]
    rows += [] if uses is None else _use_rows(uses)
    absent = [own for own in view.fields if not own.text and own.key not in texts]
    rows.append(Row(NOT_GIVEN, 0, ("not given", f"{len(absent)} fields"), has_children=True))
    rows += [Row(own.key, 1, (own.key, ""), mark="", word="") for own in absent]
    return rows


def _use_rows(uses: Sequence[UsedIn]) -> Iterator[Row]:
    own = "proposal" if len(uses) == 1 else "proposals"
    yield Row(USES, 0, ("where used", f"{len(uses)} {own} opened lately, as the files are"), has_children=bool(uses))
    for number, use in enumerate(uses):
        key = f"{USES} {number}"
        yield Row(key, 1, (use.title, ""), bool(use.lines), use.mark, use.word)
        for at, line in enumerate(use.lines):
            yield Row(f"{key} {at}", 2, (line, ""))


def _field_rows(view: PartView, field: PartField, texts: Mapping[str, str]) -> list[Row]:
    typed = texts.get(field.key)
    mark: Mark = "" if typed is None else "note"
    word = "not written" if typed is not None else "invented" if field.is_invented else ""
    shown = field.shown if typed is None else typed or f"{UNKNOWN}, was {field.shown}"
    inner: list[Row] = []
    if typed is None and field.key == "breaks" and len(view.rungs) > 1:
        inner = [Row(f"{RUNG}{number}", 2, (rung, "")) for number, rung in enumerate(view.rungs)]
    if typed is None and field.key == "alternates":
        inner = [Row(f"{OTHER}{own.key}", 2, (own.key, own.note)) for own in view.alternates]
    return [Row(field.key, 1, (field.key, shown), bool(inner), mark, word), *inner]


def first_open(rows: Iterable[Row]) -> list[str]:
    """Keys of the rows that are open at first: all but what was changed and what is not given."""
    return [row.key for row in rows if row.has_children and not row.key.startswith((HISTORY, NOT_GIVEN))]


def part_text(view: PartView) -> list[tuple[str, str]]:
    """What is known of a part, as text."""
    lines: list[tuple[str, str]] = [(f"{view.key}   {kind_words(view.kind)}   {view.origin}", "strong")]
    width = max((len(own.key) for own in view.fields if own.text), default=0) + 2
    for group, words in GROUPS.items():
        own = [field for field in view.fields if field.group == group and field.text]
        if own:
            lines += [("", ""), (words, "key")]
        for field in own:
            note = "  (invented)" if field.is_invented else ""
            lines.append((f"{field.key.ljust(width)}{field.shown}{note}", ""))
    if view.history:
        lines += [("", ""), ("what was changed", "key")]
    for step in view.history:
        lines += [(step.title, ""), *((f"  {line}", "quiet") for line in step.changes)]
    return lines


def side_columns(sides: SideBySide, width: int) -> tuple[Column, ...]:
    """Columns of parts side by side: all of them in sight where the width has room for so many."""
    room = (width - _NAME_CELLS - 6 - 2 * len(sides.keys)) // max(1, len(sides.keys))
    cells = max(_LEAST_CELLS, room)
    return (Column("Field", max_width=_NAME_CELLS), *(Column(key, max_width=cells) for key in sides.keys))


def side_rows(sides: SideBySide) -> list[Row]:
    """Rows of parts side by side: what differs first."""
    rows: list[Row] = []
    for differs, words in ((True, "different"), (False, "the same")):
        own = [field for field in sides.fields if field.differs is differs]
        blank = [""] * len(sides.keys)
        rows.append(Row(f"\x1e{words}", 0, (f"{words}: {len(own)}", *blank), has_children=bool(own)))
        rows += [Row(field.key, 1, (field.key, *(text or UNKNOWN for text in field.texts))) for field in own]
    return rows
