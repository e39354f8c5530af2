"""Frozen parts of the open proposal beside the catalog: taken one by one, all as one step, or left as quoted."""

from typing import ClassVar

from textual.binding import BindingType

from bomtui.edit.edit import Edit
from bomtui.tui.refresh import RefreshReport
from bomtui.tui.report import Refused, Report
from bomtui.tui.screens.report.screen import ReportScreen
from bomtui.tui.user_commands import bindings
from bomtui.tui.widgets.rows import Row


class RefreshScreen(ReportScreen):
    """What the catalog says now of the parts that the proposal is computed with."""

    SCOPES = ("refresh", "keep", "sheet")
    BINDINGS: ClassVar[list[BindingType]] = [*bindings("refresh")]

    def make_report(self) -> Report | Refused:
        """Compare every frozen part with the catalog."""
        return self.source.refresh(self.variant)

    @property
    def _refresh(self) -> RefreshReport | None:
        return self._report if isinstance(self._report, RefreshReport) else None

    def _take(self, _row: Row) -> None:
        self.say("This line is shown only: y takes its part, A all of them.")

    async def action_take(self) -> None:
        """Take what the catalog says of the part under the cursor."""
        row, found = self.sheet.cursor_row, self._refresh
        key = "" if row is None else str(row.key).partition("\x1e")[0]
        if found is None or key not in found.edits:
            self.say("This line is no part that can be taken: go to one of the first page.")
        else:
            await self._do(found, found.edits[key])

    async def action_take_all(self) -> None:
        """Take every part that differs as one step."""
        found = self._refresh
        if found is None or found.whole is None:
            self.say("There is nothing to take.")
        else:
            await self._do(found, found.whole)

    async def _do(self, found: RefreshReport, edit: Edit) -> None:
        if found.snapshot_number != self.source.snapshot_number:
            self.say("The proposal has changed since: the parts are compared anew.")
            self.make()
        else:
            await self.do(edit)
