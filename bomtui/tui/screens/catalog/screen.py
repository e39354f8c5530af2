"""The catalog: found by typing, narrowed by filters, ordered, paged through however long it is, parts marked."""

import asyncio
from collections.abc import Iterable, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from typing import ClassVar, Literal

from textual import events, on, work
from textual.binding import BindingType
from textual.containers import Container
from textual.message import Message
from textual.timer import Timer
from textual.widget import Widget
from textual.widgets import Input
from textual.worker import Worker, WorkerState

from bomtui.model.part import PART_KINDS
from bomtui.services.catalog import Wish
from bomtui.services.part_words import kind_words
from bomtui.tui.catalog import CatalogPage, CatalogSource, PartView
from bomtui.tui.glyphs import Glyphs
from bomtui.tui.report import Refused
from bomtui.tui.screens.catalog.doubles import DoublesScreen
from bomtui.tui.screens.catalog.frame import CatalogFrame
from bomtui.tui.screens.catalog.history import HistoryScreen
from bomtui.tui.screens.catalog.part import PartScreen
from bomtui.tui.screens.catalog.rows import MOST_MARKED, Window, list_rows, part_text, wish_words
from bomtui.tui.screens.catalog.side_by_side import SideBySideScreen
from bomtui.tui.screens.choice.screen import Choice
from bomtui.tui.screens.report.rows import columns_of
from bomtui.tui.user_commands import bindings, keys_of
from bomtui.tui.widgets.lines import Lines
from bomtui.tui.widgets.prompt_line import PlainInput, PromptLine
from bomtui.tui.widgets.rows import Row
from bomtui.tui.widgets.sheet import Sheet
from bomtui.tui.widgets.text_pane import TextPane

SEARCHING = "Searching."
NOTHING = "No part holds all of these words and keeps every filter: / f k change them, r shows all again."
REST_S = 0.08
"""How long nothing is typed before the catalog is asked; a quick typist asks it once a word."""
KNOWN_REST_S = 0.1
STILL = "Still searching: what is listed is the answer to what was looked for before."
PATIENCE_S = 0.5
"""How long a key waits for an answer, or for a page at the end of what is held."""
KEYS_OF_LINES = keys_of("sheet") | {"m", "c"}
"""Keys that are about the line under the cursor."""
MOST_AT_ONCE = 2
"""Questions that run at once: one that takes long does not hold up the next, and no more pile up."""
FILTERS = "Such as channels >= 8; rds_on.max <= 10 mohm; price <= 1.20 EUR: a ';' stands between two, none shows all."
EVERY = ""

Direction = Literal["begin", "below", "above"]


class SearchLine(PromptLine):
    """The line in which fragments are typed; the keys of the list work meanwhile."""

    MOVES: ClassVar[dict[str, str]] = {"up": "up", "down": "down", "pageup": "page_up", "pagedown": "page_down"}

    async def take_key(self, event: events.Key) -> bool:
        """Act on a key at once; what moves the cursor of the list does so."""
        if event.key in self.MOVES:
            getattr(self.screen.query_one("#list", Sheet), f"action_{self.MOVES[event.key]}")()
            return True
        return await super().take_key(event)

    def action_cancel(self) -> None:
        """Close the line; what was looked for before is looked for again."""
        super().action_cancel()
        screen = self.screen
        if isinstance(screen, CatalogScreen):
            screen.search_left()


