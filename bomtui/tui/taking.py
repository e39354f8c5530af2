"""Parts of the catalog that could be taken: a report, and the steps that take them. Plain data, no screen library."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from bomtui.tui.report import Report

if TYPE_CHECKING:
    from bomtui.edit.edit import Edit


@dataclass(frozen=True, slots=True)
class TakingReport(Report):
    """What could be taken.

    Attributes:
        edits: Per part that can be taken, by the key of its outermost line, the step that takes it.
        whole: All of them as one step; None where there is nothing to take.
    """

    edits: "Mapping[str, Edit]"
    whole: "Edit | None"
