"""`bomtui draft`: a first placement of loads that no module serves, with the drivers that they need."""

import argparse
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from bomtui.cli import output
from bomtui.cli.arguments import JSON, TEXT, add_output, add_proposal, add_variant, chosen_format
from bomtui.cli.diagnostics import ExitCode, say
from bomtui.cli.driver_source import CATALOG, add_driver_source, drivers_to_choose
from bomtui.cli.heading_text import caution_lines, heading_lines, page
from bomtui.cli.layout import wrapped
from bomtui.cli.reading import reviewed_from
from bomtui.services.draft import Drafted, draft
from bomtui.services.draft_artefact import draft_json
from bomtui.services.merge import modules_in
from bomtui.services.present import counted
from bomtui.services.review import Reviewed
from bomtui.services.saving import save_copy


def configure(parser: argparse.ArgumentParser) -> None:
    """Add the arguments."""
    add_proposal(parser)
    add_variant(parser)
    parser.add_argument(
        "--module", action="append", default=[], metavar="ID", help="place in this module; may be given several times"
    )
    parser.add_argument("--zone", metavar="ID", help="place in the modules of this zone; default: all of the variant")
    parser.add_argument(
        "--keep",
        choices=("warnings", "errors"),
        default="errors",
        help="place no load where it would have an error, or even a warning; default: errors",
    )
    add_driver_source(parser, CATALOG)
    parser.add_argument(
        "--save", type=Path, metavar="FILE.toml", help="write the drafted proposal to a new file, parts beside it"
    )
    add_output(parser, TEXT, JSON)


def run(arguments: argparse.Namespace) -> ExitCode:
    """Draft, print what was placed and what was not, and save it where asked."""
    chosen = chosen_format(arguments)
    reviewed = reviewed_from(arguments)
    modules = modules_in(reviewed, tuple(arguments.module), arguments.zone)
    parts = drivers_to_choose(arguments)
    drafted = draft(reviewed, modules, arguments.keep, parts)
    if drafted.merged is not None and drafted.merged.stopped_by == "failed":
        say("note: the solver broke off; what is said is the quick packing and its plain bound")
    if arguments.save is not None:
        save_copy(replace(reviewed.computed.opened, snapshot=drafted.after), arguments.save, overwrite=False)
    if chosen == JSON:
        output.write(draft_json(reviewed, drafted), arguments.output)
    else:
        output.write_text(draft_text(reviewed, drafted), arguments.output)
    return ExitCode.FINE


def draft_text(reviewed: Reviewed, drafted: Drafted) -> str:
    """Write a draft for a terminal of 80 columns."""
    return page(
        heading_lines(reviewed, "Draft"),
        list(_placed(drafted)),
        list(_not_placed(drafted)),
        list(_new_findings(drafted)),
        caution_lines(),
    )


def _placed(drafted: Drafted) -> Iterator[str]:
    yield f"{counted(len(drafted.modules), 'load is', 'loads are')} placed"
    by_module: dict[str, list[str]] = {}
    for load_id, module in drafted.modules.items():
        by_module.setdefault(module, []).append(load_id)
    for module, loads in by_module.items():
        yield from wrapped(f"{module}: {' '.join(loads)}", 2, 4)
    if drafted.merged is None:
        return
    if drafted.merged.chips:
        yield "Drivers"
    for chip in drafted.merged.chips:
        served = " ".join(load_id for load_id, _ in chip.loads)
        yield from wrapped(f"{chip.module}.{chip.ref}  {chip.part}  {served}", 2, 4)
    yield from wrapped(drafted.merged.proof, 0, 2)


def _not_placed(drafted: Drafted) -> Iterator[str]:
    if drafted.not_placed:
        yield "Not placed"
    for own in drafted.not_placed:
        yield from wrapped(f"{own.what}: {own.why}", 2, 4)


def _new_findings(drafted: Drafted) -> Iterator[str]:
    if drafted.added:
        yield "Findings that it brings"
    for finding in drafted.added:
        yield from wrapped(f"{finding.severity}  {finding.rule}  {finding.place}: {finding.message}", 2, 4)
