"""All findings of a variant: the list above, the chosen one in full below; accepting them."""

import asyncio
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import ClassVar

from textual import on, work
from textual.binding import BindingType
from textual.message import Message
from textual.widget import Widget
from textual.worker import Worker, WorkerState

from bomtui.edit.edits.finding import WithdrawAcceptance
from bomtui.tui.glyphs import Glyphs
from bomtui.tui.screens.findings.rows import COLUMNS, finding_lines, finding_rows
from bomtui.tui.screens.steps.side import SideScreen
from bomtui.tui.source import ProposalSource
from bomtui.tui.text import width_of, wrap
from bomtui.tui.user_commands import bindings, commands_in
from bomtui.tui.view import CheckedView, Finding
from bomtui.tui.widgets.lines import Lines, SpanLine
from bomtui.tui.widgets.rows import Row
from bomtui.tui.widgets.sheet import Sheet
from bomtui.tui.widgets.text_pane import TextPane

KEYS_THAT_WAIT = frozenset(key for own in commands_in("findings") if own.action != "leave" for key in own.keys)
"""Keys that are about the finding under the cursor."""


class FindingsScreen(SideScreen[Finding | None]):
    """The list of findings; ends with the finding to go to, or with None.

    Args:
        source: The open proposal.
        view: The variant that is shown, computed.
        current: Index of the finding to start on.
        glyphs: Signs of the screen.
    """

    SCOPES = ("findings", "keep", "sheet", "text")
    BINDINGS: ClassVar[list[BindingType]] = [*bindings("findings")]
    CSS_PATH = Path(__file__).with_name("findings.tcss")

    @dataclass
    class Computed(Message):
        """The variant is computed anew."""

        view: CheckedView

    def __init__(self, source: ProposalSource, view: CheckedView, current: int, glyphs: Glyphs) -> None:
        super().__init__(source, view.heading.variant, glyphs)
        self._view = view
        self._current = current
        self._by = ""
        self._is_newest = asyncio.Event()

    def compose_parts(self) -> Iterable[Widget]:
        """Title, list, the finding in full, status and the lines to type in."""
        yield Lines(self._title, id="title")
        yield Sheet(COLUMNS, self.glyphs, id="list", take=self._go_to, state_title="State", empty=self._empty)
        yield TextPane(id="finding")
        yield from self.compose_foot()

    @property
    def _empty(self) -> str:
        return f"No open finding. {self._view.checks}"

    def head(self) -> str:
        """How many findings there are."""
        settled = len(self._view.settled)
        words = "acceptance" if settled == 1 else "acceptances"
        more = f", {settled} {words} without a finding" if settled else ""
        return f"Findings {len(self._view.findings)}{more}"

    @property
    def _listed(self) -> tuple[Finding, ...]:
        """Everything in the list: the findings, then acceptances of which nothing is found any more."""
        return (*self._view.findings, *self._view.settled)

    def _title(self, width: int) -> Sequence[SpanLine]:
        """How many there are, what was checked, and whether all is saved; on one line where there is room."""
        head, checks = f" {self.head()}", f"   {self._view.checks}"
        saved = f"   {self.source.heading(self.variant).saved}"
        if width_of(head) + width_of(checks) + width_of(saved) <= width:
            return [[(head, "strong"), (checks, "quiet"), (saved, "quiet")]]
        lines = wrap(self._view.checks, width - 2, hang=0)
        return [[(head, "strong"), (saved, "quiet")], *([(f" {line}", "quiet")] for line in lines)]

    def on_mount(self) -> None:
        """Show the list with the cursor on the finding to start on."""
        self._show()
        if self._view.findings:
            self.sheet.reveal(self._view.findings[self._current].key)
        self.set_focus(self.sheet)
        if self._view.snapshot_number != self.source.snapshot_number:
            # The working screen has not shown the last step yet.
            self.compute()

    async def before_key(self, key: str) -> None:
        """Let a key that is about a finding wait until what the last step has made of it is shown."""
        if self._view.snapshot_number != self.source.snapshot_number and key in KEYS_THAT_WAIT:
            await self._is_newest.wait()

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        """Show why a worker failed; what is shown is all that there will be."""
        if event.state is WorkerState.ERROR:
            self._is_newest.set()

    def _show(self) -> None:
        self.sheet.empty = self._empty
        self.sheet.set_rows(finding_rows(self._listed))
        if not self._listed:
            self.query_one(TextPane).set_text([])
        self.show_heading()

    def show_newest(self, address: str = "") -> None:
        """Compute the newest snapshot and show its findings."""
        del address
        self._is_newest.clear()
        self.show_heading()
        self.compute()

    @work(thread=True, exclusive=True, group="view", exit_on_error=False, description="computing the variant")
    def compute(self) -> None:
        """Compute the variant; a later call makes an earlier one worthless."""
        self.post_message(self.Computed(self.source.view(self.variant)))

    @on(Computed)
    def _show_view(self, message: Computed) -> None:
        if message.view.snapshot_number == self.source.snapshot_number:
            self._view = message.view
            self._show()
            self._is_newest.set()

    @property
    def _finding(self) -> Finding | None:
        """The finding under the cursor; None where there is none."""
        row = self.sheet.cursor_row
        return next((found for found in self._listed if row is not None and found.key == row.key), None)

    @on(Sheet.Moved)
    def _show_finding(self, message: Sheet.Moved) -> None:
        found = next((found for found in self._listed if found.key == message.row.key), None)
        if found is not None:
            self.query_one("#finding", TextPane).set_text(finding_lines(found, self.glyphs))

    async def action_accept(self) -> None:
        """Ask for a reason and a name, and accept the finding at the numbers that are on the screen."""
        finding, view = self._finding, self._view
        if finding is None:
            return
        if not finding.can_be_accepted or finding.accepted_id:
            is_accepted = "It is accepted already: W withdraws that."
            self.say(is_accepted if finding.accepted_id else "No rule has found this, it cannot be accepted: mend it.")
            return

        def reason_given(reason: str) -> None:
            if reason.strip():
                self.ask("Who accepts it:", self._by, lambda by: name_given(reason, by))
            else:
                self.say("A finding is accepted with a reason: nothing was changed.")

        async def name_given(reason: str, by: str) -> None:
            outcome = self.source.do(view.accept(finding.key, reason.strip(), by.strip()))
            await self.settle(outcome)
            if outcome.state == "done":
                self._by = by.strip()
            elif outcome.state == "refused":
                self.ask("Who accepts it:", by, lambda again: name_given(reason, again))

        self.ask("Why it is accepted:", "", reason_given)

    async def action_withdraw(self) -> None:
        """Withdraw the acceptance of the finding, also one that has lapsed or of which nothing is found any more."""
        finding = self._finding
        if finding is None:
            return
        accepted_id = finding.accepted_id or finding.lapsed_id
        if accepted_id:
            await self.do(WithdrawAcceptance(variant=self.variant, accepted_id=accepted_id))
        else:
            self.say("Nobody has accepted it: it is open.")

    async def action_remedies(self) -> None:
        """Show the parts of the catalog that would make the finding go away."""
        from bomtui.tui.screens.remedies.screen import RemediesScreen

        finding = self._finding
        if finding is not None:
            screen = RemediesScreen(self.source, self.variant, self.glyphs, finding.rule, finding.place)
            await self.app.push_screen(screen, self._came_back)

    def _came_back(self, _goal: object) -> None:
        """Show what a step that was done there has made of the findings."""
        if self._view.snapshot_number != self.source.snapshot_number:
            self.show_newest()

    def _go_to(self, _row: Row) -> None:
        self.action_go()

    def action_go(self) -> None:
        """Go to the place of the finding."""
        if self._finding is not None:
            self.dismiss(self._finding)

    def action_leave(self) -> None:
        """Go back to the sheet."""
        self.dismiss(None)
