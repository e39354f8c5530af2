"""The dry run of a list as the screens show it; loaded by who takes one in."""

from collections.abc import Callable, Iterable
from functools import partial
from pathlib import Path

from bomtui.edit.edit import Edit
from bomtui.model.proposal import Snapshot
from bomtui.services.catalog_import import import_parts
from bomtui.services.errors import BomtuiError
from bomtui.services.files import FileExistsAlreadyError
from bomtui.services.list_import import plan_list
from bomtui.services.load_import import plan_loads
from bomtui.services.present import counted
from bomtui.services.sheets import Answers, Problem, Question, Sheet, save_answers
from bomtui.tui.catalog import CatalogOutcome
from bomtui.tui.incoming import IncomingReport, Listed, OpenQuestion
from bomtui.tui.marks import Mark
from bomtui.tui.report import Refused, ReportColumn, ReportLine, ReportPage
from bomtui.tui.view import WriteOutcome

_ONE: dict[Listed, str] = {
    "loads": "load",
    "placements": "placement",
    "distances": "distance",
    "quantities": "quantity",
    "parts": "part",
}
QUESTIONS, COLUMNS = "questions", "columns"
_STATE_MARKS: dict[str, Mark] = {"new": "ok", "changed": "check", "kept": "note", "as it is": ""}
_ANSWERS_SUFFIX = ".answers.json"
_FIELDS_WIDTH = 40
"""Leaves room for the other columns in a screen of 80; the line below says all of it."""


def incoming_report(
    snapshot: Snapshot, what: Listed, variant: str, path: Path, answers: Answers, catalog: str | None = None
) -> IncomingReport | Refused:
    """Return what would become of a list.

    Args:
        snapshot: The open proposal.
        what: What the list holds.
        variant: Variant in which placements and quantities are set.
        path: The list.
        answers: What was said of it.
        catalog: Where the catalog is; None for the usual place.
    """
    edit: Edit | None = None
    into_catalog: Callable[[bool], CatalogOutcome] | None = None
    if what == "parts":
        try:
            parts = import_parts(path, answers, place=catalog, dry_run=True)
        except BomtuiError as error:
            return Refused(f"{error}.")
        sheet = parts.sheet
        if parts.parts:
            into_catalog = partial(_into_catalog, path, answers, catalog)
    else:
        plan = (
            plan_loads(snapshot.proposal, path, answers)
            if what == "loads"
            else plan_list(snapshot, what, variant, path, answers)
        )
        sheet, edit = plan.sheet, plan.edit
    return IncomingReport(
        snapshot_number=snapshot.number,
        title=f"List of {what} {path.name}",
        sentences=tuple(_sentences(sheet, what, has_something=edit is not None or into_catalog is not None)),
        pages=(_questions(sheet), _columns(sheet), _rows(sheet, what), *_problem_pages(sheet)),
        path=str(path.with_suffix(_ANSWERS_SUFFIX)),
        suffixes=(".json",),
        write=lambda target, overwrite: _keep(answers, target, overwrite=overwrite),
        questions=_open(sheet),
        edit=edit,
        into_catalog=into_catalog,
        obstacle=sheet.obstacle(without_refused=False),
        obstacle_of_rest=sheet.obstacle(without_refused=True),
        refused=len(sheet.refused_lines),
    )


def _into_catalog(path: Path, answers: Answers, place: str | None, without_refused: bool) -> CatalogOutcome:  # noqa: FBT001 - as the screen calls it
    """Take a list of parts in; what stands in the file now counts, and is judged once more."""
    try:
        done = import_parts(path, answers, place=place, without_refused=without_refused)
    except BomtuiError as error:
        return CatalogOutcome("refused", f"{error}.")
    obstacle = done.sheet.obstacle(without_refused=without_refused)
    if obstacle:
        return CatalogOutcome("refused", f"Nothing was taken in: {obstacle}.")
    count = counted(len(done.parts), "part", "parts")
    return CatalogOutcome("done", f"Taken into the catalog: {count}. Its own history takes it back (K, then h).")


def _sentences(sheet: Sheet, what: Listed, *, has_something: bool) -> Iterable[tuple[Mark, str]]:
    found = counted(len(sheet.rows), f"{_ONE[what]} understood", f"{what} understood")
    refused = counted(len(sheet.refused_lines), "line refused", "lines refused")
    doubts = counted(len(sheet.doubts), "value to look at", "values to look at")
    obstacle = sheet.obstacle(without_refused=False)
    yield ("note" if obstacle else "ok"), f"Nothing is taken in yet: {found}, {refused}, {sheet.asked}, {doubts}."
    if obstacle:
        yield "check", f"It cannot be taken in: {obstacle}."
    elif not has_something:
        yield "note", f"All of it is in the {'catalog' if what == 'parts' else 'proposal'} already."
    elif what == "parts":
        yield "ok", "i takes all of it into the catalog as one step of its own history."
    else:
        yield "ok", "i takes all of it in as one step; undo takes it back."


def _questions(sheet: Sheet) -> ReportPage:
    lines = tuple(
        ReportLine(
            f"q{number}",
            0,
            (_about(question), question.sentence),
            mark="check" if question.needed else "note",
            word="open" if question.needed else "may stay open",
            sentence=f"{question.sentence} Enter answers it.",
        )
        for number, question in enumerate(sheet.questions)
    )
    columns = (ReportColumn("About", max_width=24), ReportColumn("Question", max_width=76))
    return ReportPage(QUESTIONS, columns, lines, state_title="State", empty="No question is open.")


def _about(question: Question) -> str:
    """What a question is about, in a word or two."""
    if question.about == COLUMNS:
        return question.subject
    return f"{question.about.replace('_', ' ')} {question.subject}".strip()


def _columns(sheet: Sheet) -> ReportPage:
    lines = tuple(
        ReportLine(
            f"c{number}",
            0,
            (header or f"#{number}", name or "not taken"),
            mark="" if name else "check",
            word="" if name else "not taken",
            sentence="Enter says what the column is.",
        )
        for number, (header, name) in enumerate(sheet.columns, start=1)
    )
    columns = (ReportColumn("Column"), ReportColumn("Taken for"))
    return ReportPage(COLUMNS, columns, lines, state_title="State", empty="No column was found.")


def _rows(sheet: Sheet, what: Listed) -> ReportPage:
    lines = tuple(
        ReportLine(
            f"r{number}",
            0,
            (row.name, str(row.line), row.said or ", ".join(row.changes)),
            mark=_STATE_MARKS[row.state],
            word=row.state,
            sentence=row.said,
        )
        for number, row in enumerate(sheet.rows)
    )
    one = _ONE[what]
    columns = (
        ReportColumn(one.capitalize()),
        ReportColumn("Line", align="right"),
        ReportColumn("Fields", max_width=_FIELDS_WIDTH),
    )
    return ReportPage(what, columns, lines, state_title="Becomes", empty=f"No {one} could be taken.")


def _problem_pages(sheet: Sheet) -> tuple[ReportPage, ...]:
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


def _open(sheet: Sheet) -> dict[tuple[str, str], OpenQuestion]:
    found = {
        (QUESTIONS, f"q{number}"): OpenQuestion(
            question.about,
            question.subject,
            question.sentence,
            question.choices,
            question.choices[0] if question.choices else "",
        )
        for number, question in enumerate(sheet.questions)
    }
    for number, (header, name) in enumerate(sheet.columns, start=1):
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
