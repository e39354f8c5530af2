"""What could be taken of drivers or modules: a report, and the steps that take it. Plain data, no screen library."""

from collections.abc import Mapping
from dataclasses import dataclass

from bomtui.edit.edit import Edit
from bomtui.tui.report import Report


@dataclass(frozen=True, slots=True)
class Opportunities:
    """What could be taken.

    Attributes:
        report: What is shown and written.
        edits: Per line of its first page that can be taken, the step that takes it.
        whole: All of them as one step, judged together; None where there is nothing to take.
        several: What is done to several of them in one step, in words before their names.
    """

    report: Report
    edits: Mapping[str, Edit]
    whole: Edit | None
    several: str
