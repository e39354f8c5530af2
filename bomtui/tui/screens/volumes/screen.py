"""Cost over vehicles a year and over the years: one variant, or two with their break-even."""

from typing import ClassVar

from textual.binding import BindingType

from bomtui.tui.glyphs import Glyphs
from bomtui.tui.report import Refused, Report
from bomtui.tui.screens.choice.screen import Choice
from bomtui.tui.screens.report.screen import ReportScreen
from bomtui.tui.source import ProposalSource
from bomtui.tui.user_commands import bindings

ALONE = ""


class VolumesScreen(ReportScreen):
    """Cost over volume.

    Args:
        source: The open proposal.
        variant: Variant that is shown.
        glyphs: Signs of the screen.
    """

    SCOPES = ("volumes", "keep", "sheet")
    BINDINGS: ClassVar[list[BindingType]] = [*bindings("volumes")]

    def __init__(self, source: ProposalSource, variant: str, glyphs: Glyphs) -> None:
        super().__init__(source, variant, glyphs)
        self._other = ALONE
        self._asked_for: tuple[int, ...] = ()

    def make_report(self) -> Report | Refused:
        """Cost the variants over volume."""
        variants = (self.variant, self._other) if self._other else (self.variant,)
        return self.source.over_volume(variants, self._asked_for)

    async def action_other(self) -> None:
        """Choose another variant for the break-even, or none."""
        others = [own for own in self.source.variants() if own.id != self.variant]
        choices = [Choice(ALONE, f"{self.variant} alone", "no break-even")]
        choices += [Choice(own.id, own.id, own.title) for own in others]

        def chosen(variant: str | None) -> None:
            if variant is not None:
                self._other = variant
                self.make()

        await self.choose(f"Break-even of {self.variant} with which variant?", choices, chosen, current=self._other)

    def action_add(self) -> None:
        """Ask for a further volume."""

        def answered(text: str) -> None:
            words = text.replace(",", " ").split()
            if not words:
                return
            if not all(word.isascii() and word.isdecimal() and int(word) for word in words):
                self.say("Expected whole numbers above 0, vehicles a year.")
                self.ask("Further volumes, vehicles a year:", text, answered)
                return
            self._asked_for = (*self._asked_for, *map(int, words))
            self.make()

        self.ask("Further volumes, vehicles a year:", "", answered)
