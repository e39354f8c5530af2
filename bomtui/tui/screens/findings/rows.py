"""Findings as rows and as text: plain data, no screen library."""

from collections.abc import Sequence

from bomtui.tui.glyphs import Glyphs
from bomtui.tui.view import Finding
from bomtui.tui.widgets.columns import Column
from bomtui.tui.widgets.rows import Row

COLUMNS = (
    Column("Place", max_width=24),
    Column("Finding", max_width=70),
    Column("Rule"),
    Column("Has", align="right"),
    Column("Limit", align="right"),
    Column("Status", max_width=30),
)


def finding_rows(findings: Sequence[Finding]) -> list[Row]:
    """One row per finding."""
    return [
        Row(
            finding.key,
            0,
            (finding.place, finding.message, finding.rule, finding.measured, finding.limit, _status(finding)),
            mark=finding.mark,
            word=_word(finding),
        )
        for finding in findings
    ]


def _word(finding: Finding) -> str:
    """The state in words, with what became of it: the last column may be out of sight."""
    if finding.accepted_id and finding.can_be_accepted:
        return f"{finding.word}, accepted"
    return f"{finding.word}, lapsed" if finding.lapsed else finding.word


def _status(finding: Finding) -> str:
    return f"{finding.status} again: acceptance lapsed" if finding.lapsed else finding.status


def finding_lines(finding: Finding, glyphs: Glyphs) -> list[tuple[str, str]]:
    """A finding in full."""
    named = (
        ("status", finding.status),
        ("lapsed", finding.lapsed),
        ("has", finding.measured),
        ("limit", finding.limit),
        ("what to do", finding.remedy),
        ("rule", finding.rule),
    )
    return [
        (f"{glyphs.state(finding.mark, finding.word)}  {finding.place}", finding.mark),
        (finding.message, "strong"),
        ("", ""),
        *((f"{name.ljust(12)}{text}", "") for name, text in named if text),
        *((line, "quiet") for line in ("", *finding.about) if finding.about),
    ]
