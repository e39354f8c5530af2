"""`bomtui rollup`: every figure of a variant."""

import argparse

from bomtui.cli import output
from bomtui.cli.arguments import JSON, TEXT, add_output, add_proposal, add_variant, chosen_format
from bomtui.cli.diagnostics import ExitCode
from bomtui.cli.reading import reviewed_from
from bomtui.cli.rollup_text import rollup_text
from bomtui.services.artefact import rollup_json


def configure(parser: argparse.ArgumentParser) -> None:
    """Add the arguments."""
    add_proposal(parser)
    add_variant(parser)
    add_output(parser, TEXT, JSON)


def run(arguments: argparse.Namespace) -> ExitCode:
    """Compute a variant and print its figures."""
    chosen = chosen_format(arguments)
    reviewed = reviewed_from(arguments)
    if chosen == JSON:
        output.write(rollup_json(reviewed), arguments.output)
    else:
        output.write_text(rollup_text(reviewed), arguments.output)
    return ExitCode.FINE
