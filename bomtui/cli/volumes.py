"""`bomtui volumes`: cost over the vehicles built in a year, and over the years of the programme."""

import argparse

from bomtui.cli import output
from bomtui.cli.arguments import JSON, TEXT, add_output, add_proposal, add_variant, chosen_format
from bomtui.cli.diagnostics import ExitCode, UsageFault
from bomtui.cli.reading import opened_from
from bomtui.cli.volumes_text import volumes_text
from bomtui.services.review import review
from bomtui.services.rollup import chosen_variant, compute
from bomtui.services.volumes import volumes
from bomtui.services.volumes_artefact import volumes_json


def configure(parser: argparse.ArgumentParser) -> None:
    """Add the arguments."""
    add_proposal(parser)
    add_variant(parser)
    parser.add_argument("--with", dest="second", metavar="ID", help="another variant, for the break-even between both")
    parser.add_argument("--at", default="", metavar="N,N,...", help="further volumes, vehicles a year")
    add_output(parser, TEXT, JSON)


def run(arguments: argparse.Namespace) -> ExitCode:
    """Cost one variant, or two, over volume and years."""
    chosen = chosen_format(arguments)
    wanted = _volumes(arguments.at)
    opened = opened_from(arguments)
    names = [chosen_variant(opened.snapshot.proposal, arguments.variant)]
    if arguments.second is not None:
        names.append(chosen_variant(opened.snapshot.proposal, arguments.second))
    found = volumes([review(compute(opened, name)) for name in names], wanted)
    if chosen == JSON:
        output.write(volumes_json(found), arguments.output)
    else:
        output.write_text(volumes_text(found), arguments.output)
    return ExitCode.FINE


def _volumes(text: str) -> list[int]:
    words = [word.strip() for word in text.split(",") if word.strip()]
    wrong = [word for word in words if not (word.isascii() and word.isdecimal() and int(word))]
    if wrong:
        raise UsageFault(f"--at: expected whole numbers above 0 with commas between, found {', '.join(wrong)}")
    return [int(word) for word in words]
