"""What packing drivers anew would gain, as a file: JSON with a published schema."""

from collections.abc import Iterable

from bomtui.export.json import json_bytes
from bomtui.export.merge_record import (
    BlockedRecord,
    EndRecord,
    MergeRecord,
    NewFinding,
    OpportunityRecord,
    ServedRecord,
    SumRecord,
    plain_blocked,
)
from bomtui.export.records import bounded, exact_text, heading, rounded
from bomtui.model.finding import Finding
from bomtui.model.money import Total
from bomtui.model.plain_text import clean
from bomtui.packing.plan import PlannedChip
from bomtui.services.artefact import basis
from bomtui.services.cheaper_chips import CheaperChips, ChipChange
from bomtui.services.merge import Ends, Left, Merged, Opportunity
from bomtui.services.review import Reviewed


def merge_record(
    reviewed: Reviewed, merged: Merged, chips: CheaperChips | None = None, ends: Ends | None = None
) -> MergeRecord:
    """Return what packing, and cheaper chips beside the drivers, would gain as a record.

    Args:
        reviewed: The variant, computed and reviewed.
        merged: The packing; the cheapest one where both ends were asked for.
        chips: Chips beside the drivers; None where they were not looked for.
        ends: Both ends; None where they were not asked for.
    """
    chips = chips or CheaperChips((), ())
    return MergeRecord(
        **heading(basis(reviewed), "Drivers packed"),  # type: ignore[arg-type]
        modules=merged.modules,
        keep=merged.keep,
        aim=merged.aim if ends is None else "both",
        before=_sum(merged.before),
        after=_sum(merged.after),
        devices_before=merged.devices[0],
        devices_after=merged.devices[1],
        fewest=merged.fewest,
        lower_bound=None if merged.lower_bound is None else exact_text(merged.lower_bound),
        gap_ratio=None if merged.gap_ratio is None else rounded(merged.gap_ratio),
        solver_bound=None if merged.solver_bound is None else exact_text(merged.solver_bound),
        proved=merged.proved,
        checked_by=merged.checked_by,
        stopped_by=merged.stopped_by,
        proof=merged.proof,
        fewest_end=None if ends is None else _end(ends),
        opportunities=(*map(_opportunity, merged.opportunities), *map(_change, chips.changes)),
        blocked=(
            *plain_blocked(pairs_of(merged.refused)),
            *(
                BlockedRecord(
                    what=own.what,
                    reason=clean(own.reason),
                    short={name: rounded(amount) for name, amount in own.short.items()},
                )
                for own in (*merged.blocked, *chips.blocked)
            ),
        ),
        drivers=served_by(merged.chips),
        left=plain_blocked(pairs_of(merged.left)),
        unserved=plain_blocked(pairs_of(merged.unserved)),
        conditions=merged.conditions,
        open_rules=merged.open_rules,
    )


def merge_json(
    reviewed: Reviewed, merged: Merged, chips: CheaperChips | None = None, ends: Ends | None = None
) -> bytes:
    """Return the same as JSON."""
    return json_bytes(merge_record(reviewed, merged, chips, ends))


def _end(ends: Ends) -> EndRecord:
    own = ends.fewest
    return EndRecord(
        after=_sum(own.after),
        devices_after=own.devices[1],
        fewest=own.fewest,
        conflict=ends.conflict,
        lower_bound=None if own.lower_bound is None else exact_text(own.lower_bound),
        gap_ratio=None if own.gap_ratio is None else rounded(own.gap_ratio),
        proved=own.proved,
        stopped_by=own.stopped_by,
        proof=own.proof,
        opportunities=tuple(map(_opportunity, own.opportunities)),
        drivers=served_by(own.chips),
        refused=plain_blocked(pairs_of(own.refused)),
    )


def _sum(total: Total) -> SumRecord:
    return SumRecord(total=exact_text(total.amount), unknown=total.unknown)


def _opportunity(own: Opportunity) -> OpportunityRecord:
    return OpportunityRecord(
        kind="drivers",
        module=own.module,
        what=own.what,
        saving=exact_text(own.saving),
        devices=own.devices,
        pieces=own.devices,
        unsure=(),
        standby_before_a=bounded(own.standby_a[0]),
        standby_after_a=bounded(own.standby_a[1]),
        added=tuple(findings_of(own.added)),
        cleared=tuple(findings_of(own.cleared)),
    )


def _change(own: ChipChange) -> OpportunityRecord:
    return OpportunityRecord(
        kind=own.kind,
        module=own.module,
        what=own.what,
        saving=exact_text(own.saving),
        devices=0,
        pieces=own.pieces,
        unsure=tuple(map(clean, own.unsure)),
        standby_before_a=bounded(own.standby_a[0]),
        standby_after_a=bounded(own.standby_a[1]),
        added=tuple(findings_of(own.added)),
        cleared=tuple(findings_of(own.cleared)),
    )


def served_by(chips: Iterable[PlannedChip]) -> tuple[ServedRecord, ...]:
    """Return drivers with their loads as records."""
    return tuple(
        ServedRecord(
            device=f"{own.module}.{own.ref}",
            part=own.part,
            former=own.former,
            loads=tuple(load_id for load_id, _ in own.loads),
        )
        for own in chips
    )


def findings_of(findings: Iterable[Finding]) -> Iterable[NewFinding]:
    """Return findings as records."""
    return (
        NewFinding(rule=own.rule, severity=own.severity, place=own.place, message=clean(own.message))
        for own in findings
    )


def pairs_of(left: Iterable[Left]) -> Iterable[tuple[str, str]]:
    """Return things with their reasons as plain text."""
    return ((own.what, clean(own.why)) for own in left)
