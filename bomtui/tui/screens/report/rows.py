"""Pages of a report as rows and columns of a sheet: plain data, no screen library."""

from collections.abc import Iterable

from bomtui.tui.report import Report, ReportColumn, ReportPage
from bomtui.tui.widgets.columns import Column
from bomtui.tui.widgets.rows import Row


def page_columns(page: ReportPage) -> tuple[Column, ...]:
    """Columns of a page."""
    return columns_of(page.columns)


def columns_of(columns: Iterable[ReportColumn]) -> tuple[Column, ...]:
    """Columns of a sheet."""
    return tuple(Column(own.title, own.unit, own.align, max_width=own.max_width) for own in columns)


def page_rows(page: ReportPage) -> list[Row]:
    """Rows of a page, each with a cell for every column."""
    count = len(page.columns)
    return [
        Row(
            own.key,
            own.depth,
            (*own.cells, *[""] * (count - len(own.cells))),
            own.has_children,
            own.mark,
            own.word,
        )
        for own in page.lines
    ]


def first_open(page: ReportPage) -> list[str]:
    """Keys of the outermost rows, which are open at first."""
    return [own.key for own in page.lines if own.has_children and own.depth == 0]


def page_words(report: Report, shown: int) -> list[tuple[str, str]]:
    """Names of the pages as spans, the one that is shown in strong letters and between brackets."""
    spans = []
    for number, page in enumerate(report.pages):
        text, style = (f"[{page.title}]", "strong") if number == shown else (page.title, "quiet")
        spans += [("  ", ""), (text, style)]
    return spans
