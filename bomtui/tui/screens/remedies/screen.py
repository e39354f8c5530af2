"""Parts of the catalog that would make a finding go away, each judged in its place; one is taken as a step."""

from typing import ClassVar

from textual.binding import BindingType

from bomtui.tui.glyphs import Glyphs
from bomtui.tui.report import Refused, Report
from bomtui.tui.screens.report.taking import TakingScreen
from bomtui.tui.source import ProposalSource
from bomtui.tui.user_commands import bindings


class RemediesScreen(TakingScreen):
    """What the catalog has for a finding.

    Args:
        source: The open proposal.
        variant: Id of the variant that is shown.
        glyphs: Signs of the screen.
        rule: Rule of the finding.
        place: Its place.
    """

    SCOPES = ("remedies", "keep", "sheet")
    BINDINGS: ClassVar[list[BindingType]] = [*bindings("remedies")]

    def __init__(self, source: ProposalSource, variant: str, glyphs: Glyphs, rule: str, place: str) -> None:
        super().__init__(source, variant, glyphs)
        self._rule = rule
        self._place = place

    def make_report(self) -> Report | Refused:
        """Look for parts and judge them."""
        return self.source.remedies(self.variant, self._rule, self._place)
