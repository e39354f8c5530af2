"""A list of candidates with their effect; ends with the edit of the one that is taken, or with None."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import ClassVar

from textual import on, work
from textual.binding import BindingType
from textual.containers import Container
from textual.message import Message
from textual.timer import Timer
from textual.widget import Widget
from textual.worker import Worker, WorkerState

from bomtui.edit.edit import Edit
from bomtui.tui.candidates import Candidate, Candidates, Subject
from bomtui.tui.failure import describe
from bomtui.tui.glyphs import Glyphs
from bomtui.tui.screens.choice.screen import Choice, ChoiceScreen
from bomtui.tui.screens.fitted import TALL_HEIGHT, FittedScreen
from bomtui.tui.screens.options.rows import (
    REJECTED_KEY,
    candidate_lines,
    candidate_rows,
    columns_of,
    found,
    listing_text,
    need_lines,
)
from bomtui.tui.text import wrap
from bomtui.tui.user_commands import bindings
from bomtui.tui.widgets.lines import Lines, SpanLine
from bomtui.tui.widgets.prompt_line import PromptLine
from bomtui.tui.widgets.rows import Row
from bomtui.tui.widgets.sheet import Sheet
from bomtui.tui.widgets.text_pane import TextPane

COMPUTING = "Computing what each of them would cost."
NOTHING_FOUND = "Nothing holds that text: / asks for another one, an empty one shows all."
REST_S = 0.15
"""How long the cursor rests on a candidate before its effect is computed; holding a key down computes none."""
STATUS_LINES = 3
ALL_THE_SAME = "take"
LEAVE_IT = "leave"


class OptionsScreen(FittedScreen[Edit | None]):
    """Candidates, best first, and what the one under the cursor would change.

    The list keeps its order while effects come in: nothing moves under the cursor.

    Args:
        question: The question, in a few words.
        subject: What is chosen.
        load: Finds the candidates; called in a thread.
        newest: Number of the newest snapshot.
        glyphs: Signs of the screen.
    """

    SCOPES = ("options", "sheet", "text")
    BINDINGS: ClassVar[list[BindingType]] = [*bindings("options")]
    CSS_PATH = Path(__file__).with_name("options.tcss")

    @dataclass
    class Found(Message):
        """The candidates are known."""

        candidates: Candidates

    @dataclass
    class Costed(Message):
        """What a candidate changes is computed."""

        snapshot_number: int
        candidate: Candidate

    def __init__(
        self,
        question: str,
        subject: Subject,
        load: Callable[[], Candidates],
        newest: Callable[[], int],
        glyphs: Glyphs,
    ) -> None:
        super().__init__(glyphs)
        self._question = question
        self._subject: Subject = subject
        self._load = load
        self._newest = newest
        self._candidates: Candidates | None = None
        self._word = ""
        self._message = COMPUTING
        self._timer: Timer | None = None
        self._asked: set[str] = set()

    def compose_parts(self) -> Iterable[Widget]:
        """Question, need, list, what the candidate changes, what must be known, the line for a text to find."""
        yield Lines(lambda _: [[(f" {self._question}", "strong"), ("   enter takes it", "quiet")]], id="title")
        yield Lines(self._need_lines, id="need")
        with Container(id="body"):
            columns = columns_of(self._subject, "")
            yield Sheet(
                columns, self.glyphs, id="list", take=self._take, state_title="State", empty=COMPUTING,
                min_name_width=24,
            )  # fmt: skip
            yield TextPane(id="effect")
        yield Lines(self._status_lines, id="status")
        yield PromptLine(id="find")

    def on_mount(self) -> None:
        """Start to look for candidates."""
        self.set_focus(self._sheet)
        self.find_candidates()

    def fitted(self) -> None:
        """The height decides how much of the need is in sight."""
        self.query_one("#need", Lines).rebuild()

    @property
    def _sheet(self) -> Sheet:
        return self.query_one("#list", Sheet)

    @property
    def _listed(self) -> tuple[Candidate, ...]:
        return () if self._candidates is None else found(self._candidates, self._word)

    def _need_lines(self, width: int) -> Sequence[SpanLine]:
        need = () if self._candidates is None else self._candidates.need
        is_tall = self.app.size.height >= TALL_HEIGHT
        return [[(f" {line}", "")] for line in need_lines(need, width - 2, is_tall=is_tall)]

    def _status_lines(self, width: int) -> Sequence[SpanLine]:
        text, style = self._message, "strong"
        if not text and self._candidates is not None:
            text, style = listing_text(self._candidates, self._listed), "quiet"
        return [[(f" {line}", style)] for line in wrap(text, width - 2, hang=0)[:STATUS_LINES]]

    def _say(self, message: str) -> None:
        self._message = message
        self.query_one("#status", Lines).rebuild()

    @work(thread=True, exclusive=True, group="find", exit_on_error=False, description="looking for candidates")
    def find_candidates(self) -> None:
        """Look for candidates in the newest snapshot."""
        self.post_message(self.Found(self._load()))

    @on(Found)
    def _show(self, message: Found) -> None:
        """Show the candidates, unless the proposal has moved on meanwhile."""
        if message.candidates.snapshot_number != self._newest():
            self.find_candidates()
            return
        self._candidates, self._asked = message.candidates, set()
        self.query_one("#need", Lines).rebuild()
        self._show_rows()

    def _show_rows(self) -> None:
        candidates = self._candidates
        if candidates is None:
            return
        self._message = ""
        self._sheet.empty = NOTHING_FOUND if candidates.listed else candidates.empty
        self._sheet.set_rows(candidate_rows(self._listed), columns_of(self._subject, candidates.currency))
        if not self._listed:
            self.query_one("#effect", TextPane).set_text([])
        self.query_one("#status", Lines).rebuild()

    def _candidate(self, key: str) -> Candidate | None:
        listed = () if self._candidates is None else self._candidates.listed
        return next((own for own in listed if own.key == key), None)

    @on(Sheet.Moved)
    def _moved(self, message: Sheet.Moved) -> None:
        """Show what is known of the candidate, and compute its effect when the cursor rests."""
        self._say("")
        if self._timer is not None:
            self._timer.stop()
        own = self._candidate(message.row.key)
        pane = self.query_one("#effect", TextPane)
        if own is None:
            pane.set_text([("Right opens them: each says what speaks against it.", "quiet")])
            return
        pane.set_text(candidate_lines(own, self.glyphs))
        if not own.is_costed and own.edit is not None and not own.is_rejected:
            self._timer = self.set_timer(REST_S, self._want_cost)

    def _want_cost(self) -> None:
        row = self._sheet.cursor_row
        own = None if row is None else self._candidate(row.key)
        if own is None or self._candidates is None or own.key in self._asked:
            return
        self._asked.add(own.key)
        self.cost(self._candidates, own.key)

    @work(thread=True, group="cost", exit_on_error=False, description="computing what it changes")
    def cost(self, candidates: Candidates, key: str) -> None:
        """Compute what a candidate changes."""
        self.post_message(self.Costed(candidates.snapshot_number, candidates.cost(key)))

    @on(Costed)
    def _show_cost(self, message: Costed) -> None:
        """Put the effect into the candidate's own row; the order stays as it is."""
        candidates, own = self._candidates, message.candidate
        if candidates is None or message.snapshot_number != candidates.snapshot_number:
            return
        listed = tuple(own if known.key == own.key else known for known in candidates.listed)
        self._candidates = replace(candidates, listed=listed)
        self._sheet.set_rows(candidate_rows(self._listed))
        row = self._sheet.cursor_row
        if row is not None and row.key == own.key:
            self.query_one("#effect", TextPane).set_text(candidate_lines(own, self.glyphs))

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        """Say here why there is nothing to show."""
        if event.state is not WorkerState.ERROR or event.worker.error is None:
            return
        event.prevent_default()
        lines = [(line, "") for line in describe(event.worker.error)]
        self.query_one("#effect", TextPane).set_text([(f"Could not finish {event.worker.description}", "over"), *lines])
        if event.worker.group == "find":
            self._sheet.empty = "Nothing to choose from: what went wrong stands below. Escape goes back."
            self._sheet.refresh()
            self._say("")

    def _take(self, row: Row) -> None:
        own = self._candidate(row.key)
        if own is None:
            return
        if own.edit is None:
            self._say(f"{own.title} cannot be taken: {'; '.join(own.reasons) or own.word}.")
        elif own.is_rejected:
            self.app.call_next(self._ask_about_rejected, own)
        else:
            self.dismiss(own.edit)

    async def _ask_about_rejected(self, own: Candidate) -> None:
        """Ask before something is taken that does not do."""

        def chosen(choice: str | None) -> None:
            if choice == ALL_THE_SAME:
                self.dismiss(own.edit)
            else:
                self._say("Nothing was taken.")

        choices = [
            Choice(LEAVE_IT, "leave it", "goes back to the list"),
            Choice(ALL_THE_SAME, "take it all the same", "findings will say what is wrong with it; undo takes it back"),
        ]
        sentences = (f"{own.title} is rejected:", *own.reasons)
        await self.app.push_screen(
            ChoiceScreen("Take it all the same?", choices, self.glyphs, sentences=sentences), chosen
        )

    def action_find(self) -> None:
        """Ask for a text and show only what holds it."""

        def answered(word: str) -> None:
            self._word = word.strip()
            self._show_rows()
            if self._word:
                self._sheet.open_rows([REJECTED_KEY])

        self.query_one("#find", PromptLine).ask("Show only what holds:", self._word, answered)

    def action_leave(self) -> None:
        """Show all again where only some are shown, else go back and take nothing."""
        if self._word:
            self._word = ""
            self._show_rows()
        else:
            self.dismiss(None)
