"""Which modules become one, as a file: JSON with a published schema."""

from bomtui.export.json import json_bytes
from bomtui.export.merge_modules_record import (
    AmountsRecord,
    FurtherRecord,
    GoingRecord,
    MergeModulesRecord,
    ModuleOpportunityRecord,
    ModulesApartRecord,
    TogetherRecord,
)
from bomtui.export.merge_record import SumRecord, plain_blocked
from bomtui.export.records import bounded, exact_text, heading, rounded
from bomtui.model.money import Total
from bomtui.model.plain_text import clean
from bomtui.services.artefact import basis
from bomtui.services.merge_artefact import findings_of
from bomtui.services.merge_modules import Amounts, ModuleOpportunity, ModulesApart, ModulesMerged, Together
from bomtui.services.review import Reviewed


def merge_modules_record(reviewed: Reviewed, merged: ModulesMerged) -> MergeModulesRecord:
    """Return which modules become one as a record."""
    return MergeModulesRecord(
        **heading(basis(reviewed), "Modules merged"),  # type: ignore[arg-type]
        modules=merged.modules,
        keep=merged.keep,
        before=_sum(merged.before),
        after=_sum(merged.after),
        opportunities=tuple(map(_opportunity, merged.opportunities)),
        together=None if merged.together is None else _together(merged.together),
        refused=plain_blocked(("+".join(modules), clean(why)) for modules, why in merged.refused),
        blocked=tuple(map(_apart, merged.blocked)),
        sets_tried=merged.tried,
        every_set=merged.every_set,
        stopped_by=merged.stopped_by,
        reach=merged.words,
    )


def merge_modules_json(reviewed: Reviewed, merged: ModulesMerged) -> bytes:
    """Return which modules become one as JSON."""
    return json_bytes(merge_modules_record(reviewed, merged))


def _sum(total: Total) -> SumRecord:
    return SumRecord(total=exact_text(total.amount), unknown=total.unknown)


def _opportunity(own: ModuleOpportunity) -> ModuleOpportunityRecord:
    return ModuleOpportunityRecord(
        modules=own.modules,
        into=own.into,
        zone=own.zone,
        controller=own.controller,
        separate=clean(own.separate),
        housing=own.housing,
        going=tuple(GoingRecord(device=device, part=part) for device, part in own.going),
        saving=exact_text(own.saving),
        elements={name: exact_text(amount) for name, amount in own.elements.items()},
        before=_amounts(own.before),
        after=_amounts(own.after),
        added=tuple(findings_of(own.added)),
        cleared=tuple(findings_of(own.cleared)),
        conditions=own.conditions,
        further=_further(own),
    )


def _further(own: ModuleOpportunity) -> FurtherRecord | None:
    if own.further is None:
        return None
    housing, saving, condition = own.further
    return FurtherRecord(housing=housing, saving=exact_text(saving), condition=condition)


def _amounts(own: Amounts) -> AmountsRecord:
    return AmountsRecord(
        devices=own.devices,
        pins_used=own.pins_used,
        pins=own.pins,
        wires=own.wires,
        wire_length_m=rounded(float(own.wire_length_m)),
        standby_a=bounded(own.standby_a),
    )


def _together(own: Together) -> TogetherRecord:
    return TogetherRecord(
        sets=own.sets,
        saving=exact_text(own.saving),
        added=tuple(findings_of(own.added)),
        cleared=tuple(findings_of(own.cleared)),
    )


def _apart(own: ModulesApart) -> ModulesApartRecord:
    return ModulesApartRecord(
        what="+".join(own.modules),
        reason=clean(own.reason),
        short={name: rounded(amount) for name, amount in own.short.items()},
        proved=own.is_proved,
    )
