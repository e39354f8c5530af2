"""What every import of a sheet has in common: answers, what is open, and whether it may be written."""

from dataclasses import dataclass
from pathlib import Path

import msgspec

from bomtui.services.errors import BomtuiError
from bomtui.services.files import write_output
from bomtui.services.present import counted
from bomtui.storage.problems import Problem
from bomtui.storage.proposal.toml_file import UnreadableError
from bomtui.storage.tabular.answers import Answers, Question
from bomtui.storage.tabular.answers_file import answers_bytes, read_answers, wrong_answer

__all__ = [
    "Answers",
    "Problem",
    "Question",
    "Row",
    "Sheet",
    "answered",
    "checked",
    "read_answers_file",
    "save_answers",
]

NEW, CHANGED, SAME, KEPT = "new", "changed", "as it is", "kept"
"""What becomes of a row: something new, a change, nothing because all is there, nothing because that was said."""


@dataclass(frozen=True, slots=True)
class Row:
    """What becomes of one row that was understood.

    Attributes:
        line: Its line.
        name: Id or key of what it becomes.
        state: What becomes of it.
        changes: Fields that it gives or changes, in file keys.
        said: Their values, and the former ones, in words; empty where a row has too many to read.
    """

    line: int
    name: str
    state: str
    changes: tuple[str, ...]
    said: str = ""


@dataclass(frozen=True, slots=True)
class Sheet:
    """The dry run of an import: nothing has been written.

    Attributes:
        file: Name of the list.
        rows: Rows that were understood.
        columns: Header and what it was taken for; empty where a column is not taken.
        questions: What the list leaves open.
        problems: Columns and rows that were refused.
        doubts: Values that deserve a look, with their likely cause.
        notices: What was decided in reading it.
    """

    file: str
    rows: tuple[Row, ...]
    columns: tuple[tuple[str, str], ...]
    questions: tuple[Question, ...]
    problems: tuple[Problem, ...]
    doubts: tuple[Problem, ...]
    notices: tuple[str, ...]

    @property
    def refused_lines(self) -> tuple[int, ...]:
        """Lines of the rows that were refused."""
        return tuple(sorted({problem.line for problem in self.problems if problem.line is not None}))

    @property
    def asked(self) -> str:
        """How many questions are open, those that may stay so told apart."""
        needed = sum(question.needed for question in self.questions)
        others = len(self.questions) - needed
        return counted(needed, "question open", "questions open") + (f" and {others} that may stay open" * bool(others))

    def obstacle(self, *, without_refused: bool) -> str:
        """Say why nothing may be written; empty where something may.

        Args:
            without_refused: Whether a person has agreed to leave refused rows out.
        """
        needed = [question for question in self.questions if question.needed]
        if needed:
            return counted(len(needed), "question is open", "questions are open")
        if self.problems and not (without_refused and self.rows):
            return counted(len(self.refused_lines), "row was refused", "rows were refused")
        return "" if self.rows else "no row could be taken"


def read_answers_file(path: Path) -> Answers:
    """Read answers that were kept.

    Raises:
        BomtuiError: There is no such file, or it holds something else.
    """
    try:
        return read_answers(path)
    except UnreadableError as error:
        raise BomtuiError(str(error)) from None


def checked(answers: Answers) -> Answers:
    """Return answers of which each is lawful.

    Raises:
        BomtuiError: One is not.
    """
    wrong = wrong_answer(answers)
    if wrong:
        raise BomtuiError(wrong)
    return answers


def answered(answers: Answers, about: str, subject: str, text: str) -> Answers:
    """Return answers with one more.

    Args:
        answers: What was said before.
        about: What the answer is of, as `Question.about` says it.
        subject: Header of the column that it is about; empty for anything else.
        text: The answer, one of the question's choices where it has some.

    Raises:
        BomtuiError: It is none.
    """
    if about == "columns":
        place, sign, name = text.partition("=") if text.startswith("#") else (subject, "=", text)
        value: object = {**answers.columns, place: name.strip()} if sign else answers.columns
    elif about == "fill_down":
        value = tuple(dict.fromkeys((*answers.fill_down, text)))
    elif about == "header_row":
        if not text.isdecimal():
            raise BomtuiError(f"header_row: expected a line of the list, found {text}")
        value = int(text)
    else:
        value = text
    return checked(msgspec.structs.replace(answers, **{about: value}))


def save_answers(path: Path, answers: Answers, *, overwrite: bool = True) -> None:
    """Keep answers in a file.

    Args:
        path: The file.
        answers: The answers.
        overwrite: Whether a file of that name may be replaced.

    Raises:
        FileExistsAlreadyError: There is such a file and it may not be replaced.
        BomtuiError: It cannot be written.
    """
    write_output(path, answers_bytes(answers), overwrite=overwrite)
