"""Going from finding to finding in the sheet, whichever tree shows their places."""

from bomtui.tui.screens.findings.screen import FindingsScreen
from bomtui.tui.screens.rollup.frame import next_of
from bomtui.tui.screens.rollup.work import Work
from bomtui.tui.view import Finding
from bomtui.tui.widgets.lines import Lines


class FindingSteps(Work):
    """The part of the working screen that goes to findings."""

    finding_index = 0
    has_visited_finding = False

    def reveal_place(self, address: str) -> bool:
        """Put the cursor on an address, or on the place it is in, turning the tree where that helps."""
        raise NotImplementedError

    def begin_findings(self) -> None:
        """Begin at the first finding: another variant is shown."""
        self.finding_index, self.has_visited_finding = 0, False

    def action_next_finding(self) -> None:
        """Go to the place of the next finding."""
        self._step_finding(1)

    def action_previous_finding(self) -> None:
        """Go to the place of the previous finding."""
        self._step_finding(-1)

    def _step_finding(self, step: int) -> None:
        if self.view is None:
            return
        if not self.view.findings:
            self.say("No open finding. " + self.view.checks)
            return
        if self.has_visited_finding or step < 0:
            self.finding_index = next_of(len(self.view.findings), self.finding_index, step)
        self._go_to_finding(self.finding_index)

    def _go_to_finding(self, index: int) -> None:
        """Make a finding the current one and go to its place."""
        if self.view is None:
            return
        self.finding_index, self.has_visited_finding = index, True
        self._show_finding(self.view.findings[index])

    def _show_finding(self, finding: Finding) -> None:
        """Go to the place of a finding."""
        is_shown = self.reveal_place(finding.target)
        self.query_one("#strip", Lines).rebuild()
        sentence = f"{finding.word}: {finding.message}"
        self.say(sentence if is_shown else f"{sentence} ({finding.place} has no line in the sheet)", is_short=True)

    async def action_findings(self) -> None:
        """List all findings."""
        if self.view is None:
            return

        def chosen(finding: Finding | None) -> None:
            if finding is not None and self.view is not None:
                wanted = (finding.rule, finding.place, finding.message)
                known = [(own.rule, own.place, own.message) for own in self.view.findings]
                if wanted in known:
                    self._go_to_finding(known.index(wanted))
                else:
                    self._show_finding(finding)

        screen = FindingsScreen(self.source, self.view, self.finding_index, self.glyphs)
        await self.app.push_screen(screen, chosen)
