"""What the screens of the catalog share: title, one sheet that a thread fills, status line, a line to type in."""

import asyncio
from collections.abc import Awaitable, Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path

from textual import on, work
from textual.message import Message
from textual.widget import Widget
from textual.worker import Worker, WorkerState

from bomtui.tui.catalog import CatalogSource
from bomtui.tui.glyphs import Glyphs
from bomtui.tui.report import Refused
from bomtui.tui.screens.choice.screen import Choice, ChoiceScreen
from bomtui.tui.screens.fitted import FittedScreen, Result
from bomtui.tui.text import fit, width_of, wrap
from bomtui.tui.widgets.columns import Column
from bomtui.tui.widgets.lines import Lines, SpanLine
from bomtui.tui.widgets.prompt_line import PromptLine
from bomtui.tui.widgets.rows import Row
from bomtui.tui.widgets.sheet import Sheet

READING = "Reading the catalog."
FAILED = "It could not be read; escape goes back."
STATUS_LINES = 3
PATIENCE_S = 1.0
"""How long a key waits for what the screen shows at first."""
NEVER_WAIT = frozenset(("escape", "ctrl+q", "question_mark", "f1"))
OWN_HISTORY = "This writes into the catalog, which has a history of its own: undo of a proposal does not reach it."
LEAVE_IT, GO_AHEAD = "leave", "write"


