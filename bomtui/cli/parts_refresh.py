"""`bomtui parts refresh`: what the catalog says now of the parts of a proposal, what that changes, and taking it."""

import argparse
from collections.abc import Iterator
from typing import Any

from bomtui.cli.arguments import add_proposal, add_variant
from bomtui.cli.diagnostics import UsageFault
from bomtui.cli.effect_text import effect_lines, effect_record
from bomtui.cli.heading_text import caution_lines, heading_lines, page
from bomtui.cli.layout import wrapped
from bomtui.cli.reading import reviewed_from
from bomtui.services.present import counted
from bomtui.services.refresh import WORDS, PartRefresh, Refresh, chosen, compare_with_catalog, take_parts
from bomtui.services.review import Reviewed


def add_verb(verbs: Any) -> argparse.ArgumentParser:  # noqa: ANN401 - argparse gives its group no public name
    """Add the verb to those of the parts."""
    parser: argparse.ArgumentParser = verbs.add_parser(
        "refresh", help="compare the parts of a proposal with the catalog; take what is said with --take, as one step"
    )
    add_proposal(parser)
    add_variant(parser)
    parser.add_argument(
        "--take", action="append", default=[], metavar="KEY", help="take this part; may be given several times"
    )
    parser.add_argument("--take-all", action="store_true", help="take every part that differs")
    parser.set_defaults(act=_act)
    return parser


def _act(arguments: argparse.Namespace) -> tuple[str, dict[str, object]]:
    if arguments.take and arguments.take_all:
        raise UsageFault("expected --take KEY or --take-all, found both")
    reviewed = reviewed_from(arguments)
    refresh = compare_with_catalog(reviewed)
    parts = refresh.changed if arguments.take_all else chosen(refresh, arguments.take)
    if parts:
        take_parts(arguments.proposal, parts, losing=arguments.losing)
    return refresh_text(reviewed, refresh, parts), _record(refresh, parts)


def refresh_text(reviewed: Reviewed, refresh: Refresh, taken: tuple[PartRefresh, ...]) -> str:
    """Write the comparison for a terminal of 80 columns."""
    return page(
        heading_lines(reviewed, "Parts beside the catalog"),
        _summary(refresh, taken),
        *(_part(own) for own in refresh.changed),
        _together(refresh),
        caution_lines(),
    )


def _summary(refresh: Refresh, taken: tuple[PartRefresh, ...]) -> Iterator[str]:
    yield from wrapped(
        f"The catalog says something else of {counted(len(refresh.changed), 'part', 'parts')}, and the same of"
        f" {len(refresh.same)}."
    )
    if refresh.missing:
        missing = ", ".join(refresh.missing)
        yield from wrapped(f"It does not have {missing}: the proposal keeps what it has of them.")
    if taken:
        yield from wrapped(f"Taken as one step and saved: {', '.join(own.key for own in taken)}.")
    elif refresh.changed:
        yield from wrapped("Nothing was taken: --take KEY takes a part, --take-all every one that differs.")


def _part(own: PartRefresh) -> Iterator[str]:
    used = ", ".join(own.places) or "not used in this variant"
    yield from wrapped(f"{own.key}: {used}", 0, 2)
    for group, words in WORDS.items():
        changes = [change for change in own.changes if change.group == group]
        if changes:
            yield f"  {words}"
        for change in changes:
            yield from wrapped(f"{change.field}: {change.before or 'unknown'} -> {change.now or 'unknown'}", 4, 6)
    yield from effect_lines(own.effect)


def _together(refresh: Refresh) -> Iterator[str]:
    if refresh.together is None or len(refresh.changed) == 1:
        return
    yield "All of them together"
    yield from effect_lines(refresh.together)


def _record(refresh: Refresh, taken: tuple[PartRefresh, ...]) -> dict[str, object]:
    return {
        "variant": refresh.basis.computed.variant,
        "changed": [
            {"part": own.key, "places": own.places, "changes": own.changes, "effect": effect_record(own.effect)}
            for own in refresh.changed
        ],
        "together": None if refresh.together is None else effect_record(refresh.together),
        "same": refresh.same,
        "missing": refresh.missing,
        "taken": [own.key for own in taken],
    }
