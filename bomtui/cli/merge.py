"""`bomtui merge`: could this be done with fewer or cheaper drivers, or fewer modules, and how do we know."""

import argparse

from bomtui.cli import output
from bomtui.cli.arguments import JSON, TEXT, add_output, add_proposal, add_variant, chosen_format
from bomtui.cli.diagnostics import ExitCode, UsageFault, say
from bomtui.cli.driver_source import CATALOG, FROZEN, add_driver_source, chips_to_choose
from bomtui.cli.interrupt import ended_by_interrupt
from bomtui.cli.merge_modules_text import merge_modules_text
from bomtui.cli.merge_text import merge_text
from bomtui.cli.reading import reviewed_from
from bomtui.services.catalog import parts_of_kinds
from bomtui.services.cheaper_chips import cheaper_chips
from bomtui.services.merge import Aim, Wish, both_ends, merge, modules_in
from bomtui.services.merge_artefact import merge_json
from bomtui.services.merge_modules import KINDS, ModulesWish, merge_modules
from bomtui.services.merge_modules_artefact import merge_modules_json
from bomtui.services.parts_list import is_unmarked_demo
from bomtui.services.review import Reviewed

PAIR = 2
"""Fewer modules than these cannot become one."""

BOTH = "both"


def configure(parser: argparse.ArgumentParser) -> None:
    """Add the arguments."""
    add_proposal(parser)
    add_variant(parser)
    parser.add_argument(
        "--module",
        action="append",
        default=[],
        metavar="ID",
        help="pack this module, or let it become one with others; may be given several times",
    )
    parser.add_argument(
        "--modules",
        action="store_true",
        help="ask which of these modules could become one, instead of packing their drivers",
    )
    parser.add_argument("--zone", metavar="ID", help="take the modules of this zone; default: all of the variant")
    parser.add_argument(
        "--aim",
        choices=("cost", "chips", "standby", BOTH),
        default="cost",
        help="what is made least: cost, driver devices and then cost, standby current, or both of the first two side"
        " by side; default: cost",
    )
    parser.add_argument(
        "--keep",
        choices=("warnings", "errors"),
        default="warnings",
        help="bring no new warning and no new error, or no new error; default: warnings",
    )
    add_driver_source(parser, FROZEN)
    parser.add_argument(
        "--seconds",
        type=float,
        metavar="S",
        help="stop the search after so long; then the answer may differ from run to run",
    )
    add_output(parser, TEXT, JSON)


def run(arguments: argparse.Namespace) -> ExitCode:
    """Pack the drivers anew and print what is gained and what is proved."""
    chosen = chosen_format(arguments)
    if arguments.seconds is not None and not 0 < arguments.seconds < float("inf"):
        raise UsageFault(f"expected a number of seconds above 0 for --seconds, found {arguments.seconds}")
    reviewed = reviewed_from(arguments)
    modules = modules_in(reviewed, tuple(arguments.module), arguments.zone)
    if arguments.modules:
        found = _modules(arguments, reviewed, modules, chosen)
    else:
        found = _drivers(arguments, reviewed, modules, chosen)
    if isinstance(found, str):
        output.write_text(found, arguments.output)
    else:
        output.write(found, arguments.output)
    if arguments.output is not None and is_unmarked_demo(reviewed.computed, arguments.output):
        say(f"note: {arguments.output} holds invented data and its name does not say so")
    return ExitCode.FINE


def _drivers(arguments: argparse.Namespace, reviewed: Reviewed, modules: tuple[str, ...], chosen: str) -> bytes | str:
    aim: Aim = "cost" if arguments.aim == BOTH else arguments.aim
    wish = Wish(modules=modules, keep=arguments.keep, aim=aim, seconds=arguments.seconds)
    parts = chips_to_choose(arguments)
    with ended_by_interrupt() as is_wanted:
        ends = both_ends(reviewed, wish, parts, is_wanted=is_wanted) if arguments.aim == BOTH else None
        merged = merge(reviewed, wish, parts, is_wanted=is_wanted) if ends is None else ends.cheapest
        chips = cheaper_chips(reviewed, wish.modules, wish.keep, parts, is_wanted)
    stops = {merged.stopped_by} if ends is None else {ends.cheapest.stopped_by, ends.fewest.stopped_by}
    if "cancelled" in stops:
        say("note: the search was ended by hand; what is said is the best that it had found")
    if "failed" in stops:
        say("note: the solver broke off; what is said is the quick packing and its plain bound")
    return merge_json(reviewed, merged, chips, ends) if chosen == JSON else merge_text(reviewed, merged, chips, ends)


def _modules(arguments: argparse.Namespace, reviewed: Reviewed, modules: tuple[str, ...], chosen: str) -> bytes | str:
    if arguments.aim != "cost":
        raise UsageFault("modules become one where that costs less: --modules goes with --aim cost only")
    if len(modules) < PAIR:
        raise UsageFault(f"expected two modules or more for --modules, found {len(modules)}")
    parts = parts_of_kinds(KINDS).parts if arguments.parts == CATALOG else {}
    wish = ModulesWish(modules=modules, keep=arguments.keep, seconds=arguments.seconds)
    with ended_by_interrupt() as is_wanted:
        merged = merge_modules(reviewed, wish, parts, is_wanted=is_wanted)
    if merged.stopped_by == "cancelled":
        say("note: the search was ended by hand; what is said is what it had found")
    return merge_modules_json(reviewed, merged) if chosen == JSON else merge_modules_text(reviewed, merged)
