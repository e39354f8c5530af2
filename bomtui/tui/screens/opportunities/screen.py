"""Fewer or cheaper chips, or fewer modules: what could be taken and why not more; several as one step."""

from dataclasses import dataclass, replace
from threading import Event
from typing import ClassVar

from textual import on, work
from textual.binding import BindingType
from textual.message import Message

from bomtui.edit.edit import Edit
from bomtui.edit.edits.group import Group
from bomtui.tui.glyphs import Glyphs
from bomtui.tui.opportunities import Opportunities
from bomtui.tui.report import Refused, Report
from bomtui.tui.screens.report.screen import BLANK, ReportScreen
from bomtui.tui.source import ProposalSource
from bomtui.tui.user_commands import bindings
from bomtui.tui.widgets.rows import Row

MARKED = "marked"


class OpportunitiesScreen(ReportScreen):
    """What packing the drivers anew, other chips beside them, or making modules one would gain.

    Args:
        source: The open proposal.
        variant: Variant that is shown.
        glyphs: Signs of the screen.
    """

    SCOPES = ("opportunities", "keep", "sheet")
    BINDINGS: ClassVar[list[BindingType]] = [*bindings("opportunities")]

    @dataclass
    class Told(Message):
        """The search has come further."""

        sentence: str

    @dataclass
    class Judged(Message):
        """What several bring together is known."""

        found: Opportunities
        keys: tuple[str, ...]
        sentence: str

    def __init__(self, source: ProposalSource, variant: str, glyphs: Glyphs) -> None:
        super().__init__(source, variant, glyphs)
        self._found: Opportunities | None = None
        self._marked: tuple[str, ...] = ()
        self._judged: tuple[str, ...] = ()
        self._stop = Event()
        self._of_modules = False

    def make(self) -> None:
        """Search anew; a search that still goes on is ended."""
        self._stop.set()
        self._stop = Event()
        super().make()

    def make_report(self) -> Report | Refused:
        """Search; what was found before is forgotten."""
        stop = self._stop

        def tell(sentence: str) -> None:
            self.post_message(self.Told(sentence))

        search = self.source.module_opportunities if self._of_modules else self.source.opportunities
        found = search(self.variant, tell, lambda: not stop.is_set())
        if stop is self._stop:
            # A search that was ended by another one has nothing to say any more.
            self._marked = self._judged = ()
            self._found = None if isinstance(found, Refused) else found
        return found if isinstance(found, Refused) else found.report

    @on(Told)
    def _tell(self, message: Told) -> None:
        message.stop()
        self.say(message.sentence)

    def on_unmount(self) -> None:
        """End the search: nobody looks any more."""
        self._stop.set()

    def action_stop(self) -> None:
        """End the search and show what is found so far."""
        self._stop.set()
        self.say("Stopping; what is found so far is shown.")

    def action_modules(self) -> None:
        """Search for fewer modules in place of fewer drivers, or the other way round."""
        self._of_modules = not self._of_modules
        self._found = self._report = None
        self._page = 0
        self.sheet.set_rows((), BLANK)
        self.say(f"Searching for fewer {'modules' if self._of_modules else 'or cheaper drivers'}.")
        self.make()

    def _take(self, _row: Row) -> None:
        self.action_mark()

    def action_mark(self) -> None:
        """Mark what the line would take, or take the mark off."""
        line = self._line
        key = "" if line is None else line.key.partition(" ")[0]
        if self._found is None or self._report is None or key not in self._found.edits:
            self.say("This line is nothing that can be taken.")
            return
        clash = next((own for own in self._marked if own != key and set(own.split("+")) & set(key.split("+"))), "")
        if clash:
            self.say(f"{key} and {clash} have a module in common: only one of them can be taken.")
            return
        self._marked = tuple(own for own in self._marked if own != key) if key in self._marked else (*self._marked, key)
        pages = tuple(
            replace(
                page,
                lines=tuple(
                    replace(own, word=MARKED, mark="note") if own.key in self._marked else own for own in page.lines
                ),
            )
            for page in self._found.report.pages
        )
        self._report = replace(self._found.report, pages=pages)
        self._show_page(opens=False)
        self._judged = ()
        self.say(f"Marked: {self._names(self._marked) or 'nothing'}.")

    def _names(self, keys: tuple[str, ...]) -> str:
        """Return what lines are called on the screen."""
        lines = () if self._found is None else (own for page in self._found.report.pages for own in page.lines)
        names = {own.key: own.cells[0] for own in lines}
        return ", ".join(names[key] for key in keys)

    async def action_take(self) -> None:
        """Take what is marked, or the line, as one step; several are first judged together."""
        line = self._line
        keys = self._marked or (() if line is None else (line.key.partition(" ")[0],))
        edits = () if self._found is None else tuple(self._found.edits[key] for key in keys if key in self._found.edits)
        if self._found is None or not edits:
            self.say("Nothing is marked, and this line is nothing that can be taken.")
        elif len(edits) == 1:
            await self._do(edits[0])
        elif self._judged == keys:
            await self._do(Group(edits=edits, words=f"take {self._names(keys)}"))
        else:
            self.say("Judging them together.")
            self._judge(self._found, keys)

    @work(thread=True, exclusive=True, group="judge", exit_on_error=False, description="judging several together")
    def _judge(self, found: Opportunities, keys: tuple[str, ...]) -> None:
        self.post_message(self.Judged(found, keys, found.together(keys)))

    @on(Judged)
    async def _take_judged(self, message: Judged) -> None:
        message.stop()
        if message.found is not self._found or message.keys != self._marked:
            return
        self._judged = message.keys
        if message.sentence:
            self.say(f"{message.sentence} y once more takes them all the same.")
        else:
            await self.action_take()

    async def action_take_all(self) -> None:
        """Take everything as one step, as it was judged together."""
        if self._found is None or self._found.whole is None:
            self.say("There is nothing to take.")
            return
        await self._do(self._found.whole)

    async def _do(self, edit: Edit) -> None:
        if self._found is not None and self._found.report.snapshot_number != self.source.snapshot_number:
            self.say("The proposal has changed since: the search begins anew.")
            self.make()
            return
        await self.do(edit)
