"""A load list's dry run as the screens show it; loaded by who imports one."""

from collections.abc import Iterable
from pathlib import Path

from bomtui.model.proposal import Snapshot
from bomtui.services.errors import BomtuiError
from bomtui.services.files import FileExistsAlreadyError
from bomtui.services.load_import import LoadImport, plan_loads
from bomtui.services.present import counted
from bomtui.services.sheets import Answers, Problem, Question, save_answers
from bomtui.tui.load_list import LoadListReport, OpenQuestion
from bomtui.tui.marks import Mark
from bomtui.tui.report import ReportColumn, ReportLine, ReportPage
from bomtui.tui.view import WriteOutcome

QUESTIONS, COLUMNS = "questions", "columns"
_STATE_MARKS: dict[str, Mark] = {"new": "ok", "changed": "check", "kept": "note", "as it is": ""}
_ANSWERS_SUFFIX = ".answers.json"


def load_list_report(snapshot: Snapshot, path: Path, answers: Answers) -> LoadListReport:
    """Return what would become of a list.

    Args:
        snapshot: The open proposal.
        path: The list.
        answers: What was said of it.
    """
    plan = plan_loads(snapshot.proposal, path, answers)
    sheet = plan.sheet
    return LoadListReport(
        snapshot_number=snapshot.number,
        title=f"Load list {path.name}",
        sentences=tuple(_sentences(plan)),
        pages=(_questions(plan), _columns(plan), _rows(plan), *_problem_pages(plan)),
        path=str(path.with_suffix(_ANSWERS_SUFFIX)),
        suffixes=(".json",),
        write=lambda target, overwrite: _keep(answers, target, overwrite=overwrite),
        questions=_open(plan),
        edit=plan.edit,
        obstacle=sheet.obstacle(without_refused=False),
        obstacle_of_rest=sheet.obstacle(without_refused=True),
        refused=len(sheet.refused_lines),
    )


def _sentences(plan: LoadImport) -> Iterable[tuple[Mark, str]]:
    sheet = plan.sheet
    found = counted(len(sheet.rows), "load understood", "loads understood")
    refused = counted(len(sheet.refused_lines), "line refused", "lines refused")
    doubts = counted(len(sheet.doubts), "value to look at", "values to look at")
    obstacle = sheet.obstacle(without_refused=False)
    yield ("note" if obstacle else "ok"), f"Nothing is taken in yet: {found}, {refused}, {sheet.asked}, {doubts}."
    if obstacle:
        yield "check", f"It cannot be taken in: {obstacle}."
    elif plan.edit is None:
        yield "note", "All of it is in the proposal already."
    else:
        yield "ok", "i takes all of it in as one step; undo takes it back."


def _questions(plan: LoadImport) -> ReportPage:
    lines = tuple(
        ReportLine(
            f"q{number}",
            0,
            (_about(question), question.sentence),
            mark="check" if question.needed else "note",
            word="open" if question.needed else "may stay open",
            sentence=f"{question.sentence} Enter answers it.",
        )
        for number, question in enumerate(plan.sheet.questions)
    )
    columns = (ReportColumn("About", max_width=24), ReportColumn("Question", max_width=76))
    return ReportPage(QUESTIONS, columns, lines, state_title="State", empty="No question is open.")


def _about(question: Question) -> str:
    """What a question is about, in a word or two."""
    if question.about == COLUMNS:
        return question.subject
    return f"{question.about.replace('_', ' ')} {question.subject}".strip()


def _columns(plan: LoadImport) -> ReportPage:
    lines = tuple(
        ReportLine(
            f"c{number}",
            0,
            (header or f"#{number}", name or "not taken"),
            mark="" if name else "check",
            word="" if name else "not taken",
            sentence="Enter says what the column is.",
        )
        for number, (header, name) in enumerate(plan.sheet.columns, start=1)
    )
    columns = (ReportColumn("Column"), ReportColumn("Taken for"))
    return ReportPage(COLUMNS, columns, lines, state_title="State", empty="No column was found.")


def _rows(plan: LoadImport) -> ReportPage:
    lines = tuple(
        ReportLine(
            f"r{number}",
            0,
            (row.name, str(row.line), ", ".join(row.changes)),
            mark=_STATE_MARKS[row.state],
            word=row.state,
        )
        for number, row in enumerate(plan.sheet.rows)
    )
    columns = (ReportColumn("Load"), ReportColumn("Line", align="right"), ReportColumn("Fields", max_width=60))
    return ReportPage("loads", columns, lines, state_title="Becomes", empty="No load could be taken.")


def _problem_pages(plan: LoadImport) -> tuple[ReportPage, ...]:
    sheet = plan.sheet
    notices = tuple(ReportLine(f"n{number}", 0, (text,), sentence=text) for number, text in enumerate(sheet.notices))
    return (
        _problems("refused", sheet.problems, "over", "refused", "No row was refused."),
        _problems("to look at", sheet.doubts, "check", "look", "No value is doubted."),
        ReportPage("how it was read", (ReportColumn("Note"),), notices),
    )


def _problems(title: str, problems: Iterable[Problem], mark: Mark, word: str, empty: str) -> ReportPage:
    lines = tuple(
        ReportLine(
            f"p{number}",
            0,
            (
                "the file" if problem.line is None else f"line {problem.line}",
                ": ".join(part for part in (problem.field, problem.column, problem.message) if part),
            ),
            mark=mark,
            word=word,
            sentence=": ".join(part for part in (problem.field, problem.column, problem.message) if part),
        )
        for number, problem in enumerate(problems)
    )
    columns = (ReportColumn("Where"), ReportColumn("What", max_width=90))
    return ReportPage(title, columns, lines, state_title="State", empty=empty)


def _open(plan: LoadImport) -> dict[tuple[str, str], OpenQuestion]:
    found = {
        (QUESTIONS, f"q{number}"): OpenQuestion(
            question.about,
            question.subject,
            question.sentence,
            question.choices,
            question.choices[0] if question.choices else "",
        )
        for number, question in enumerate(plan.sheet.questions)
    }
    for number, (header, name) in enumerate(plan.sheet.columns, start=1):
        sentence = f"What is the column {header or number}? A header that the program knows, or ignore:"
        found[COLUMNS, f"c{number}"] = OpenQuestion("columns", f"#{number}", sentence, (), name or "ignore")
    return found


def _keep(answers: Answers, target: str, *, overwrite: bool) -> WriteOutcome:
    path = Path(target).expanduser()
    try:
        save_answers(path, answers, overwrite=overwrite)
    except FileExistsAlreadyError as error:
        return WriteOutcome("exists", f"{error}.")
    except BomtuiError as error:
        return WriteOutcome("refused", f"{error}.")
    return WriteOutcome("written", f"Kept the answers in {path}; o uses them for the next list of this form.")
