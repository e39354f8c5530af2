"""The findings below the sheet, and going from one to the next, whichever tree shows their places."""

from collections.abc import Sequence

from bomtui.tui.glyphs import Glyphs
from bomtui.tui.screens.findings.screen import FindingsScreen
from bomtui.tui.screens.fitted import TALL_HEIGHT
from bomtui.tui.screens.rollup.computing import Computing
from bomtui.tui.screens.rollup.frame import checking_lines, next_of, strip_lines
from bomtui.tui.source import ProposalSource
from bomtui.tui.view import CHECKING, CheckedView, Finding, RollupView
from bomtui.tui.widgets.lines import Lines, SpanLine

NOT_CHECKED = "Not checked: the rules could not be asked."
STRIP_LINES = 2
STRIP_LINES_TALL = 5


class FindingSteps(Computing):
    """The part of the working screen that shows findings and goes to them.

    Args:
        source: The open proposal.
        glyphs: Signs of the screen.
    """

    def __init__(self, source: ProposalSource, glyphs: Glyphs) -> None:
        super().__init__(source, glyphs)
        self._findings: tuple[Finding, ...] = ()
        self.finding_index = 0
        self.has_visited_finding = False

    def reveal_place(self, address: str) -> bool:
        """Put the cursor on an address, or on the place it is in, turning the tree where that helps."""
        raise NotImplementedError

    def begin_findings(self) -> None:
        """Begin at the first finding: another variant is shown."""
        self._findings, self.finding_index, self.has_visited_finding = (), 0, False

    def take_findings(self, view: RollupView) -> None:
        """Take the findings of a view; until they are known those from before it stay."""
        if isinstance(view, CheckedView):
            self._findings = view.findings
            self.finding_index = min(self.finding_index, max(0, len(view.findings) - 1))

    def show_failed_checks(self) -> None:
        """Say so in the strip."""
        self.query_one("#strip", Lines).rebuild()

    def strip_lines(self, width: int) -> Sequence[SpanLine]:
        """The findings from the current one on, or how far they are."""
        if self.view is None:
            return []
        lines = STRIP_LINES_TALL if self.app.size.height >= TALL_HEIGHT else STRIP_LINES
        if isinstance(self.view, CheckedView):
            return strip_lines(self._findings, self.view.checks, self.finding_index, lines, width, self.glyphs, "f")
        words = NOT_CHECKED if self.checks_failed else CHECKING.capitalize()
        return checking_lines(words, self._findings, self.finding_index, lines, width, self.glyphs)

    async def action_next_finding(self) -> None:
        """Go to the place of the next finding."""
        await self._step_finding(1)

    async def action_previous_finding(self) -> None:
        """Go to the place of the previous finding."""
        await self._step_finding(-1)

    async def _step_finding(self, step: int) -> None:
        view = await self.checked_view()
        if view is None:
            return
        if not view.findings:
            self.say("No open finding. " + view.checks)
            return
        if self.has_visited_finding or step < 0:
            self.finding_index = next_of(len(view.findings), self.finding_index, step)
        self._go_to_finding(self.finding_index)

    def _go_to_finding(self, index: int) -> None:
        """Make a finding the current one and go to its place."""
        self.finding_index, self.has_visited_finding = index, True
        self._show_finding(self._findings[index])

    def _show_finding(self, finding: Finding) -> None:
        """Go to the place of a finding."""
        is_shown = self.reveal_place(finding.target)
        self.query_one("#strip", Lines).rebuild()
        sentence = f"{finding.word}: {finding.message}"
        self.say(sentence if is_shown else f"{sentence} ({finding.place} has no line in the sheet)", is_short=True)

    async def action_findings(self) -> None:
        """List all findings."""
        view = await self.checked_view()
        if view is None:
            return

        def chosen(finding: Finding | None) -> None:
            if finding is None:
                return
            wanted = (finding.rule, finding.place, finding.message)
            known = [(own.rule, own.place, own.message) for own in self._findings]
            if wanted in known:
                self._go_to_finding(known.index(wanted))
            else:
                self._show_finding(finding)

        await self.app.push_screen(FindingsScreen(self.source, view, self.finding_index, self.glyphs), chosen)
