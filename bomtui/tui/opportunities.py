"""What could be taken of drivers or modules: a report, and the steps that take it. Plain data, no screen library."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from bomtui.edit.edit import Edit
from bomtui.tui.report import Report


@dataclass(frozen=True, slots=True)
class Opportunities:
    """What could be taken.

    Attributes:
        report: What is shown and written.
        edits: Per line that can be taken, by its key, the step that takes it.
        whole: All drivers, or all modules, as one step, judged together; None where there is nothing to take.
        together: What several lines, by their keys, newly bring together beyond what each says; empty for nothing. May
            take a while.
    """

    report: Report
    edits: Mapping[str, Edit]
    whole: Edit | None
    together: Callable[[tuple[str, ...]], str]
