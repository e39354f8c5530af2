"""Which parts a packing may choose from: those of the proposal, or those of the catalog too."""

import argparse
from collections.abc import Mapping

from bomtui.model.part import DRIVER_KINDS, Part
from bomtui.services.catalog import parts_of_kinds
from bomtui.services.cheaper_chips import CHIP_KINDS

FROZEN = "frozen"
CATALOG = "catalog"


def add_driver_source(parser: argparse.ArgumentParser, default: str) -> None:
    """Add the option that says where drivers come from.

    Args:
        parser: Parser of a command.
        default: `FROZEN` or `CATALOG`.
    """
    parser.add_argument(
        "--parts", choices=(FROZEN, CATALOG), default=default, help=f"parts to choose from; default: {default}"
    )


def drivers_to_choose(arguments: argparse.Namespace) -> Mapping[str, Part]:
    """Return the drivers of the catalog where they are asked for; those of the proposal are there in any case."""
    return parts_of_kinds(sorted(DRIVER_KINDS)).parts if arguments.parts == CATALOG else {}


def chips_to_choose(arguments: argparse.Namespace) -> Mapping[str, Part]:
    """Return the drivers, and the chips beside them, of the catalog where they are asked for."""
    return parts_of_kinds(sorted(DRIVER_KINDS | CHIP_KINDS)).parts if arguments.parts == CATALOG else {}
