"""A report from which parts of the catalog are taken."""

from bomtui.edit.edit import Edit
from bomtui.tui.screens.report.screen import ReportScreen
from bomtui.tui.taking import TakingReport
from bomtui.tui.widgets.rows import Row


class TakingScreen(ReportScreen):
    """A report of parts, each of them a step that can be done."""

    @property
    def found(self) -> TakingReport | None:
        """What is shown; None where nothing is."""
        return self._report if isinstance(self._report, TakingReport) else None

    def _take(self, _row: Row) -> None:
        self.say("This line is shown only: y takes its part.")

    async def action_take(self) -> None:
        """Take the part of the line under the cursor."""
        row, found = self.sheet.cursor_row, self.found
        key = "" if row is None else str(row.key).partition("\x1e")[0]
        if found is None or key not in found.edits:
            self.say("This line is no part that can be taken.")
        else:
            await self.do_found(found, found.edits[key])

    async def do_found(self, found: TakingReport, edit: Edit) -> None:
        """Do a step of a report, unless the proposal has gone on since it was made."""
        if found.snapshot_number != self.source.snapshot_number:
            self.say("The proposal has changed since: the report is made anew.")
            self.make()
        else:
            await self.do(edit)
