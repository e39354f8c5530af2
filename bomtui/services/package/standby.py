"""Gather the standby budget of a variant."""

from collections.abc import Iterator, Sequence

from bomtui.engine.calc import PLAIN
from bomtui.engine.load_current import load_columns, typical_currents, worst_currents
from bomtui.engine.standby import sleeping_currents, standby_terms
from bomtui.export.package.power import VEHICLE
from bomtui.export.package.standby import ModuleStandbyRow, StandbyBudget, StandbyRow
from bomtui.export.records import bounded, heading
from bomtui.model.ids import natural_key
from bomtui.model.rollup import Figure
from bomtui.services.package.subject import Subject
from bomtui.services.present import days_corners_text


def standby_budget(subject: Subject) -> StandbyBudget:
    """Return who draws what while the vehicle is parked as a record."""
    rollup, vehicle = subject.rollup, subject.proposal.vehicle
    modules = sorted(subject.variant.modules, key=natural_key)
    return StandbyBudget(
        **heading(subject.basis, "Standby budget"),  # type: ignore[arg-type]
        modules=(
            *(
                ModuleStandbyRow(module=module, current_a=bounded(rollup.modules[module].standby_a))
                for module in modules
            ),
            ModuleStandbyRow(module=VEHICLE, current_a=bounded(rollup.standby_a)),
        ),
        terms=tuple(row for module in modules for row in _module(subject, module))
        + tuple(_loads(subject, "", rollup.unplaced)),
        other_standby_a=vehicle.other_standby_a,
        battery_capacity_as=vehicle.battery_capacity_as,
        parking_days=bounded(rollup.parking_days),
        days_text=days_corners_text(rollup.parking_days),
    )


def _module(subject: Subject, module_id: str) -> Iterator[StandbyRow]:
    module, settings = subject.variant.modules[module_id], subject.proposal.settings.standby
    typ, largest = (standby_terms(module_id, module, subject.parts, settings, worst=worst) for worst in (False, True))
    for one, other in zip(typ, largest, strict=True):
        yield StandbyRow(
            module=module_id,
            what="device" if one.place in module.devices else "item",
            id=one.place,
            part=one.part,
            current_a=bounded(Figure(typ=one.current_a, max=other.current_a)),
        )
    yield from _loads(subject, module_id, [own.load_id for own in subject.serving.per_module[module_id]])


def _loads(subject: Subject, module_id: str, ids: Sequence[str]) -> Iterator[StandbyRow]:
    proposal = subject.proposal
    columns = load_columns(PLAIN, {load_id: proposal.loads[load_id] for load_id in ids}, proposal.vehicle)
    parked = proposal.vehicle.parked_mode
    mode = proposal.modes.get(parked)
    corners = []
    for law in (typical_currents, worst_currents):
        currents = [None] * len(columns.ids) if mode is None else law(PLAIN, columns, mode)
        corners.append(sleeping_currents(PLAIN, columns.ids, columns.loads, currents, parked))
    typ, largest = corners
    for load_id in typ:
        yield StandbyRow(
            module=module_id,
            what="load",
            id=load_id,
            part="",
            current_a=bounded(Figure(typ=typ[load_id], max=largest[load_id])),
        )