class CatalogFrame(FittedScreen[Result]):
    """A screen of the catalog.

    Args:
        catalog: The catalog.
        glyphs: Signs of the screen.
    """

    CSS_PATH = Path(__file__).with_name("catalog.tcss")
    COLUMNS: tuple[Column, ...] = (Column(""),)
    STATE_TITLE = ""

    @dataclass
    class Fetched(Message):
        """What the screen shows is there, or why it is not."""

        number: int
        result: object

    def __init__(self, catalog: CatalogSource, glyphs: Glyphs) -> None:
        super().__init__(glyphs)
        self.catalog = catalog
        self._message = ""
        self._message_key: str | None = None
        self._asked = 0
        self._is_there = asyncio.Event()

    def compose_parts(self) -> Iterable[Widget]:
        """Title, sheet, status, and the line to type in."""
        yield Lines(self._title, id="title")
        yield Sheet(
            self.COLUMNS, self.glyphs, id="list", take=self.take, state_title=self.STATE_TITLE, empty=READING,
            min_name_width=18,
        )  # fmt: skip
        yield Lines(self._status, id="status")
        yield PromptLine(id="ask")

    @property
    def sheet(self) -> Sheet:
        """The sheet."""
        return self.query_one("#list", Sheet)

    def on_mount(self) -> None:
        """Have the sheet filled."""
        self.set_focus(self.sheet)
        self.fetch_anew()
        self.begin()

    async def before_key(self, key: str) -> None:
        """Let keys wait for what the screen shows at first, but not for long: they are meant for its lines."""
        if key not in NEVER_WAIT and not self._is_there.is_set():
            with suppress(TimeoutError):
                await asyncio.wait_for(self._is_there.wait(), PATIENCE_S)

    def begin(self) -> None:
        """Called when the screen stands and the first question is asked."""

    def head(self) -> str:
        """What the screen shows."""
        raise NotImplementedError

    def more_head(self) -> Sequence[str]:
        """What stands below the title."""
        return ()

    def row_sentence(self) -> str:
        """What the status line says of the row under the cursor."""
        return ""

    def take(self, row: Row) -> object:
        """What enter does on a row; what it returns may be awaited."""
        raise NotImplementedError

    def fetch(self) -> object:
        """Read what is shown; called in a thread of its own."""
        raise NotImplementedError

    def show_fetched(self, result: object) -> None:
        """Show what was read."""
        raise NotImplementedError

    def fetch_anew(self) -> None:
        """Read what is shown anew; what is on the screen stays until it is there."""
        self._asked += 1
        self._fetch(self._asked)

    @work(thread=True, exclusive=True, group="catalog", exit_on_error=False, description="reading the catalog")
    def _fetch(self, number: int) -> None:
        self.post_message(self.Fetched(number, self.fetch()))

    @on(Fetched)
    def _take_fetched(self, message: Fetched) -> None:
        message.stop()
        if message.number != self._asked:
            return
        self._is_there.set()
        if isinstance(message.result, Refused):
            self.refuse(message.result.sentence)
        else:
            with self.saying_on():
                self.show_fetched(message.result)

    def refuse(self, sentence: str) -> None:
        """Say in place of rows why there are none."""
        self.sheet.empty = sentence
        self.sheet.refresh()
        self.say(sentence)

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        """Say in the sheet that there is nothing; the reason gets a screen of its own."""
        if event.state is WorkerState.ERROR:
            self._is_there.set()
            self.sheet.empty = FAILED
            self.sheet.refresh()

    def _title(self, width: int) -> Sequence[SpanLine]:
        """What it is, and on the right which catalog; below it what is to be known."""
        name = self.catalog.name
        room = max(0, width - 2 - min(width_of(name), width // 3))
        first = [(" ", ""), (fit(self.head(), room, ellipsis=self.glyphs.ellipsis), "strong"), (" ", "")]
        left = max(0, width - room - 3)
        lines: list[SpanLine] = [[*first, (_end_of(name, left, self.glyphs.ellipsis), "quiet")]]
        return [*lines, *([(f" {line}", "quiet")] for text in self.more_head() for line in wrap(text, width - 2))]

    def show_title(self) -> None:
        """Draw the title anew."""
        self.query_one("#title", Lines).rebuild()

    def say(self, message: str) -> None:
        """Put a sentence into the status line; it stays until the cursor moves."""
        row = self.sheet.cursor_row
        self._message, self._message_key = message, row.key if row else None
        self.query_one("#status", Lines).rebuild()

    @contextmanager
    def saying_on(self) -> Iterator[None]:
        """Keep what is said while rows are shown anew: only the person's own moves of the cursor end it."""
        said = self._message
        yield
        if said:
            self.say(said)

    def _status(self, width: int) -> Sequence[SpanLine]:
        text, style = (self._message, "strong") if self._message else (self.row_sentence(), "quiet")
        lines = wrap(text[: STATUS_LINES * width], width - 2, hang=0)[:STATUS_LINES]
        return [[(f" {line}", style)] for line in lines]

    @on(Sheet.Moved)
    def _row_changed(self) -> None:
        row = self.sheet.cursor_row
        if row is None or row.key != self._message_key:
            self._message = ""
        self.query_one("#status", Lines).rebuild()
        self.row_changed()

    def row_changed(self) -> None:
        """Called when the cursor is on another row."""

    def ask(self, question: str, value: str, answered: Callable[[str], object]) -> None:
        """Ask for a text; what is typed from the next key on is the answer."""
        self.query_one("#ask", PromptLine).ask(question, value, answered)

    async def choose(
        self,
        question: str,
        choices: Sequence[Choice],
        chosen: Callable[[str | None], object],
        *,
        sentences: Sequence[str] = (),
        current: str = "",
    ) -> None:
        """Ask for one of a few; `chosen` gets its id, or None where the question is left."""
        screen = ChoiceScreen(question, choices, self.glyphs, sentences=sentences, current=current)
        await self.app.push_screen(screen, chosen)  # type: ignore[arg-type]

    async def confirm(
        self, question: str, sentences: Sequence[str], words: str, go_ahead: Callable[[], Awaitable[None]], left: str
    ) -> None:
        """Tell what a write changes before it happens, and ask whether it may.

        Args:
            question: The question.
            sentences: What it changes.
            words: What going ahead means.
            go_ahead: Awaited where it may.
            left: What is said where it may not.
        """

        async def chosen(choice: str | None) -> None:
            if choice == GO_AHEAD:
                await go_ahead()
            else:
                self.say(left)

        choices = (Choice(LEAVE_IT, "leave it", "writes nothing"), Choice(GO_AHEAD, "go ahead", words))
        await self.choose(question, choices, chosen, sentences=(*sentences, OWN_HISTORY))


def _end_of(text: str, width: int, ellipsis: str) -> str:
    """The end of a text, where a path says what file it is."""
    if width_of(text) <= width:
        return fit(text, width, "right")
    while text and width_of(text) > max(0, width - len(ellipsis)):
        text = text[1:]
    return fit(ellipsis + text, width, "right")
