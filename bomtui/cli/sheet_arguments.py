"""Arguments of the commands that import a sheet: one for every answer; and the dry run as text and record."""

import argparse
import shlex
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import msgspec

from bomtui.cli import output
from bomtui.cli.arguments import JSON
from bomtui.cli.diagnostics import ExitCode, UsageFault, list_problems, say
from bomtui.cli.layout import Column, table, wrapped
from bomtui.model.fields import FieldInfo, field_table
from bomtui.model.plain_text import clean
from bomtui.services.artefact import as_json
from bomtui.services.present import counted
from bomtui.services.sheets import Answers, Question, Sheet, checked, read_answers_file, save_answers

_LISTED_ROWS = 40
_NAMES = {"columns": "column", "fill_down": "fill-down"}


def add_answers(parser: argparse.ArgumentParser, unused: Iterable[str]) -> None:
    """Add an option for every answer.

    Args:
        parser: Parser of the command.
        unused: Answers that this kind of list does not ask for.
    """
    unused = frozenset(unused)
    group = parser.add_argument_group("answers about the list")
    for info in field_table(Answers):
        if info.name not in unused:
            _add_answer(group, info)
    group.add_argument("--answers", type=Path, metavar="FILE", help="answers kept in a file; options go before them")
    group.add_argument("--save-answers", type=Path, metavar="FILE", help="keep these answers for the next such list")


def add_ways(parser: argparse.ArgumentParser) -> None:
    """Add how an import is done."""
    parser.add_argument("--dry-run", action="store_true", help="only say what would become of every row")
    parser.add_argument(
        "--without-refused",
        action="store_true",
        help="take what was understood although rows were refused (exit code 1)",
    )


def answers_from(arguments: argparse.Namespace) -> Answers:
    """Return the answers of the command line, over those of a file.

    Raises:
        UsageFault: An option cannot be understood.
        BomtuiError: The file cannot be read or written.
    """
    kept = read_answers_file(arguments.answers) if arguments.answers else Answers()
    given: dict[str, Any] = {}
    for info in field_table(Answers):
        value = getattr(arguments, f"answer_{info.name}", None)
        if value is None:
            continue
        if info.name == "columns":
            value = {**kept.columns, **dict(map(_column, value))}
        given[info.name] = tuple(value) if info.shape == "texts" else value
    answers = checked(msgspec.structs.replace(kept, **given))
    if arguments.save_answers:
        save_answers(arguments.save_answers, answers)
    return answers


def report_import(
    arguments: argparse.Namespace, sheet: Sheet, what: str, place: str, chosen: str, *, changes: bool
) -> ExitCode:
    """Write what became of an import, and return the exit code.

    Args:
        arguments: Those of the command.
        sheet: What became of the list.
        what: What its rows are ("load").
        place: Where it was to be written.
        chosen: Format of the result.
        changes: Whether there was anything to write.
    """
    obstacle = sheet.obstacle(without_refused=arguments.without_refused)
    written = not (obstacle or arguments.dry_run) and changes
    say_faults(sheet.notices, sheet.problems, sheet.doubts, sheet.questions)
    if chosen == JSON:
        output.write(as_json(_record(sheet, written=written)), arguments.output)
    else:
        output.write_text(_text(sheet, what), arguments.output)
    why = obstacle or ("a dry run" if arguments.dry_run else "all of it is there already")
    say(f"{place}: written" if written else f"nothing was written: {why}")
    return ExitCode.FINDINGS if sheet.problems or obstacle else ExitCode.FINE


def say_faults(
    notices: Iterable[str], problems: Iterable[object], doubts: Iterable[object], questions: Iterable[Question]
) -> None:
    """Write to stderr what was refused, decided, doubted and asked, one line each."""
    list_problems(problems)
    for notice in notices:
        say(f"note: {notice}")
    for doubt in doubts:
        say(f"look: {doubt}")
    for question in questions:
        say(f"question: {question.sentence}{_how(question.about, question.subject, question.choices)}")


def _text(sheet: Sheet, what: str) -> str:
    """Write the dry run as text: columns, then rows."""
    understood = counted(
        len(sheet.rows),
        f"{what} understood",
        f"{what.removesuffix('y') + 'ies' if what.endswith('y') else what + 's'} understood",
    )
    refused = counted(len(sheet.refused_lines), "row", "rows")
    lines = [f"{clean(sheet.file)}: {understood}, {refused} refused, {sheet.asked}"]
    if sheet.columns:
        columns = [[header or "(no header)", name or "not taken"] for header, name in sheet.columns]
        lines.extend(table((Column("column"), Column("taken for")), columns))
    if sheet.rows:
        rows = [
            [str(row.line), row.name, row.state, row.said or ", ".join(row.changes)]
            for row in sheet.rows[:_LISTED_ROWS]
        ]
        head = (Column("line", numeric=True), Column(what, whole=True), Column("becomes"), Column("fields"))
        lines.extend(table(head, rows))
    if len(sheet.rows) > _LISTED_ROWS:
        lines.extend(wrapped(f"and {len(sheet.rows) - _LISTED_ROWS} more; --format json lists all", 2))
    return "\n".join(lines) + "\n"


def _record(sheet: Sheet, *, written: bool) -> dict[str, object]:
    """Write the dry run as record."""
    return {
        "format": 1,
        "file": sheet.file,
        "written": written,
        "columns": [{"header": header, "taken_for": name} for header, name in sheet.columns],
        "rows": [
            {"line": row.line, "name": row.name, "becomes": row.state, "fields": row.changes} for row in sheet.rows
        ],
        "questions": [
            {"about": question.about, "subject": question.subject, "question": question.sentence,
             "choices": question.choices, "needed": question.needed}
            for question in sheet.questions
        ],
        "refused": [str(problem) for problem in sheet.problems],
        "doubts": [str(doubt) for doubt in sheet.doubts],
        "notices": sheet.notices,
    }  # fmt: skip


def _add_answer(group: Any, info: FieldInfo) -> None:  # noqa: ANN401 - argparse names its groups privately
    option = "--" + _NAMES.get(info.name, info.name).replace("_", "-")
    settings: dict[str, Any] = {"dest": f"answer_{info.name}", "help": info.help, "default": None}
    if info.choices:
        settings["choices"] = info.choices
    elif info.shape == "count":
        settings |= {"type": int, "metavar": "N"}
    elif info.name == "columns":
        settings |= {"action": "append", "metavar": "HEADER=FIELD"}
    elif info.shape == "texts":
        settings |= {"action": "append", "metavar": "COLUMN"}
    else:
        settings["metavar"] = "TEXT"
    group.add_argument(option, **settings)


def _column(text: str) -> tuple[str, str]:
    header, sign, name = text.rpartition("=")
    if not sign or not header.strip() or not name.strip():
        raise UsageFault(f"expected --column HEADER=FIELD, such as 'Strom=test_current [mA]', found {text}")
    return header.strip(), name.strip()


def _how(about: str, subject: str, choices: tuple[str, ...]) -> str:
    """Say how a question is answered."""
    option = "--" + _NAMES.get(about, about).replace("_", "-")
    if about == "columns":
        ways = [choice if choice.startswith("#") else f"{subject}={choice}" for choice in choices[:6]]
        return f" ({' or '.join(f'{option} {way!r}' for way in ways)})"
    return f" ({option} {' or '.join(map(shlex.quote, choices)) or 'TEXT'})"
