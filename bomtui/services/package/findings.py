"""Gather findings with their status, and what a variant takes for granted."""

from bomtui.export.package.findings import AssumptionList, FindingRow, FindingsList, SingleValueRow
from bomtui.export.records import heading
from bomtui.export.review_record import review_record
from bomtui.services.package.subject import Subject
from bomtui.services.present import measured_text
from bomtui.services.review import acceptances


def findings_list(subject: Subject) -> FindingsList:
    """Return the findings of a variant with who accepted them as a record."""
    accepted = acceptances(subject.variant, subject.reviewed.review)
    reviewed = review_record(subject.basis)
    rows = []
    for finding in subject.reviewed.review.findings:
        held = accepted.of(finding)
        own = None if held is None else held[1]
        rows.append(
            FindingRow(
                severity=finding.severity,
                rule=finding.rule,
                place=finding.place,
                outcome=finding.outcome,
                message=finding.message,
                measured=measured_text(finding.measured, finding.unit),
                limit=measured_text(finding.limit, finding.unit),
                status=finding.status,
                accepted_by="" if own is None else own.by,
                accepted_on=None if own is None else own.date,
                reason="" if own is None else own.reason,
                remedy=finding.remedy,
            )
        )
    return FindingsList(
        **heading(subject.basis, "Findings"),  # type: ignore[arg-type]
        findings=reviewed.findings,
        rows=tuple(rows),
        rules=reviewed.rules,
        problems=reviewed.problems,
    )


def assumption_list(subject: Subject) -> AssumptionList:
    """Return what a variant takes for granted as a record."""
    return AssumptionList(
        **heading(subject.basis, "Assumptions and open points"),  # type: ignore[arg-type]
        single_values=tuple(map(_single_value, subject.rollup.single_values)),
        unplaced=subject.rollup.unplaced,
    )


def _single_value(name: str) -> SingleValueRow:
    kind, _, rest = name.partition(".")
    own, _, parameter = rest.rpartition(".")
    return SingleValueRow(kind=kind, id=own, parameter=parameter)
