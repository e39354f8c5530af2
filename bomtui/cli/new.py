"""`bomtui new`: a proposal from a customer's load list."""

import argparse
from pathlib import Path

from bomtui.cli import output
from bomtui.cli.arguments import JSON, TEXT, add_output, chosen_format
from bomtui.cli.diagnostics import ExitCode, UsageFault
from bomtui.cli.layout import wrapped
from bomtui.cli.sheet_arguments import add_answers, answers_from, say_faults
from bomtui.model.lists import load_columns
from bomtui.model.plain_text import clean
from bomtui.model.vehicle import SUPPLY_CLASSES
from bomtui.services.artefact import as_json
from bomtui.services.new import NewReport, new_proposal
from bomtui.services.present import counted, listed

LISTED = 12


def configure(parser: argparse.ArgumentParser) -> None:
    """Add the arguments."""
    parser.add_argument(
        "name",
        type=Path,
        metavar="NAME",
        help="folder to make; the proposal is NAME/NAME.toml and is never overwritten",
    )
    parser.add_argument("--loads", type=Path, required=True, metavar="LIST", help="load list; its headers: below")
    parser.add_argument("--supply", choices=SUPPLY_CLASSES, help="supply of the vehicle; default: unknown")
    parser.add_argument("--currency", metavar="CODE", help="currency (ISO 4217); default: assumed, and listed so")
    add_answers(parser, ("kind", "currency", "supplier", "existing"))
    add_output(parser, TEXT, JSON)
    parser.epilog = (
        "Headers of the load list, in any order and as many as there are: "
        f"{', '.join(column.header for column in load_columns(('MODE',)))}. A column of numbers names its unit, any of "
        "the same dimension; a column of a mode names the mode in place of MODE. Without id and subsystem there is no "
        "load."
    )


def run(arguments: argparse.Namespace) -> ExitCode:
    """Write a new proposal and say what was taken and what was not."""
    chosen = chosen_format(arguments)
    place: Path = arguments.name
    if not place.name:
        raise UsageFault(f"expected the name of a new folder, found {place}", "new")
    report = new_proposal(
        place.name, arguments.loads, place.parent, arguments.supply, arguments.currency, answers_from(arguments)
    )
    say_faults(report.notices, report.problems, report.doubts, report.questions)
    if chosen == JSON:
        output.write(as_json(_record(report)), arguments.output)
    else:
        output.write_text(_text(report), arguments.output)
    return ExitCode.FINE


def _text(report: NewReport) -> str:
    lines = [f"{clean(str(report.path))}: written with {counted(report.loads, 'load', 'loads')}"]
    if report.problems:
        lines.extend(
            wrapped(f"not taken: {counted(len(report.problems), 'fault', 'faults')} of the list, see above", 2)
        )
    for what, names in (("zones", report.zones), ("modes", report.modes), ("subsystems", report.subsystems)):
        if names:
            lines.extend(wrapped(f"{what} made, all else of them unknown: {listed(names, LISTED)}", 2, 4))
    lines.extend(line for text in report.assumed for line in wrapped(f"assumed: {text}", 2, 4))
    return "\n".join(lines) + "\n"


def _record(report: NewReport) -> dict[str, object]:
    return {
        "format": 1,
        "path": str(report.path),
        "loads": report.loads,
        "zones": report.zones,
        "modes": report.modes,
        "subsystems": report.subsystems,
        "assumed": report.assumed,
        "notices": report.notices,
        "problems": [str(problem) for problem in report.problems],
    }
