"""Findings with their status; assumptions and open points."""

import datetime
from typing import Annotated

from msgspec import Meta

from bomtui.export.package.artefact import Artefact
from bomtui.export.records import AssumptionRecord, FindingRecord, Heading, ProblemRecord, Record
from bomtui.export.review_record import RuleRecord
from bomtui.export.table import table_of

FINDINGS, FINDINGS_TITLE = "findings", "Findings"
ASSUMPTIONS, ASSUMPTIONS_TITLE = "assumptions", "Assumptions and open points"


class FindingRow(Record, frozen=True, kw_only=True):
    """One finding with what became of it."""

    severity: str
    rule: str
    place: str
    outcome: Annotated[str, Meta(description="failed, or undecided where something unknown decides")]
    message: Annotated[str, Meta(description="the two numbers compared")]
    measured: str
    limit: str
    status: Annotated[str, Meta(description="open or accepted")]
    accepted_by: str
    accepted_on: datetime.date | None
    reason: Annotated[str, Meta(description="why it is accepted")]
    remedy: str


class FindingsList(Heading, frozen=True, kw_only=True):
    """Findings of one variant with their status, and what was checked."""

    findings: tuple[FindingRecord, ...]
    rows: Annotated[tuple[FindingRow, ...], Meta(description="the same in words, with who accepted them")]
    rules: tuple[RuleRecord, ...]
    problems: tuple[ProblemRecord, ...]


class SingleValueRow(Record, frozen=True, kw_only=True):
    """A parameter of which one value is given, so that both corners use it: an assumption too."""

    kind: Annotated[str, Meta(description="loads or parts")]
    id: Annotated[str, Meta(description="load or catalog key")]
    parameter: str


class AssumptionList(Heading, frozen=True, kw_only=True):
    """What one variant takes for granted; the assumptions of the proposal are part of every heading."""

    single_values: tuple[SingleValueRow, ...]
    unplaced: Annotated[tuple[str, ...], Meta(description="loads that no module serves")]


def findings_artefact(record: FindingsList) -> Artefact:
    """Return the artefact of findings."""
    return Artefact(
        FINDINGS,
        FINDINGS_TITLE,
        record,
        record,
        (
            table_of("", "Findings", FindingRow, record.rows, keys=3),
            table_of("rules", "What was checked", RuleRecord, record.rules),
            table_of("faults", "Faults of the files", ProblemRecord, record.problems),
        ),
    )


def assumptions_artefact(record: AssumptionList) -> Artefact:
    """Return the artefact of assumptions."""
    unplaced = (f"Loads that no module serves: {' '.join(record.unplaced)}.",) if record.unplaced else ()
    return Artefact(
        ASSUMPTIONS,
        ASSUMPTIONS_TITLE,
        record,
        record,
        (
            table_of("", ASSUMPTIONS_TITLE, AssumptionRecord, record.assumptions, notes=unplaced),
            table_of(
                "single-values",
                "One value given for both corners",
                SingleValueRow,
                record.single_values,
                is_detail=True,
            ),
        ),
    )
