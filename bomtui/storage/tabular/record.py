"""Rows of a sheet as text, whatever file they come from; what a cell was before it was text is kept beside it."""

from collections.abc import Mapping
from typing import Literal, NamedTuple

MarkKind = Literal["number", "zeros", "long", "date", "flag", "formula", "error"]
"""What a cell of a workbook is.

number: a number, so that its text has a decimal point whatever the sheet shows; zeros: a number shown with leading
zeros, which its text has, too; long: a number of more digits than a workbook can keep; date: a day or time; flag: true
or false; formula: a formula whose result was not saved; error: a fault value such as #N/A.
"""

UNUSABLE: Mapping[str, str] = {
    "formula": "a formula without a saved result",
    "error": "the fault value of a spreadsheet",
}
"""Kinds of cells of which no value can be taken, with what a message calls them."""


class Mark(NamedTuple):
    """What a cell of a workbook is.

    Attributes:
        kind: Its kind.
        text: What a message shows: the formula, the fault value, the day; empty for a plain number.
    """

    kind: MarkKind
    text: str = ""


class Record(NamedTuple):
    """One row.

    Attributes:
        line: Line of its first character, or row of the sheet; 1 for the first.
        cells: Its cells without their quotes.
        fault: What is wrong with its quotes; empty where nothing is, otherwise the cells are not to be used.
        marks: Cells of a workbook that are no text, by their place in the row, 0 for the first.
    """

    line: int
    cells: tuple[str, ...]
    fault: str = ""
    marks: Mapping[int, Mark] = {}


class Merge(NamedTuple):
    """Cells that a workbook shows as one, by their lines (1 for the first) and columns (0 for the first)."""

    first_line: int
    first_column: int
    last_line: int
    last_column: int


class Sheet(NamedTuple):
    """One sheet of a workbook, or a whole text.

    Attributes:
        name: Its name; empty for a text.
        records: Its rows without the blank ones.
        merges: Cells that are shown as one.
        hidden_lines: Rows that are hidden; they are among the records.
        hidden_columns: Columns that are hidden, 0 for the first; their cells are among the records'.
        notices: What was decided in reading it.
    """

    name: str
    records: tuple[Record, ...]
    merges: tuple[Merge, ...] = ()
    hidden_lines: frozenset[int] = frozenset()
    hidden_columns: frozenset[int] = frozenset()
    notices: tuple[str, ...] = ()
