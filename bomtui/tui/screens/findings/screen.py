"""All findings of a variant: the list above, the chosen one in full below."""

from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import ClassVar

from textual import on
from textual.binding import BindingType
from textual.widget import Widget

from bomtui.tui.glyphs import Glyphs
from bomtui.tui.screens.findings.rows import COLUMNS, finding_lines, finding_rows
from bomtui.tui.screens.fitted import FittedScreen
from bomtui.tui.text import width_of, wrap
from bomtui.tui.user_commands import bindings
from bomtui.tui.view import Finding
from bomtui.tui.widgets.lines import Lines, SpanLine
from bomtui.tui.widgets.rows import Row
from bomtui.tui.widgets.sheet import Sheet
from bomtui.tui.widgets.text_pane import TextPane


class FindingsScreen(FittedScreen[int | None]):
    """The list of findings; ends with the index of the finding to go to, or with None.

    Args:
        findings: All findings, worst first.
        checks: How many checks ran and how many could not.
        current: Index of the finding to start on.
        glyphs: Signs of the screen.
    """

    SCOPES = ("findings", "sheet", "text")
    BINDINGS: ClassVar[list[BindingType]] = [*bindings("findings")]
    CSS_PATH = Path(__file__).with_name("findings.tcss")

    def __init__(self, findings: Sequence[Finding], checks: str, current: int, glyphs: Glyphs) -> None:
        super().__init__(glyphs)
        self._findings = findings
        self._checks = checks
        self._current = current

    def compose_parts(self) -> Iterable[Widget]:
        """Title, list, the finding in full."""
        yield Lines(self._title, id="title")
        empty = f"No open finding. {self._checks}"
        yield Sheet(COLUMNS, self.glyphs, id="list", take=self._go_to, state_title="State", empty=empty)
        yield TextPane(id="finding")

    def _title(self, width: int) -> Sequence[SpanLine]:
        """How many there are and what was checked, on one line where there is room."""
        head, checks = f" Findings {len(self._findings)}", f"   {self._checks}"
        if width_of(head) + width_of(checks) <= width:
            return [[(head, "strong"), (checks, "quiet")]]
        return [[(head, "strong")], *([(f" {line}", "quiet")] for line in wrap(self._checks, width - 2, hang=0))]

    def on_mount(self) -> None:
        """Show the list with the cursor on the finding to start on."""
        sheet = self.query_one("#list", Sheet)
        sheet.set_rows(finding_rows(self._findings))
        if self._findings:
            sheet.reveal(self._findings[self._current].key)
        self.set_focus(sheet)

    @on(Sheet.Moved)
    def _show(self, message: Sheet.Moved) -> None:
        finding = next(finding for finding in self._findings if finding.key == message.row.key)
        self.query_one("#finding", TextPane).set_text(finding_lines(finding, self.glyphs))

    def _go_to(self, row: Row) -> None:
        self.dismiss([finding.key for finding in self._findings].index(row.key))

    def action_go(self) -> None:
        """Go to the place of the finding."""
        row = self.query_one("#list", Sheet).cursor_row
        if row is not None:
            self._go_to(row)

    def action_leave(self) -> None:
        """Go back to the sheet."""
        self.dismiss(None)
