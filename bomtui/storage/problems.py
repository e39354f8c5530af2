"""What is wrong with a file: one sentence each, with the place where it is wrong."""

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Problem:
    """One fault of a file.

    Attributes:
        file: Name of the file, as the person knows it.
        message: One clear sentence: what was expected, what was found.
        line: Line of the file, 1 for the first; None where the fault is not at one line.
        column: Column of a sheet by its header, or the character of a line; empty where it is not known.
        field: Keys of the field joined by dots (`loads.L11.rated_power`); empty where it concerns the file.
        found: What stands there.
        expected: What is expected there.
    """

    file: str
    message: str
    line: int | None = None
    column: str = ""
    field: str = ""
    found: str = ""
    expected: str = ""

    def __str__(self) -> str:
        """Write the place and the sentence on one line: `van.toml:12: loads.L1.zone: expected ...`."""
        place = self.file if self.line is None else f"{self.file}:{self.line}"
        details = ": ".join(part for part in (self.field, self.column) if part)
        return f"{place}: {details}: {self.message}" if details else f"{place}: {self.message}"


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault of a record before its line is looked up.

    Attributes:
        path: Keys from the top of the file to the field or table.
        message: One clear sentence.
        found: What stands there.
        expected: What is expected there.
    """

    path: tuple[str, ...]
    message: str
    found: str = ""
    expected: str = ""


def in_file_order(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    """Return problems in the order of their lines, those of the whole file first."""
    return tuple(sorted(problems, key=lambda problem: problem.line or 0))
