"""`bomtui loads import`: a customer's load list into a proposal, all of it or nothing."""

import argparse
from pathlib import Path

from bomtui.cli import output
from bomtui.cli.arguments import JSON, TEXT, add_output, add_proposal, chosen_format
from bomtui.cli.diagnostics import ExitCode, say
from bomtui.cli.sheet_arguments import add_answers, answers_from, report_faults, sheet_record, sheet_text
from bomtui.services.artefact import as_json
from bomtui.services.load_import import import_loads


def configure(parser: argparse.ArgumentParser) -> None:
    """Add the arguments."""
    verbs = parser.add_subparsers(dest="verb", required=True, metavar="import")
    importing = verbs.add_parser("import", help="import a list (CSV, TSV, XLSX, ODS, XLS) as one step")
    add_proposal(importing)
    importing.add_argument("list", type=Path, metavar="LIST", help="the list")
    add_answers(importing, ("kind", "currency"))
    importing.add_argument("--losing", action="store_true", help="save although comments of the file would be lost")
    add_output(importing, TEXT, JSON)


def run(arguments: argparse.Namespace) -> ExitCode:
    """Import a list, or say why not."""
    chosen = chosen_format(arguments)
    plan = import_loads(
        arguments.proposal,
        arguments.list,
        answers_from(arguments),
        dry_run=arguments.dry_run,
        without_refused=arguments.without_refused,
        losing=arguments.losing,
    )
    sheet = plan.sheet
    obstacle = sheet.obstacle(without_refused=arguments.without_refused)
    written = not (obstacle or arguments.dry_run or plan.edit is None)
    report_faults(sheet)
    if chosen == JSON:
        output.write(as_json(sheet_record(sheet, written=written)), arguments.output)
    else:
        output.write_text(sheet_text(sheet, "load"), arguments.output)
    if written:
        say(f"{arguments.proposal}: written")
    else:
        say(f"nothing was written: {obstacle or ('a dry run' if arguments.dry_run else 'all of it is there already')}")
    return ExitCode.FINDINGS if sheet.problems or obstacle else ExitCode.FINE
