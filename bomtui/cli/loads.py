"""`bomtui loads import`: a customer's load list into a proposal, all of it or nothing."""

import argparse
from pathlib import Path

from bomtui.cli.arguments import JSON, TEXT, add_output, add_proposal, add_variant, chosen_format
from bomtui.cli.diagnostics import ExitCode
from bomtui.cli.sheet_arguments import add_answers, add_ways, answers_from, report_import
from bomtui.model.proposal import Snapshot
from bomtui.services.list_import import LIST_KINDS, plan_list
from bomtui.services.load_import import LoadImport, import_loads
from bomtui.services.rollup import chosen_variant

LOADS = "loads"


def configure(parser: argparse.ArgumentParser) -> None:
    """Add the arguments."""
    verbs = parser.add_subparsers(dest="verb", required=True, metavar="import")
    importing = verbs.add_parser("import", help="import a list (CSV, TSV, XLSX, ODS, XLS) as one step")
    add_proposal(importing)
    importing.add_argument("list", type=Path, metavar="LIST", help="the list")
    importing.add_argument(
        "--what",
        choices=(LOADS, *LIST_KINDS),
        default=LOADS,
        help="what the rows are: loads, where they are served, wire runs between zones, quantities of items",
    )
    add_variant(importing)
    add_answers(importing, ("kind", "currency", "supplier"))
    add_ways(importing)
    importing.add_argument("--losing", action="store_true", help="save although comments of the file would be lost")
    add_output(importing, TEXT, JSON)


def run(arguments: argparse.Namespace) -> ExitCode:
    """Import a list, or say why not."""
    chosen = chosen_format(arguments)
    answers = answers_from(arguments)

    def planned(snapshot: Snapshot) -> LoadImport:
        variant = chosen_variant(snapshot.proposal, arguments.variant)
        return plan_list(snapshot, arguments.what, variant, arguments.list, answers)

    plan = import_loads(
        arguments.proposal,
        arguments.list,
        answers,
        plan_of=None if arguments.what == LOADS else planned,
        dry_run=arguments.dry_run,
        without_refused=arguments.without_refused,
        losing=arguments.losing,
    )
    place = str(arguments.proposal)
    what = {LOADS: "load", "quantities": "quantity"}.get(arguments.what, arguments.what.removesuffix("s"))
    return report_import(arguments, plan.sheet, what, place, chosen, changes=plan.edit is not None)
