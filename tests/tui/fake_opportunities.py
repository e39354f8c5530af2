"""Invented opportunities for the screens, without any packing behind them."""

import threading
from collections.abc import Callable
from dataclasses import replace

from bomtui.edit.edits.group import Group
from bomtui.tui.opportunities import Opportunities
from bomtui.tui.report import Report, ReportColumn, ReportLine, ReportPage

MODULES = ("ZHMI", "ZREA")
SETS = ("ZCEN+ZHMI", "ZHMI+ZREA", "ZENG+ZUND")


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
    _search(is_wanted, searches=searches)
    title = f"Opportunities in {variant}{'' if is_wanted() else ', stopped'}"
    edits = {module: Group(edits=(), words=f"pack {module}") for module in MODULES}
    both = Group(edits=(), words="pack both")
    return Opportunities(replace(report, title=title, pages=(_page(MODULES),)), edits, both, lambda _: together)


def fake_module_opportunities(
    report: Report, variant: str, tell: Callable[[str], None], is_wanted: Callable[[], bool], *, searches: bool
) -> Opportunities:
    """Three sets of modules that could become one, two of them with a module in common; arguments as above."""
    tell("Trying sets of modules: 1 of 3.")
    _search(is_wanted, searches=searches)
    edits = {name: Group(edits=(), words=f"merge {name}") for name in SETS}
    report = replace(report, title=f"Fewer modules in {variant}", pages=(_page(SETS),))
    return Opportunities(report, edits, None, lambda _: "")


def _search(is_wanted: Callable[[], bool], *, searches: bool) -> None:
    while searches and is_wanted():
        threading.Event().wait(0.01)


def _page(names: tuple[str, ...]) -> ReportPage:
    columns = (ReportColumn("Module"), ReportColumn("Saves", "EUR", "right"))
    lines = tuple(ReportLine(name, 0, (name, "+0.2400"), word="clean", mark="ok", address=name) for name in names)
    return ReportPage("gains", columns, lines, state_title="State")
