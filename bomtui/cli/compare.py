"""`bomtui compare`: two variants, or two revisions in two files, side by side."""

import argparse
from pathlib import Path

from bomtui.cli import output
from bomtui.cli.arguments import JSON, TEXT, add_output, add_proposal, add_variant, chosen_format
from bomtui.cli.compare_text import compare_text
from bomtui.cli.diagnostics import ExitCode, list_problems
from bomtui.cli.reading import opened_from
from bomtui.services.compare import compare
from bomtui.services.compare_artefact import comparison_bytes
from bomtui.services.open import Opened, open_proposal
from bomtui.services.other_variant import other_variant
from bomtui.services.review import review
from bomtui.services.rollup import chosen_variant, compute


def configure(parser: argparse.ArgumentParser) -> None:
    """Add the arguments."""
    add_proposal(parser)
    parser.add_argument(
        "other",
        type=Path,
        nargs="?",
        metavar="OTHER",
        help="another revision of the proposal, for the second side; default: the same file",
    )
    add_variant(parser)
    parser.add_argument(
        "--with",
        dest="second",
        metavar="ID",
        help="variant of the second side; default: the next one, or in another file the one of the same id",
    )
    add_output(parser, TEXT, JSON, "md")


def run(arguments: argparse.Namespace) -> ExitCode:
    """Compare and print; every difference is second less first."""
    chosen = chosen_format(arguments)
    opened = opened_from(arguments)
    other = opened if arguments.other is None else _opened(arguments.other)
    first = chosen_variant(opened.snapshot.proposal, arguments.variant)
    second = arguments.second
    if second is None:
        second = other_variant(other.snapshot.proposal, first, is_same_file=arguments.other is None)
    comparison = compare(review(compute(opened, first)), review(compute(other, second)))
    if chosen == TEXT:
        output.write_text(compare_text(comparison), arguments.output)
    else:
        output.write(comparison_bytes(comparison, chosen), arguments.output)
    return ExitCode.FINE


def _opened(path: Path) -> Opened:
    opened = open_proposal(path)
    list_problems(opened.problems)
    return opened
