"""`bomtui review`: findings of a variant, and what was checked."""

import argparse
from collections.abc import Iterator

from bomtui.cli import output
from bomtui.cli.arguments import JSON, TEXT, add_output, add_proposal, add_variant, chosen_format
from bomtui.cli.diagnostics import ExitCode
from bomtui.cli.heading_text import assumption_lines, caution_lines, checks_lines, heading_lines, page
from bomtui.cli.layout import Column, table, wrapped
from bomtui.cli.reading import reviewed_from
from bomtui.model.finding import SEVERITIES, Finding
from bomtui.services.artefact import review_json
from bomtui.services.review import Reviewed, reaches

RULE_COUNTS = ("places", "passed", "warned", "failed", "undecided", "not_applicable")
"""What `--rules` says of each rule, in the order of its columns."""


def configure(parser: argparse.ArgumentParser) -> None:
    """Add the arguments."""
    add_proposal(parser)
    add_variant(parser)
    parser.add_argument("--rules", action="store_true", help="list per rule how many places it checked")
    parser.add_argument(
        "--fail-on",
        choices=SEVERITIES,
        default=SEVERITIES[0],
        help="exit code 1 where a finding that nobody accepted is that bad or worse; default: error",
    )
    add_output(parser, TEXT, JSON)


def run(arguments: argparse.Namespace) -> ExitCode:
    """Review a variant and print its findings."""
    chosen = chosen_format(arguments)
    reviewed = reviewed_from(arguments)
    if chosen == JSON:
        output.write(review_json(reviewed), arguments.output)
    else:
        output.write_text(review_text(reviewed, per_rule=arguments.rules), arguments.output)
    return ExitCode.FINDINGS if reaches(reviewed.review, arguments.fail_on) else ExitCode.FINE


def review_text(reviewed: Reviewed, *, per_rule: bool) -> str:
    """Write the findings of a variant for a terminal of 80 columns."""
    findings = [line for finding in reviewed.review.findings for line in _finding_lines(finding)]
    rules = _rule_lines(reviewed) if per_rule else []
    return page(
        heading_lines(reviewed, "Review"),
        findings,
        rules,
        checks_lines(reviewed),
        assumption_lines(reviewed),
        caution_lines(),
    )


def _finding_lines(finding: Finding) -> Iterator[str]:
    words = [finding.severity, "undecided" if finding.outcome == "undecided" else "", finding.rule, finding.place]
    accepted = " (accepted)" if finding.status == "accepted" else ""
    yield from wrapped(f"{'  '.join(filter(None, words))}{accepted}", 0, 2)
    yield from wrapped(finding.message, 2)
    yield from wrapped(f"-> {finding.remedy}", 2, 5)


def _rule_lines(reviewed: Reviewed) -> list[str]:
    columns = (
        Column("rule"),
        Column("places", numeric=True),
        Column("passed", numeric=True),
        Column("warned", numeric=True),
        Column("failed", numeric=True),
        Column("undecided", numeric=True),
        Column("not applicable", numeric=True),
    )
    rows = [[count.rule, *(str(getattr(count, name)) for name in RULE_COUNTS)] for count in reviewed.review.counts]
    return ["Rules", *table(columns, rows)]
