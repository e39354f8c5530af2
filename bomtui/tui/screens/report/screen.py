"""A report on the screen: title and what must be read first, one page at a time, written out, left for a place."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from textual import on, work
from textual.message import Message
from textual.widget import Widget
from textual.worker import Worker, WorkerState

from bomtui.tui.glyphs import Glyphs
from bomtui.tui.report import Goal, Refused, Report, ReportLine
from bomtui.tui.screens.report.rows import first_open, page_columns, page_rows, page_words
from bomtui.tui.screens.steps.path_prompt import PathPrompt
from bomtui.tui.screens.steps.side import SideScreen
from bomtui.tui.source import ProposalSource
from bomtui.tui.text import fit, width_of, wrap
from bomtui.tui.view import WriteOutcome
from bomtui.tui.widgets.columns import Column
from bomtui.tui.widgets.lines import Lines, SpanLine
from bomtui.tui.widgets.rows import Row
from bomtui.tui.widgets.sheet import Sheet

COMPUTING = "Computing."
BLANK = (Column(""),)
"""Columns while nothing is there yet."""
MOST_SENTENCE_LINES = 6


class WritePrompt(PathPrompt):
    """Writes a report to the path that is typed."""

    @dataclass
    class Written(Message):
        """An attempt to write has come to an end."""

        path: str
        outcome: WriteOutcome

    _report: Report | None = None

    def ask_for(self, report: Report) -> None:
        """Ask where a report goes; it is that one, whatever is shown by then."""
        self._report = report
        self.ask_for_path(f"Write to ({' '.join(report.suffixes)}):", report.path)

    def write(self, path: str, *, overwrite: bool) -> None:
        """Write it in a thread of its own."""
        if self._report is not None:
            self._write(self._report, path, overwrite=overwrite)

    @work(thread=True, group="write", exit_on_error=False, description="writing the file")
    def _write(self, report: Report, path: str, *, overwrite: bool) -> None:
        self.post_message(self.Written(path, report.write(path, overwrite)))

    @on(Written)
    def _written(self, message: Written) -> None:
        message.stop()
        self.settle(message.path, message.outcome)


class ReportScreen(SideScreen[Goal | None]):
    """A report; ends with the place to go to, or with None.

    Args:
        source: The open proposal.
        variant: Id of the variant that is shown.
        glyphs: Signs of the screen.
    """

    CSS_PATH = Path(__file__).with_name("report.tcss")

    @dataclass
    class Made(Message):
        """The report is there, or why it is not."""

        number: int
        report: Report | Refused

    def __init__(self, source: ProposalSource, variant: str, glyphs: Glyphs) -> None:
        super().__init__(source, variant, glyphs)
        self._report: Report | None = None
        self._page = 0
        self._asked = 0

    def compose_parts(self) -> Iterable[Widget]:
        """Title and sentences, the page, status and the lines to type in."""
        yield Lines(self._title, id="title")
        yield Sheet(BLANK, self.glyphs, id="list", take=self._take, empty=COMPUTING, min_name_width=26)
        yield from self.compose_foot()
        yield WritePrompt(self.file_written, id="write")

    def on_mount(self) -> None:
        """Make the report."""
        self.set_focus(self.sheet)
        self.make()

    def make_report(self) -> Report | Refused:
        """Make what is shown; called in a thread of its own."""
        raise NotImplementedError

    def make(self) -> None:
        """Make the report anew; what is shown stays until it is there."""
        self._asked += 1
        self.sheet.empty = COMPUTING
        self._make(self._asked)

    @work(thread=True, exclusive=True, group="report", exit_on_error=False, description="making the report")
    def _make(self, number: int) -> None:
        self.post_message(self.Made(number, self.make_report()))

    @on(Made)
    def _made(self, message: Made) -> None:
        message.stop()
        self.show_report(message.number, message.report)

    def show_report(self, number: int, report: Report | Refused) -> None:
        """Show a report, or say why there is none; one that was overtaken by another is dropped."""
        if number != self._asked:
            return
        if isinstance(report, Refused):
            self.sheet.empty = report.sentence
            if self._report is None:
                self.sheet.refresh()
            self.say(report.sentence)
            self.refused()
            return
        is_first = self._report is None
        self._report = report
        self._show_page(opens=is_first)

    def refused(self) -> None:
        """Called where a report cannot be made: what is shown stays."""

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        """Say in the sheet that there is nothing; the reason gets a screen of its own."""
        super().on_worker_state_changed(event)
        if event.state is WorkerState.ERROR and event.worker.group == "report":
            self.sheet.empty = "It could not be computed."
            self.sheet.refresh()

    def _show_page(self, *, opens: bool) -> None:
        report = self._report
        if report is None:
            return
        page = report.pages[self._page]
        self.sheet.empty = page.empty
        self.sheet.set_rows(page_rows(page), page_columns(page), state_title=page.state_title)
        if opens:
            self.sheet.open_rows(first_open(page))
        self.show_heading()
        self.query_one("#status", Lines).rebuild()

    def head(self) -> str:
        """What the screen shows."""
        return COMPUTING if self._report is None else self._report.title

    def _title(self, width: int) -> Sequence[SpanLine]:
        """What it is and whether all is saved, the pages, and what must be read first."""
        saved = self.source.heading(self.variant).saved
        notice = self.source.heading(self.variant).notice
        right = "  ".join(filter(None, (notice, saved)))
        room = max(0, width - width_of(right) - 4)
        lines: list[SpanLine] = [
            [(" ", ""), (fit(self.head(), room, ellipsis=self.glyphs.ellipsis), "strong"), (f"  {right}", "quiet")]
        ]
        if self._report is not None:
            lines.append([("", ""), *page_words(self._report, self._page), ("   t turns", "quiet")])
            for mark, sentence in self._report.sentences:
                text = f"{self.glyphs.marks[mark]} {sentence}".strip()
                lines += [[(f" {line}", mark)] for line in wrap(text, width - 2, hang=2)[:MOST_SENTENCE_LINES]]
        return lines

    def row_sentence(self) -> str:
        """What is known of the line under the cursor."""
        line = self._line
        return "" if line is None else line.sentence or line.cells[0]

    @property
    def _line(self) -> ReportLine | None:
        row = self.sheet.cursor_row
        if row is None or self._report is None:
            return None
        return next((own for own in self._report.pages[self._page].lines if own.key == row.key), None)

    def show_newest(self, address: str = "") -> None:
        """Make the report of the newest snapshot."""
        del address
        self.show_heading()
        self.make()

    def action_turn(self) -> None:
        """Turn to the next page."""
        if self._report is not None:
            self._page = (self._page + 1) % len(self._report.pages)
            self._show_page(opens=True)

    def action_write(self) -> None:
        """Ask where it goes, and write it."""
        if self._report is not None:
            self.query_one(WritePrompt).ask_for(self._report)

    def _take(self, _row: Row) -> object:
        """What enter does on a line; what it returns may be awaited."""
        self.action_go()
        return None

    def action_go(self) -> None:
        """Go to the place of the line in the working sheet."""
        line = self._line
        if line is None or not line.address:
            self.say("This line has no place of its own in the sheet.")
            return
        self.dismiss(Goal(line.variant, line.address))

    def action_leave(self) -> None:
        """Go back to the sheet."""
        self.dismiss(None)
