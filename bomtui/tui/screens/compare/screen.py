"""Two variants, or two revisions, side by side: scope and verdict, why they differ, measures, parts, what moves it."""

from typing import ClassVar

from textual.binding import BindingType

from bomtui.tui.glyphs import Glyphs
from bomtui.tui.report import Refused, Report
from bomtui.tui.screens.choice.screen import Choice
from bomtui.tui.screens.report.screen import ReportScreen
from bomtui.tui.source import ProposalSource
from bomtui.tui.user_commands import bindings


class CompareScreen(ReportScreen):
    """A comparison.

    Args:
        source: The open proposal.
        first: Variant of the first side.
        second: Variant of the second side.
        glyphs: Signs of the screen.
    """

    SCOPES = ("compare", "keep", "sheet")
    BINDINGS: ClassVar[list[BindingType]] = [*bindings("compare")]

    def __init__(self, source: ProposalSource, first: str, second: str, glyphs: Glyphs) -> None:
        super().__init__(source, second, glyphs)
        self._first = first
        self._path = ""
        self._shown = (first, second, "")

    def make_report(self) -> Report | Refused:
        """Compare."""
        return self.source.comparison(self._first, self.variant, self._path)

    def _sides(self, first: str, second: str, path: str = "") -> None:
        self._shown = (self._first, self.variant, self._path)
        self._first, self.variant, self._path = first, second, path
        self.make()

    def refused(self) -> None:
        """Go on with the sides that are shown."""
        self._first, self.variant, self._path = self._shown

    def action_swap_sides(self) -> None:
        """Let first and second change places."""
        if self._path:
            self.say("The first side is another file: its variant cannot be the one that is worked on.")
            return
        self._sides(self.variant, self._first)

    async def action_other(self) -> None:
        """Choose another variant for the first side."""
        choices = [Choice(own.id, own.id, own.title) for own in self.source.variants()]

        def chosen(variant: str | None) -> None:
            if variant is not None:
                self._sides(variant, self.variant)

        await self.choose(f"Compare {self.variant} with which variant?", choices, chosen, current=self._first)

    def action_other_file(self) -> None:
        """Ask for another revision of the proposal for the first side."""

        def answered(text: str) -> None:
            if text.strip():
                # Another revision is compared in the same variant.
                self._sides(self.variant, self.variant, text.strip())

        self.ask("Compare with the proposal in file or folder:", self._path or self.source.path, answered)
