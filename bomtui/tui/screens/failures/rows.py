"""Rows and texts of the failures screen: plain data, no screen library."""

from collections.abc import Sequence

from bomtui.tui.view import Failure, FailuresView
from bomtui.tui.widgets.columns import Column
from bomtui.tui.widgets.rows import Row

COLUMNS = (
    Column("Taken out", max_width=44),
    Column("Outputs", align="right"),
    Column("Inputs", align="right"),
    Column("Perhaps", align="right"),
    Column("Highest level"),
)


def failure_rows(failures: Sequence[Failure]) -> list[Row]:
    """One row per thing that is taken out."""
    return [
        Row(own.key, 0, (own.title, str(own.outputs), str(own.inputs), str(own.possible), own.level or "nothing lost"))
        for own in failures
    ]


def row_to_start_on(failures: Sequence[Failure], address: str) -> str:
    """Key of the failure of a line of the sheet, or of the device or module that it is in; empty for none."""
    while address:
        found = next((own.key for own in failures if own.address == address), "")
        if found:
            return found
        address = address.rpartition(".")[0]
    return ""


def failure_lines(own: Failure, view: FailuresView) -> list[tuple[str, str]]:
    """What is lost with one thing, then what holds of all of them."""
    lines: list[tuple[str, str]] = [(f"{own.title} taken out", "strong")]
    lines += [(f"{label}:  {text}" if label else text, "") for label, text in own.lines]
    lines += [(view.caution, "key")]
    if view.common:
        lines += [
            ("", ""),
            ("Causes that a load shares with its stand-in", "strong"),
            *((text, "") for text in view.common),
        ]
    if view.unknown:
        lines += [("", ""), ("Not known", "strong"), *((text, "quiet") for text in view.unknown)]
    return lines
