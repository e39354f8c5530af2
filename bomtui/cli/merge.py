"""`bomtui merge`: could this be done with fewer or cheaper drivers, and how do we know."""

import argparse

from bomtui.cli import output
from bomtui.cli.arguments import JSON, TEXT, add_output, add_proposal, add_variant, chosen_format
from bomtui.cli.diagnostics import ExitCode, UsageFault, say
from bomtui.cli.driver_source import FROZEN, add_driver_source, chips_to_choose
from bomtui.cli.interrupt import ended_by_interrupt
from bomtui.cli.merge_text import merge_text
from bomtui.cli.reading import reviewed_from
from bomtui.services.cheaper_chips import cheaper_chips
from bomtui.services.merge import Wish, merge, modules_in
from bomtui.services.merge_artefact import merge_json
from bomtui.services.parts_list import is_unmarked_demo


def configure(parser: argparse.ArgumentParser) -> None:
    """Add the arguments."""
    add_proposal(parser)
    add_variant(parser)
    parser.add_argument(
        "--module", action="append", default=[], metavar="ID", help="pack this module; may be given several times"
    )
    parser.add_argument("--zone", metavar="ID", help="pack the modules of this zone; default: all of the variant")
    parser.add_argument(
        "--aim",
        choices=("cost", "chips", "standby"),
        default="cost",
        help="what is made least: cost, driver devices and then cost, or standby current; default: cost",
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
        help="stop the solver after so long; then the answer may differ from run to run",
    )
    add_output(parser, TEXT, JSON)


def run(arguments: argparse.Namespace) -> ExitCode:
    """Pack the drivers anew and print what is gained and what is proved."""
    chosen = chosen_format(arguments)
    if arguments.seconds is not None and not 0 < arguments.seconds < float("inf"):
        raise UsageFault(f"expected a number of seconds above 0 for --seconds, found {arguments.seconds}")
    reviewed = reviewed_from(arguments)
    wish = Wish(
        modules=modules_in(reviewed, tuple(arguments.module), arguments.zone),
        keep=arguments.keep,
        aim=arguments.aim,
        seconds=arguments.seconds,
    )
    parts = chips_to_choose(arguments)
    with ended_by_interrupt() as is_wanted:
        merged = merge(reviewed, wish, parts, is_wanted=is_wanted)
        chips = cheaper_chips(reviewed, wish.modules, wish.keep, parts, is_wanted)
    if merged.stopped_by == "cancelled":
        say("note: the search was ended by hand; what is said is the best that it had found")
    if merged.stopped_by == "failed":
        say("note: the solver broke off; what is said is the quick packing and its plain bound")
    if chosen == JSON:
        output.write(merge_json(reviewed, merged, chips), arguments.output)
    else:
        output.write_text(merge_text(reviewed, merged, chips), arguments.output)
    if arguments.output is not None and is_unmarked_demo(reviewed.computed, arguments.output):
        say(f"note: {arguments.output} holds invented data and its name does not say so")
    return ExitCode.FINE
