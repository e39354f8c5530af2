"""`bomtui explain`: where a figure comes from, formula by formula, down to the fields of the files."""

import argparse

from bomtui.cli import output
from bomtui.cli.arguments import JSON, TEXT, add_output, add_proposal, add_variant, chosen_format
from bomtui.cli.diagnostics import ExitCode
from bomtui.cli.reading import opened_from
from bomtui.services.artefact import as_json
from bomtui.services.errors import UnknownNameError
from bomtui.services.explain import UnknownFigureError, explain, explanation_record, explanation_text
from bomtui.services.rollup import chosen_variant


def configure(parser: argparse.ArgumentParser) -> None:
    """Add the arguments."""
    add_proposal(parser)
    parser.add_argument(
        "figure",
        metavar="FIGURE",
        help="PLACE:FIGURE[@MODE][/typ|max], such as ZENG.U1:junction_degc@WORK_DAY/max or vehicle:standby_a",
    )
    add_variant(parser)
    add_output(parser, TEXT, JSON)


def run(arguments: argparse.Namespace) -> ExitCode:
    """Explain a figure."""
    chosen = chosen_format(arguments)
    opened = opened_from(arguments)
    variant = chosen_variant(opened.snapshot.proposal, arguments.variant)
    try:
        explanation = explain(opened.snapshot, variant, arguments.figure)
    except UnknownFigureError as error:
        raise UnknownNameError(str(error)) from error
    if chosen == JSON:
        output.write(as_json(explanation_record(explanation)), arguments.output)
    else:
        output.write_text(explanation_text(explanation), arguments.output)
    return ExitCode.FINE
