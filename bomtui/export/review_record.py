"""The review of a variant as one plain record."""

from bomtui.export.records import (
    Basis,
    Checks,
    Count,
    FindingRecord,
    Heading,
    ProblemRecord,
    Record,
    checks,
    finding_record,
    heading,
)


class RuleRecord(Record, frozen=True, kw_only=True):
    """How often a rule was asked, and what it said; passed, warned, failed and undecided add to its places."""

    rule: str
    places: Count
    passed: Count
    warned: Count
    failed: Count
    undecided: Count
    not_applicable: Count


class ReviewRecord(Heading, frozen=True, kw_only=True):
    """Findings of one variant of a proposal."""

    checks: Checks
    rules: tuple[RuleRecord, ...]
    findings: tuple[FindingRecord, ...]
    problems: tuple[ProblemRecord, ...]


def review_record(basis: Basis) -> ReviewRecord:
    """Return the review of a variant as a record."""
    return ReviewRecord(
        **heading(basis, "Review"),  # type: ignore[arg-type]
        checks=checks(basis.review),
        rules=tuple(
            RuleRecord(
                rule=count.rule,
                places=count.places,
                passed=count.passed,
                warned=count.warned,
                failed=count.failed,
                undecided=count.undecided,
                not_applicable=count.not_applicable,
            )
            for count in basis.review.counts
        ),
        findings=tuple(map(finding_record, basis.review.findings)),
        problems=basis.problems,
    )
