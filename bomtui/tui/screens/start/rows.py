"""Proposals that can be opened, as rows: plain data, no screen library."""

from collections.abc import Sequence

from bomtui.tui.widgets.columns import Column
from bomtui.tui.widgets.rows import Row
from bomtui.tui.workplace import Entry

COLUMNS = (Column("Proposal", max_width=48), Column("Remark", max_width=40), Column("Path", max_width=90))
RECENT_KEY = "recent"
SAMPLES_KEY = "samples"
NOTHING_KEY = "nothing"


def start_rows(recent: Sequence[Entry], samples: Sequence[Entry]) -> tuple[list[Row], dict[str, str]]:
    """Rows of the start screen, and the path behind each row that opens one."""
    rows = [Row(RECENT_KEY, 0, ("Opened last", "", ""), has_children=True)]
    paths: dict[str, str] = {}
    if not recent:
        rows.append(Row(NOTHING_KEY, 1, ("Nothing yet; o opens a path.", "", "")))
    for group, entries in ((RECENT_KEY, recent), (SAMPLES_KEY, samples)):
        if group == SAMPLES_KEY:
            rows.append(Row(SAMPLES_KEY, 0, ("Samples, all invented", "", ""), has_children=True))
        for number, entry in enumerate(entries):
            key = f"{group} {number}"
            paths[key] = entry.path
            rows.append(Row(key, 1, (entry.title, entry.note, entry.path)))
    return rows, paths
