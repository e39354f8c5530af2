"""`bomtui parts refresh`: what the catalog says now of the parts of a proposal, what that changes, and taking it."""

import argparse
from collections.abc import Iterator

from bomtui.cli import output
from bomtui.cli.arguments import JSON, TEXT, add_output, add_proposal, add_variant, chosen_format
from bomtui.cli.diagnostics import ExitCode, UsageFault
from bomtui.cli.heading_text import caution_lines, heading_lines, page
from bomtui.cli.layout import wrapped
from bomtui.cli.reading import reviewed_from
from bomtui.edit.edit import Refusal
from bomtui.model.finding import Finding
from bomtui.services.artefact import as_json
from bomtui.services.effects import Effect
from bomtui.services.present import counted
from bomtui.services.refresh import WORDS, PartRefresh, Refresh, chosen, compare_with_catalog, take_parts
from bomtui.services.review import Reviewed


def configure(parser: argparse.ArgumentParser) -> None:
    """Add the arguments."""
    verbs = parser.add_subparsers(dest="verb", required=True, metavar="refresh")
    refreshing = verbs.add_parser(
        "refresh", help="compare the parts of a proposal with the catalog; take what is said with --take, as one step"
    )
    add_proposal(refreshing)
    add_variant(refreshing)
    refreshing.add_argument(
        "--take", action="append", default=[], metavar="KEY", help="take this part; may be given several times"
    )
    refreshing.add_argument("--take-all", action="store_true", help="take every part that differs")
    refreshing.add_argument("--losing", action="store_true", help="save although comments of the files would be lost")
    add_output(refreshing, TEXT, JSON)


def run(arguments: argparse.Namespace) -> ExitCode:
    """Compare, print, and take what was asked for."""
    chosen_as = chosen_format(arguments)
    if arguments.take and arguments.take_all:
        raise UsageFault("expected --take KEY or --take-all, found both")
    reviewed = reviewed_from(arguments)
    refresh = compare_with_catalog(reviewed)
    parts = refresh.changed if arguments.take_all else chosen(refresh, arguments.take)
    if parts:
        take_parts(arguments.proposal, parts, losing=arguments.losing)
    if chosen_as == JSON:
        output.write(as_json(_record(refresh, parts)), arguments.output)
    else:
        output.write_text(refresh_text(reviewed, refresh, parts), arguments.output)
    return ExitCode.FINE


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
    yield from _effect(own.effect)


def _together(refresh: Refresh) -> Iterator[str]:
    if refresh.together is None or len(refresh.changed) == 1:
        return
    yield "All of them together"
    yield from _effect(refresh.together)


def _effect(effect: Effect | Refusal) -> Iterator[str]:
    if isinstance(effect, Refusal):
        yield from wrapped(f"cannot be taken: {effect.sentence}", 2, 4)
        return
    moved = [own for own in effect.changes if own.now != own.after]
    yield "  effect on the variant" if moved else "  no cost, current, time or count of the variant changes"
    for own in moved:
        by = f" ({own.change})" if own.change else ""
        yield from wrapped(f"{own.name}: {own.now} -> {own.after}{by}", 4, 6)
    yield from _findings("new", effect.added)
    yield from _findings("gone", effect.cleared)
    yield from _findings("with other values", effect.stirred)


def _findings(word: str, findings: tuple[Finding, ...]) -> Iterator[str]:
    for finding in findings:
        yield from wrapped(f"{word}: {finding.severity}  {finding.rule}  {finding.message}", 2, 4)


def _record(refresh: Refresh, taken: tuple[PartRefresh, ...]) -> dict[str, object]:
    return {
        "format": 1,
        "variant": refresh.basis.computed.variant,
        "changed": [
            {"part": own.key, "places": own.places, "changes": own.changes, "effect": _effect_record(own.effect)}
            for own in refresh.changed
        ],
        "together": None if refresh.together is None else _effect_record(refresh.together),
        "same": refresh.same,
        "missing": refresh.missing,
        "taken": [own.key for own in taken],
    }


def _effect_record(effect: Effect | Refusal) -> dict[str, object]:
    if isinstance(effect, Refusal):
        return {"refused": effect.sentence}
    return {
        "cost_change": str(effect.cost_change),
        "cost_unknown": effect.cost_after.unknown,
        "changes": effect.changes,
        **{
            word: [
                {"rule": own.rule, "severity": own.severity, "place": own.place, "message": own.message}
                for own in found
            ]
            for word, found in (("added", effect.added), ("cleared", effect.cleared), ("other_values", effect.stirred))
        },
    }
