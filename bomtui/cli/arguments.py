"""Arguments that commands share, and a parser that reports through the one owner of stderr."""

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn

from bomtui.cli import output
from bomtui.cli.diagnostics import UsageFault
from bomtui.services.files import check_place

if TYPE_CHECKING:
    from _typeshed import SupportsWrite

PROGRAM = "bomtui"
TEXT = "text"
JSON = "json"
WIDTH = 80
"""Columns that a text result keeps to."""

_FORMAT_OF_SUFFIX = {".txt": TEXT, ".json": JSON, ".csv": "csv", ".md": "md"}


class Parser(argparse.ArgumentParser):
    """An argument parser whose faults are `UsageFault`s and whose help goes through the one owner of stdout."""

    def __init__(self, **settings: Any) -> None:  # noqa: ANN401 - whatever an argument parser takes
        super().__init__(**settings, allow_abbrev=False)

    def error(self, message: str) -> NoReturn:
        """Refuse the command line."""
        raise UsageFault(message, self.prog.removeprefix(PROGRAM).strip())

    def print_help(self, file: "SupportsWrite[str] | None" = None) -> None:
        """Print the help."""
        if file is None:
            output.write_text(self.format_help())
        else:
            super().print_help(file)


def add_proposal(parser: argparse.ArgumentParser) -> None:
    """Add the proposal that a command reads."""
    parser.add_argument(
        "proposal", type=Path, metavar="PROPOSAL", help="proposal file, or a folder that holds one proposal"
    )


def add_variant(parser: argparse.ArgumentParser) -> None:
    """Add the choice of a variant."""
    parser.add_argument("--variant", metavar="ID", help="variant; default: the one the proposal shows first")


def add_output(parser: argparse.ArgumentParser, *formats: str) -> None:
    """Add where the result goes and in which format.

    Args:
        parser: Parser of the command.
        formats: Formats of the command, the usual one first.
    """
    endings = ", ".join(suffix for suffix, name in _FORMAT_OF_SUFFIX.items() if name in formats)
    parser.add_argument("--format", choices=formats, help=f"default: {formats[0]}, or as FILE ends")
    parser.add_argument(
        "-o", "--output", type=Path, metavar="FILE", help=f"write to a file instead of stdout ({endings})"
    )
    parser.set_defaults(formats=formats)


def chosen_format(arguments: argparse.Namespace) -> str:
    """Return the format of the result: as asked for, or as the file name ends.

    Raises:
        UsageFault: The file name ends in another format than the one asked for, or in none that the command knows.
        BomtuiError: No file can be written there.
    """
    formats: tuple[str, ...] = arguments.formats
    asked: str | None = arguments.format
    if arguments.output is None:
        return asked or formats[0]
    check_place(arguments.output)
    by_name = _FORMAT_OF_SUFFIX.get(arguments.output.suffix.lower())
    if by_name in formats:
        if asked not in {None, by_name}:
            raise UsageFault(f"--format {asked} and the file name {arguments.output} say two things")
        return str(by_name)
    if asked is None:
        endings = ", ".join(suffix for suffix, name in _FORMAT_OF_SUFFIX.items() if name in formats)
        raise UsageFault(f"expected a FILE that ends in {endings}, or --format with it, found {arguments.output}")
    return asked
