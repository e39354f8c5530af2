"""`bomtui loads import`: a customer's load list into a proposal, all of it or nothing."""

import argparse
from pathlib import Path

from bomtui.cli.arguments import JSON, TEXT, add_output, add_proposal, chosen_format
from bomtui.cli.diagnostics import ExitCode
from bomtui.cli.sheet_arguments import add_answers, answers_from, report_import
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
    place = str(arguments.proposal)
    return report_import(arguments, plan.sheet, "load", place, chosen, changes=plan.edit is not None)
