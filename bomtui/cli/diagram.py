"""`bomtui diagram`: the block diagram of a module or of the vehicle."""

import argparse

from bomtui.cli import output
from bomtui.cli.arguments import JSON, TEXT, WIDTH, add_output, add_proposal, add_variant, chosen_format
from bomtui.cli.diagnostics import ExitCode
from bomtui.cli.heading_text import assumption_lines, caution_lines, heading_lines, page
from bomtui.cli.layout import wrapped
from bomtui.cli.reading import reviewed_from
from bomtui.services.diagram import Diagram, diagram, diagram_json
from bomtui.services.diagram_text import ASCII_STROKES, FULL_STROKES, currents_text, diagram_lines
from bomtui.services.review import Reviewed


def configure(parser: argparse.ArgumentParser) -> None:
    """Add the arguments."""
    add_proposal(parser)
    parser.add_argument("module", nargs="?", default="", metavar="MODULE", help="module; without it the whole vehicle")
    add_variant(parser)
    parser.add_argument("--mode", metavar="ID", help="mode of the currents; default: the one in which supply is worst")
    parser.add_argument("--ascii", action="store_true", help="draw with plain characters only")
    parser.add_argument("--width", type=int, default=WIDTH, metavar="N", help=f"columns; default: {WIDTH}")
    add_output(parser, TEXT, JSON)


def run(arguments: argparse.Namespace) -> ExitCode:
    """Draw the diagram."""
    chosen = chosen_format(arguments)
    reviewed = reviewed_from(arguments)
    snapshot = reviewed.computed.opened.snapshot
    drawn = diagram(snapshot, reviewed.computed.rollup, arguments.module, arguments.mode)
    if chosen == JSON:
        output.write(diagram_json(reviewed, drawn), arguments.output)
    else:
        output.write_text(_text(reviewed, drawn, arguments.width, is_ascii=arguments.ascii), arguments.output)
    return ExitCode.FINE


def _text(reviewed: Reviewed, drawn: Diagram, width: int, *, is_ascii: bool) -> str:
    lines = diagram_lines(drawn, width, ASCII_STROKES if is_ascii else FULL_STROKES)
    what = f"Block diagram of {drawn.module}" if drawn.module else "Block diagram"
    return page(
        heading_lines(reviewed, what),
        [*(line.text.rstrip() for line in lines), "", *wrapped(currents_text(drawn))],
        assumption_lines(reviewed),
        caution_lines(),
    )
