"""Frozen parts of the open proposal beside the catalog: taken one by one, all as one step, or left as quoted."""

from typing import ClassVar

from textual.binding import BindingType

from bomtui.tui.report import Refused, Report
from bomtui.tui.screens.report.taking import TakingScreen
from bomtui.tui.user_commands import bindings


class RefreshScreen(TakingScreen):
    """What the catalog says now of the parts that the proposal is computed with."""

    SCOPES = ("refresh", "keep", "sheet")
    BINDINGS: ClassVar[list[BindingType]] = [*bindings("refresh")]

    def make_report(self) -> Report | Refused:
        """Compare every frozen part with the catalog."""
        return self.source.refresh(self.variant)

    async def action_take_all(self) -> None:
        """Take every part that differs as one step."""
        found = self.found
        if found is None or found.whole is None:
            self.say("There is nothing to take.")
        else:
            await self.do_found(found, found.whole)
