"""`bomtui parts`: the parts of a proposal beside the catalog, and parts of it that would make a finding go away."""

import argparse

from bomtui.cli import output, parts_refresh, parts_remedies
from bomtui.cli.arguments import JSON, TEXT, add_output, chosen_format
from bomtui.cli.diagnostics import ExitCode
from bomtui.services.artefact import as_json


def configure(parser: argparse.ArgumentParser) -> None:
    """Add the arguments."""
    verbs = parser.add_subparsers(dest="verb", required=True, metavar="VERB")
    for own in (parts_refresh.add_verb(verbs), parts_remedies.add_verb(verbs)):
        own.add_argument("--losing", action="store_true", help="save although comments of the files would be lost")
        add_output(own, TEXT, JSON)


def run(arguments: argparse.Namespace) -> ExitCode:
    """Look, take what was asked for, and print."""
    chosen = chosen_format(arguments)
    text, record = arguments.act(arguments)
    if chosen == JSON:
        output.write(as_json({"format": 1, **record}), arguments.output)
    else:
        output.write_text(text, arguments.output)
    return ExitCode.FINE