class CatalogScreen(CatalogFrame[None]):
    """The catalog.

    Args:
        catalog: The catalog.
        glyphs: Signs of the screen.
        quantity: Pieces of an order, at which prices are read at first.
        currency: Currency of prices at first.
    """

    SCOPES = ("catalog", "sheet", "text")
    BINDINGS: ClassVar[list[BindingType]] = [*bindings("catalog")]
    STATE_TITLE = "Life cycle"

    @dataclass
    class Answered(Message):
        """The catalog has answered."""

        number: int
        direction: Direction
        page: CatalogPage | Refused

    @dataclass
    class Known(Message):
        """What is known of the part under the cursor is collected."""

        key: str
        view: PartView | Refused

    def __init__(self, catalog: CatalogSource, glyphs: Glyphs, quantity: int = 1, currency: str = "EUR") -> None:
        super().__init__(catalog, glyphs)
        self._wish = catalog.wish or Wish(quantity=quantity, currency=currency)
        self._shown_wish = self._wish
        self._before_typing = self._wish
        self._window = Window()
        self._marked: tuple[str, ...] = ()
        self._questions = 0
        self._waits = False
        self._pages_asked = False
        self._page_came = asyncio.Event()
        self._answered_number = 0
        self._rest: Timer | None = None
        self._known_rest: Timer | None = None

    def compose_parts(self) -> Iterable[Widget]:
        """The list, beside it what is known of the part where there is room, and the lines to type in."""
        title, sheet, *foot = super().compose_parts()
        yield title
        with Container(id="body"):
            yield sheet
            yield TextPane(id="known")
        yield from foot
        yield SearchLine(id="search")

    def head(self) -> str:
        """What the screen shows."""
        return "Catalog of parts"

    def more_head(self) -> Sequence[str]:
        """What is looked for, and what is marked."""
        marked = f"Marked {len(self._marked)}: {', '.join(self._marked)}   c shows them side by side"
        return (wish_words(self._wish), *((marked,) if self._marked else ()))

    def row_sentence(self) -> str:
        """Where the part stands in the answer, and what it is."""
        row = self.sheet.cursor_row
        lines = self._window.lines
        at = next((index for index, line in enumerate(lines) if row is not None and line.key == row.key), None)
        if at is None:
            return ""
        end = self._window.before + len(lines)
        of = f"more than {end}" if self._window.has_more else str(end)
        return f"{self._window.before + at + 1} of {of}: {lines[at].sentence}"

    def begin(self) -> None:
        """What is typed from the next key on is looked for."""
        self.action_find()

    async def before_key(self, key: str) -> None:
        """Let a key that is about a line wait for the answer that it is meant for, but not for long."""
        if key not in KEYS_OF_LINES:
            return
        ends = self.sheet.rows[:1] + self.sheet.rows[-1:]
        if not self._is_answered or (self._pages_asked and self.sheet.cursor_row in ends):
            with suppress(TimeoutError):
                await asyncio.wait_for(self._page_came.wait(), PATIENCE_S)

    @property
    def _is_answered(self) -> bool:
        """Whether what is shown is the answer to what is looked for."""
        return self._answered_number == self._asked

    def _is_still_searching(self) -> bool:
        """Say so where what is shown is not what is looked for: nothing is done with its parts."""
        if not self._is_answered:
            self.say(STILL)
        return not self._is_answered

    def fetch_anew(self) -> None:
        """Ask for the first page of what is looked for; an answer to an earlier question is dropped."""
        self._asked += 1
        self._pages_asked = False
        self._page_came.clear()
        self.catalog.wish = self._wish
        self.sheet.empty = SEARCHING
        if not self._window.lines:
            self.sheet.refresh()
        self.show_title()
        if self._questions >= MOST_AT_ONCE:
            self._waits = True
            return
        self._questions += 1
        self._look(self._asked, "begin", self._wish, None)

    @work(thread=True, group="search", exit_on_error=False, description="searching the catalog")
    def _look(self, number: int, direction: Direction, wish: Wish, after: object | None) -> None:
        self.post_message(self.Answered(number, direction, self.catalog.page(wish, after)))

    @on(Answered)
    def _answered(self, message: Answered) -> None:
        if message.direction == "begin":
            self._ended()
        if message.number != self._asked:
            return
        if message.direction != "begin":
            self._pages_asked = False
        self._page_came.set()
        if isinstance(message.page, Refused):
            self._answered_number = message.number
            self.refuse(message.page.sentence)
            return
        if message.direction == "begin":
            self._show_first(message.page)
        elif message.direction == "below":
            self._window.add_below(message.page)
            self._show_rows()
        else:
            self._window.add_above(message.page)
            self._show_rows()

    def _ended(self) -> None:
        """One question has ended; the newest one that waits begins."""
        self._questions -= 1
        if self._waits:
            self._waits = False
            self._questions += 1
            self._look(self._asked, "begin", self._wish, None)

    def _show_first(self, page: CatalogPage) -> None:
        is_other = self._wish != self._shown_wish
        self._answered_number, self._shown_wish = self._asked, self._wish
        self._window.begin(page)
        self.sheet.empty = NOTHING
        if self._message == STILL:
            self.say("")
        with self.saying_on():
            self._show_rows(page)
            if is_other:
                self.sheet.action_first()
        if not page.lines:
            self.query_one("#known", TextPane).set_text([])
        if page.remark:
            self.say(page.remark)
        self.query_one("#status", Lines).rebuild()

    def _show_rows(self, page: CatalogPage | None = None) -> None:
        columns = None if page is None or not page.lines else columns_of(page.columns)
        self.sheet.set_rows(list_rows(self._window.lines, self._marked), columns)
        self.query_one("#status", Lines).rebuild()

    def refuse(self, sentence: str) -> None:
        """Say why there is no answer, in place of rows."""
        self._window = Window()
        self.sheet.set_rows([])
        super().refuse(sentence)

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        """A question that fails has ended too."""
        if event.state is WorkerState.ERROR and event.worker.group == "search":
            self._pages_asked = False
            self._page_came.set()
            if self._questions:
                self._ended()

    def row_changed(self) -> None:
        """Ask for the next page before the end of what is held, and for what is known of the part."""
        row = self.sheet.cursor_row
        if row is None:
            return
        at = next((index for index, own in enumerate(self.sheet.rows) if own is row), 0)
        wanted = self._window.wanted(at)
        if wanted and not self._pages_asked and self._is_answered:
            self._pages_asked = True
            self._page_came.clear()
            after = self._window.mark_below if wanted == "below" else self._window.mark_above
            self._look(self._asked, wanted, self._wish, after)
        if self._known_rest is not None:
            self._known_rest.stop()
        if self.has_class("-wide"):
            self._known_rest = self.set_timer(KNOWN_REST_S, self._want_known)

    def fitted(self) -> None:
        """What is known of the part comes into sight where there is room."""
        if self.sheet.rows:
            self.row_changed()

    def _want_known(self) -> None:
        row = self.sheet.cursor_row
        if row is not None:
            self._look_up(row.key)

    @work(thread=True, exclusive=True, group="known", exit_on_error=False, description="looking the part up")
    def _look_up(self, key: str) -> None:
        self.post_message(self.Known(key, self.catalog.part(key)))

    @on(Known)
    def _show_known(self, message: Known) -> None:
        row = self.sheet.cursor_row
        if row is None or row.key != message.key:
            return
        lines = [(message.view.sentence, "over")] if isinstance(message.view, Refused) else part_text(message.view)
        self.query_one("#known", TextPane).set_text(lines)

    def _wish_for(self, wish: Wish) -> None:
        if wish != self._wish:
            self._wish = wish
            self.fetch_anew()

    def action_find(self) -> None:
        """Look for what is typed, while it is typed."""
        self._before_typing = self._wish
        search = self.query_one(SearchLine)
        search.ask("Search (enter: to the list):", self._wish.text, self._searched)

    def _searched(self, text: str) -> None:
        self._stop_rest()
        self._wish_for(replace(self._wish, text=text))

    def search_left(self) -> None:
        """Look for what was looked for before the line was opened."""
        self._stop_rest()
        self._wish_for(self._before_typing)

    @on(Input.Changed)
    def _typed(self, message: Input.Changed) -> None:
        search = self.query_one(SearchLine)
        if search.is_asking and message.input is search.query_one(PlainInput):
            self._stop_rest()
            self._rest = self.set_timer(REST_S, self._search_typed)

    def _search_typed(self) -> None:
        search = self.query_one(SearchLine)
        if search.is_asking:
            self._wish_for(replace(self._wish, text=search.query_one(PlainInput).value))

    def _stop_rest(self) -> None:
        if self._rest is not None:
            self._rest.stop()

    async def action_kind(self) -> None:
        """Choose a kind of part."""
        choices = [Choice(EVERY, "every kind"), *(Choice(kind, kind_words(kind), kind) for kind in PART_KINDS)]

        def chosen(kind: str | None) -> None:
            if kind is not None:
                self._wish_for(replace(self._wish, kind=kind or None))

        await self.choose("Parts of which kind?", choices, chosen, current=self._wish.kind or EVERY)

    def action_filter(self) -> None:
        """Ask for filters; one that cannot be read stays to be mended, and the sentence says why."""
        self.say(FILTERS)
        self._ask_filters("; ".join(self._wish.where))

    def _ask_filters(self, text: str) -> None:
        async def typed(text: str) -> None:
            where = tuple(filter(None, (piece.strip() for piece in text.split(";"))))
            wish = replace(self._wish, where=where)
            problem = await asyncio.to_thread(self.catalog.problem, wish)
            if problem:
                self.say(problem)
                self._ask_filters(text)
            else:
                self.say("")
                self._wish_for(wish)

        self.ask("Filters:", text, typed)

    async def action_order(self) -> None:
        """Choose what the list is ordered by; the same once more turns it round."""
        found = await asyncio.to_thread(self.catalog.orders, self._wish.kind)
        now = self._wish.sort.removeprefix("-")
        choices = [
            Choice(EVERY, "as they came into the catalog"),
            *(
                Choice(own.id, own.title, f"{own.note}; once more: the other way round" if own.id == now else own.note)
                for own in found
            ),
        ]

        def chosen(name: str | None) -> None:
            if name is None:
                return
            turned = name == now and name and not self._wish.sort.startswith("-")
            self._wish_for(replace(self._wish, sort=f"-{name}" if turned else name))

        await self.choose("Order the list by", choices, chosen, current=now)

    def action_price(self) -> None:
        """Ask for the order at which prices are read."""
        self._ask_price(f"{self._wish.quantity} {self._wish.currency}")

    def _ask_price(self, text: str) -> None:
        def typed(text: str) -> None:
            quantity, _, currency = text.strip().partition(" ")
            currency = currency.strip().upper() or self._wish.currency
            is_currency = len(currency) == 3 and currency.isascii() and currency.isalpha()
            if not (quantity.isascii() and quantity.isdigit() and 0 < int(quantity) <= 10**9 and is_currency):
                self.say(f"Expected pieces and a currency, such as 1000 EUR, found {text.strip() or 'nothing'}.")
                self._ask_price(text)
                return
            self.say("")
            self._wish_for(replace(self._wish, quantity=int(quantity), currency=currency))

        self.ask("Prices at an order of (such as 1000 EUR):", text, typed)

    def action_reset(self) -> None:
        """Look for every part again; the order of prices stays."""
        self._wish_for(Wish(quantity=self._wish.quantity, currency=self._wish.currency))

    def action_mark(self) -> None:
        """Mark the part, or take the mark off."""
        row = self.sheet.cursor_row
        if row is None or self._is_still_searching():
            return
        if row.key in self._marked:
            self._marked = tuple(key for key in self._marked if key != row.key)
        elif len(self._marked) == MOST_MARKED:
            self.say(f"{MOST_MARKED} parts are marked, and no more fit side by side: m on one of them takes it off.")
            return
        else:
            self._marked = (*self._marked, row.key)
        self._show_rows()
        self.show_title()

    async def action_compare(self) -> None:
        """Show the marked parts side by side."""
        row = self.sheet.cursor_row
        keys = self._marked
        if len(keys) == 1 and row is not None and row.key not in keys:
            keys = (*keys, row.key)
        if len(keys) < 2:
            self.say("m marks parts, two to four of them stand side by side.")
            return
        await self.app.push_screen(SideBySideScreen(self.catalog, keys, self.glyphs))

    async def take(self, row: Row) -> None:
        """Open a part."""
        if not self._is_still_searching():
            await self._open(row.key)

    async def _open(self, key: str, kind: str = "") -> None:
        await self.app.push_screen(PartScreen(self.catalog, key, self.glyphs, kind), self._came_back)

    def _came_back(self, said: str | None) -> None:
        """Ask anew: what was written may stand in the list."""
        if said:
            self.fetch_anew()
            self.say(said)

    async def action_add(self) -> None:
        """Choose a kind and ask for a key, and open the form of a new part."""
        choices = [Choice(kind, kind_words(kind), kind) for kind in PART_KINDS]

        def chosen(kind: str | None) -> None:
            if kind is not None:
                self._ask_key(kind, "")

        await self.choose("Add a part of which kind?", choices, chosen, current=self._wish.kind or "")

    def _ask_key(self, kind: str, key: str) -> None:
        async def typed(text: str) -> None:
            text = text.strip()
            if not text:
                self.say("Nothing was added.")
                return
            found = await asyncio.to_thread(self.catalog.new_part, text, kind)
            if isinstance(found, Refused):
                self.say(found.sentence)
                self._ask_key(kind, text)
            else:
                await self._open(text, kind)

        self.ask(f"Catalog key of the new {kind_words(kind)}:", key, typed)

    async def action_history(self) -> None:
        """Show the steps of the catalog."""
        await self.app.push_screen(HistoryScreen(self.catalog, self.glyphs), self._came_back)

    async def action_doubles(self) -> None:
        """Show parts that may be one and the same."""
        await self.app.push_screen(DoublesScreen(self.catalog, self.glyphs), self._came_back)

    def action_leave(self) -> None:
        """Go back."""
        self.dismiss(None)
