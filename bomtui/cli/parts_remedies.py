"""`bomtui parts remedies`: parts of the catalog that would make a finding go away, each judged, and taking one."""

import argparse
from collections.abc import Iterator
from typing import Any

from bomtui.cli.arguments import add_proposal, add_variant
from bomtui.cli.diagnostics import UsageFault
from bomtui.cli.effect_text import effect_lines, effect_record
from bomtui.cli.heading_text import caution_lines, heading_lines, page
from bomtui.cli.layout import Column, table, wrapped
from bomtui.cli.reading import reviewed_from
from bomtui.model.finding import Finding
from bomtui.services.present import counted
from bomtui.services.remedies import (
    LOOKED_AT,
    Remedies,
    Remedy,
    finding_of,
    findings_with_needs,
    need_words,
    remedies_of,
    remedy_of,
    take_remedy,
)
from bomtui.services.review import Reviewed


def add_verb(verbs: Any) -> argparse.ArgumentParser:  # noqa: ANN401 - argparse gives its group no public name
    """Add the verb to those of the parts."""
    parser: argparse.ArgumentParser = verbs.add_parser(
        "remedies",
        help="parts of the catalog that would make a finding go away; without --finding: findings that have any",
    )
    add_proposal(parser)
    add_variant(parser)
    parser.add_argument(
        "--finding",
        nargs=2,
        metavar=("RULE", "PLACE"),
        help="a finding by its rule and place, as heat.junction ZREA.U9",
    )
    parser.add_argument("--take", default="", metavar="KEY", help="take this part, as one step")
    parser.add_argument("--device", default="", metavar="ADDRESS", help="with --take: in place of which device")
    parser.set_defaults(act=_act)
    return parser


def _act(arguments: argparse.Namespace) -> tuple[str, dict[str, object]]:
    if arguments.take and not arguments.finding:
        raise UsageFault("expected --finding RULE PLACE with --take, found none")
    if arguments.device and not arguments.take:
        raise UsageFault("expected --take KEY with --device, found none")
    reviewed = reviewed_from(arguments)
    if not arguments.finding:
        findings = findings_with_needs(reviewed)
        return page(heading_lines(reviewed, "Findings that another part may mend"), _list(findings), caution_lines()), {
            "variant": reviewed.computed.variant,
            "findings": [_finding(own) for own in findings],
        }
    found = remedies_of(reviewed, finding_of(reviewed, *arguments.finding))
    taken = remedy_of(found, arguments.take, arguments.device) if arguments.take else None
    if taken is not None:
        take_remedy(arguments.proposal, taken, losing=arguments.losing)
    return remedies_text(reviewed, found, taken), _record(reviewed, found, taken)


def _list(findings: tuple[Finding, ...]) -> Iterator[str]:
    if not findings:
        yield from wrapped("No rule names a part that would help.")
        return
    columns = (Column("rule", whole=True), Column("place", whole=True), Column("severity"), Column("what would help"))
    yield from table(columns, [[own.rule, own.place, own.severity, need_words(own)] for own in findings], 0)


def remedies_text(reviewed: Reviewed, found: Remedies, taken: Remedy | None) -> str:
    """Write what would help for a terminal of 80 columns."""
    return page(
        heading_lines(reviewed, f"Parts for {found.finding.rule} at {found.finding.place}"),
        _summary(found, taken),
        *(_remedy(own) for own in found.remedies),
        caution_lines(),
    )


def _summary(found: Remedies, taken: Remedy | None) -> Iterator[str]:
    yield from wrapped(found.finding.message)
    yield from wrapped(f"What would help: {need_words(found.finding)}.")
    clearing = sum(own.clears for own in found.remedies)
    meeting = counted(found.meeting, "part is", "parts are")
    yield from wrapped(
        f"{meeting} that; with {clearing} of the {len(found.remedies)} tried here the finding is gone. A part that"
        " helps by other values than the rule names is not among them."
    )
    for kind in found.cut:
        yield from wrapped(f"Only the {LOOKED_AT} cheapest parts of the kind {kind} were looked at.")
    if taken is not None:
        yield from wrapped(f"Taken as one step and saved: {taken.choice.key} at {taken.place}.")
    elif clearing:
        yield from wrapped("Nothing was taken: --take KEY takes a part.")


def _remedy(own: Remedy) -> Iterator[str]:
    verdict = "the finding is gone" if own.clears else "the finding stays" if own.effect is not None else "does not fit"
    yield from wrapped(f"{own.choice.key} at {own.place}, {own.choice.price_text}: {verdict}", 0, 2)
    for reason in own.choice.reasons:
        yield from wrapped(reason.text, 4, 6)
    if own.effect is not None:
        yield from effect_lines(own.effect, stirred=False)


def _finding(finding: Finding) -> dict[str, object]:
    return {
        "rule": finding.rule,
        "place": finding.place,
        "severity": finding.severity,
        "message": finding.message,
        "need": finding.need,
    }


def _record(reviewed: Reviewed, found: Remedies, taken: Remedy | None) -> dict[str, object]:
    return {
        "variant": reviewed.computed.variant,
        "finding": _finding(found.finding),
        "meeting": found.meeting,
        "cut": found.cut,
        "remedies": [
            {
                "part": own.choice.key,
                "place": own.place,
                "price": own.choice.price_text,
                "clears": own.clears,
                "new_errors": own.errors,
                "reasons": [reason.text for reason in own.choice.reasons],
                "effect": None if own.effect is None else effect_record(own.effect),
            }
            for own in found.remedies
        ],
        "taken": None if taken is None else {"part": taken.choice.key, "place": taken.place},
    }
