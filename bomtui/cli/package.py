"""`bomtui package`: everything that a quotation needs, in one folder."""

import argparse
from pathlib import Path

from bomtui.cli import output
from bomtui.cli.arguments import add_proposal, add_variant
from bomtui.cli.diagnostics import ExitCode, UsageFault
from bomtui.cli.layout import wrapped
from bomtui.cli.reading import opened_from
from bomtui.services.errors import BomtuiError
from bomtui.services.other_variant import other_variant
from bomtui.services.package.package import (
    CURRENCY_FORMATS,
    FORMATS,
    PAPERS,
    SEPARATORS,
    Format,
    Options,
    notation_of,
    package,
)
from bomtui.services.package.write import check_folder, write_package
from bomtui.services.review import review
from bomtui.services.rollup import chosen_variant, compute, variant_ids

ALL = ",".join(FORMATS)


def configure(parser: argparse.ArgumentParser) -> None:
    """Add the arguments."""
    add_proposal(parser)
    add_variant(parser)
    parser.add_argument("--with", dest="second", metavar="ID", help="variant to compare with; default: the next one")
    parser.add_argument(
        "-o", "--output", type=Path, metavar="FOLDER", required=True, help="folder to make, or an empty one"
    )
    parser.add_argument("--formats", default=ALL, metavar="F,F,...", help=f"some of {ALL}; default: all")
    parser.add_argument("--decimal-comma", action="store_true", help="write 0,5 instead of 0.5 (CSV, Markdown, HTML)")
    parser.add_argument(
        "--separator", choices=tuple(SEPARATORS), help="between cells of CSV; default: comma, or semicolon beside it"
    )
    parser.add_argument(
        "--currency",
        choices=CURRENCY_FORMATS,
        default=CURRENCY_FORMATS[0],
        help="currency in the header, or behind each amount as code or sign (XLSX, Markdown, HTML)",
    )
    parser.add_argument("--paper", choices=PAPERS, default=PAPERS[0], help="paper of the workbooks; default: A4")
    parser.add_argument("--force", action="store_true", help="say in every file that it is sent in spite of errors")
    parser.add_argument("--overwrite", action="store_true", help="replace a package in which no file was changed")


def run(arguments: argparse.Namespace) -> ExitCode:
    """Write the package and say what is in it."""
    try:
        notation = notation_of(
            decimal_comma=arguments.decimal_comma, separator=arguments.separator, currency=arguments.currency
        )
    except BomtuiError as error:
        raise UsageFault(str(error)) from error
    options = Options(_formats(arguments.formats), notation, arguments.paper, forced=arguments.force)
    check_folder(arguments.output)
    opened = opened_from(arguments)
    proposal = opened.snapshot.proposal
    name = chosen_variant(proposal, arguments.variant)
    second = arguments.second
    if second is None and len(variant_ids(proposal)) > 1:
        second = other_variant(proposal, name, is_same_file=True)
    reviewed = review(compute(opened, name))
    other = None if second is None else review(compute(opened, second))
    made = package(reviewed, other, options)
    write_package(made, arguments.output, overwrite=arguments.overwrite)
    lines = [f"{len(made.files)} files in {arguments.output}", *wrapped(made.standing)]
    output.write_text("\n".join(lines) + "\n")
    return ExitCode.FINE if made.may_be_sent else ExitCode.FINDINGS


def _formats(text: str) -> tuple[Format, ...]:
    words = [word.strip() for word in text.split(",") if word.strip()]
    wrong = [word for word in words if word not in FORMATS]
    if wrong or not words:
        raise UsageFault(f"--formats: expected some of {ALL}, found {', '.join(wrong) or 'none'}")
    return tuple(known for known in FORMATS if known in words)
