"""Fewer or cheaper drivers, or fewer modules: what could be taken and why not more; several taken as one step."""

from dataclasses import dataclass, replace
from threading import Event
from typing import ClassVar

from textual import on
from textual.binding import BindingType
from textual.message import Message

from bomtui.edit.edit import Edit
from bomtui.edit.edits.group import Group
from bomtui.tui.glyphs import Glyphs
from bomtui.tui.opportunities import Opportunities
from bomtui.tui.report import Refused, Report
from bomtui.tui.screens.report.screen import BLANK, ReportScreen
from bomtui.tui.user_commands import bindings
from bomtui.tui.view import ProposalSource
from bomtui.tui.widgets.rows import Row

MARKED = "marked"


class OpportunitiesScreen(ReportScreen):
    """What packing the drivers anew would gain, or making modules one.

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

    def __init__(self, source: ProposalSource, variant: str, glyphs: Glyphs) -> None:
        super().__init__(source, variant, glyphs)
        self._found: Opportunities | None = None
        self._marked: tuple[str, ...] = ()
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
        self._marked = ()
        if isinstance(found, Refused):
            self._found = None
            return found
        self._found = found
        return found.report

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
        """Mark the module of the line, or take the mark off."""
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
        first, *rest = self._found.report.pages
        lines = tuple(replace(own, word=MARKED, mark="note") if own.key in self._marked else own for own in first.lines)
        self._report = replace(self._found.report, pages=(replace(first, lines=lines), *rest))
        self._show_page(opens=False)
        self.say(f"Marked: {' '.join(self._marked) or 'nothing'}.")

    async def action_take(self) -> None:
        """Take what is marked, or the module of the line, as one step."""
        line = self._line
        keys = self._marked or (() if line is None else (line.key.partition(" ")[0],))
        found = self._found
        edits = () if found is None else tuple(found.edits[key] for key in keys if key in found.edits)
        if found is None or not edits:
            self.say("Nothing is marked, and this line is nothing that can be taken.")
            return
        await self._do(edits[0] if len(edits) == 1 else Group(edits=edits, words=f"{found.several} {' '.join(keys)}"))

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
