"""Invented opportunities for the screens, without any packing behind them."""

import threading
from collections.abc import Callable
from dataclasses import replace

from bomtui.edit.edits.group import Group
from bomtui.tui.opportunities import Opportunities
from bomtui.tui.report import Report, ReportColumn, ReportLine, ReportPage

MODULES = ("ZHMI", "ZREA")


def fake_opportunities(
    report: Report,
    variant: str,
    tell: Callable[[str], None],
    is_wanted: Callable[[], bool],
    *,
    searches: bool,
    together: str = "",
) -> Opportunities:
    """Two modules that could be packed anew.

    Args:
        report: A report of the newest snapshot.
        variant: The variant.
        tell: Gets how far the search is.
        is_wanted: Whether it is still wanted.
        searches: Search until it is not.
        together: What several are said to bring together.
    """
    tell("Searching, round 1.")
    while searches and is_wanted():
        threading.Event().wait(0.01)
    columns = (ReportColumn("Module"), ReportColumn("Saves", "EUR", "right"))
    lines = tuple(
        ReportLine(module, 0, (module, "+0.2400"), word="clean", mark="ok", address=module) for module in MODULES
    )
    page = ReportPage("gains", columns, lines, state_title="State")
    title = f"Opportunities in {variant}{'' if is_wanted() else ', stopped'}"
    edits = {module: Group(edits=(), words=f"pack {module}") for module in MODULES}
    return Opportunities(
        replace(report, title=title, pages=(page,)), edits, Group(edits=(), words="pack both"), lambda _: together
    )
