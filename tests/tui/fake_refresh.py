"""An invented difference between frozen parts and the catalog, without any catalog behind it."""

from collections.abc import Callable

from bomtui.edit.edit import Edit
from bomtui.tui.report import ReportColumn, ReportLine, ReportPage
from bomtui.tui.taking import TakingReport
from bomtui.tui.view import WriteOutcome


def fake_refresh(
    snapshot_number: int, variant: str, write: Callable[[str, bool], WriteOutcome], edit: Edit
) -> TakingReport:
    """One part that differs.

    Args:
        snapshot_number: Number of the snapshot.
        variant: The variant.
        write: Writes the report.
        edit: The step that takes it.
    """
    line = ReportLine(
        "part hs24-4x50",
        0,
        ("hs24-4x50", "+0.5000"),
        has_children=True,
        mark="ok",
        word="no new finding",
        variant=variant,
        address="ZREA.U1",
        sentence="hs24-4x50: ZREA.U1",
    )
    below = ReportLine("part hs24-4x50\x1e0", 1, ("breaks: 1: 1.32 -> 1: 1.82",))
    page = ReportPage("changed", (ReportColumn("Part"), ReportColumn("Cost", "EUR", "right")), (line, below), "State")
    return TakingReport(snapshot_number, "Frozen parts: 1 differs", (), (page,), "", (), write, {line.key: edit}, edit)
