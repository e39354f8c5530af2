"""`bomtui failures`: what is lost with every single thing taken out, and what stand-ins share."""

import argparse
from collections.abc import Iterator

from bomtui.cli import output
from bomtui.cli.arguments import JSON, TEXT, add_output, add_proposal, add_variant, chosen_format
from bomtui.cli.diagnostics import ExitCode, say
from bomtui.cli.heading_text import assumption_lines, caution_lines, heading_lines, page
from bomtui.cli.layout import wrapped
from bomtui.cli.reading import reviewed_from
from bomtui.model.failure import Cause, FailureWalk
from bomtui.model.finding import SEVERITIES
from bomtui.services.failures import (
    STAND_IN_CAUTION,
    cause_named,
    cause_title,
    common_text,
    effect_lines,
    failures,
    failures_bytes,
    walk_of,
)
from bomtui.services.parts_list import is_unmarked_demo
from bomtui.services.present import counted
from bomtui.services.review import Reviewed, reaches_by

SUBJECTS = ("standin", "separation")
"""Subjects of the rules that look at common causes: the exit code follows their findings."""


def configure(parser: argparse.ArgumentParser) -> None:
    """Add the arguments."""
    add_proposal(parser)
    parser.add_argument(
        "cause",
        nargs="?",
        metavar="CAUSE",
        help="what is taken out: ZREA.U8, ZREA, or feed:ID, ground:ID, network:ID; without it everything in turn",
    )
    add_variant(parser)
    parser.add_argument(
        "--fail-on",
        choices=SEVERITIES,
        default=SEVERITIES[0],
        help="exit code 1 where a finding about stand-ins or separation is that bad or worse; default: error",
    )
    add_output(parser, TEXT, "csv", JSON, "md")


def run(arguments: argparse.Namespace) -> ExitCode:
    """Print what is lost, or write it to a file."""
    chosen = chosen_format(arguments)
    reviewed = reviewed_from(arguments)
    walk = walk_of(reviewed.computed.opened.snapshot, reviewed.computed.variant)
    cause = None if arguments.cause is None else cause_named(walk, arguments.cause)
    if chosen == TEXT:
        output.write_text(failures_text(reviewed, walk, cause), arguments.output)
    else:
        output.write(failures_bytes(failures(reviewed, walk, cause), chosen), arguments.output)
    if arguments.output is not None and is_unmarked_demo(reviewed.computed, arguments.output):
        say(f"note: {arguments.output} holds invented data and its name does not say so")
    return ExitCode.FINDINGS if reaches_by(reviewed.review, arguments.fail_on, SUBJECTS) else ExitCode.FINE


def failures_text(reviewed: Reviewed, walk: FailureWalk, cause: Cause | None) -> str:
    """Write the failures of a variant for a terminal of 80 columns."""
    opened, variant = reviewed.computed.opened, reviewed.computed.variant
    proposal = opened.snapshot.proposal
    effects = [
        effect for effect in walk.effects if effect.cause == cause or (cause is None and not effect.loses_nothing)
    ]
    blocks: list[list[str]] = [
        [
            *wrapped(cause_title(proposal, variant, effect.cause)),
            *(line for label, text in effect_lines(proposal, effect) for line in wrapped(_labelled(label, text), 2, 4)),
        ]
        for effect in effects
    ]
    harmless = [effect for effect in walk.effects if effect.loses_nothing] if cause is None else []
    rest = [f"{counted(len(harmless), 'other thing', 'other things')} taken out: nothing that is known is lost"]
    return page(
        heading_lines(reviewed, "Failures"),
        *blocks,
        rest if harmless else [],
        _common_lines(reviewed, walk, cause),
        list(_unknown_lines(walk)),
        assumption_lines(reviewed),
        caution_lines(),
    )


def _labelled(label: str, text: str) -> str:
    return f"{label}: {text}" if label else text


def _common_lines(reviewed: Reviewed, walk: FailureWalk, cause: Cause | None) -> list[str]:
    if not walk.common:
        return []
    record = failures(reviewed, walk, cause)
    pairs = [line for own in record.common_causes for line in wrapped(common_text(own), 2, 4)]
    return ["Causes that a load shares with its stand-in", *pairs, *wrapped(STAND_IN_CAUTION, 2)]


def _unknown_lines(walk: FailureWalk) -> Iterator[str]:
    yield "Not known"
    for label, ids in (
        ("no feed is named of", walk.no_feed),
        ("no ground point is named of feed", walk.no_ground),
        ("no module serves", walk.not_served),
        ("what feeds the battery side of low-side loads is not said:", walk.fed_elsewhere),
    ):
        if ids:
            yield from wrapped(f"{label} {' '.join(ids)}", 2, 4)
    count = counted(walk.no_command_network, "load names", "loads name")
    yield from wrapped(f"{count} no network over which a command comes: none is lost with a network by that", 2, 4)
