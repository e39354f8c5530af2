"""Gather the summary of a variant."""

from collections.abc import Iterator
from decimal import Decimal

from bomtui.export.package.summary import CostRow, CountRow, ModeSumRow, ModuleSumRow, Summary
from bomtui.export.records import amount_text, bounded, heading, plain_number
from bomtui.model.ids import natural_key
from bomtui.model.money import Total, minor_unit_digits
from bomtui.services.package.subject import Subject
from bomtui.services.present import days_corners_text
from bomtui.services.review import findings_text


def summary(subject: Subject) -> Summary:
    """Return what fits on one page as a record."""
    proposal, rollup = subject.proposal, subject.rollup
    return Summary(
        **heading(subject.basis, "Summary"),  # type: ignore[arg-type]
        customer=proposal.proposal.customer,
        volume_per_year=proposal.vehicle.volume_per_year,
        costs=tuple(_costs(subject)),
        counts=tuple(_counts(subject)),
        modes=tuple(
            ModeSumRow(
                mode=own.mode,
                supply_a=bounded(own.supply_current_a),
                alternator_a=proposal.modes[own.mode].alternator_current_a,
            )
            for own in rollup.modes
        ),
        modules=tuple(_module(subject, module) for module in sorted(rollup.modules, key=natural_key)),
        standby_a=bounded(rollup.standby_a),
        parking_days=bounded(rollup.parking_days),
        parking_text=days_corners_text(rollup.parking_days),
        findings_text=findings_text(subject.reviewed.review),
    )


def _costs(subject: Subject) -> Iterator[CostRow]:
    cost = subject.rollup.cost
    for name, total in cost.elements.items():
        if total.amount or total.unknown:
            yield _cost(name.replace("_", " "), total)
    yield _cost("total", cost.total)
    if cost.is_partly_fitted:
        yield _cost("total of the lean vehicle", cost.lean.total)
        yield _cost("total of the full-fit vehicle", cost.full.total)
    digits = minor_unit_digits(subject.proposal.proposal.currency)
    yield _cost("left over in packages, first year's orders", cost.excess_per_year, digits)
    yield _cost("left over after the programme, per vehicle", cost.excess_life_per_vehicle)


def _cost(name: str, total: Total, digits: int = 4) -> CostRow:
    return CostRow(cost=name, amount=amount_text(total.amount, digits), unknown=total.unknown)


def _counts(subject: Subject) -> Iterator[CountRow]:
    modules = subject.rollup.modules.values()
    unknown = sum(module.channels.unknown for module in modules)
    used, total = (sum(getattr(module.channels, name) for module in modules) for name in ("used", "total"))
    pieces = plain_number(sum((module.placed_pieces for module in modules), Decimal(0)))
    rollup = subject.rollup
    served = len(subject.proposal.loads) - len(rollup.unplaced)
    yield CountRow(what="modules", number=len(rollup.modules), of=None, unknown=0)
    yield CountRow(what="loads served", number=served, of=len(subject.proposal.loads), unknown=0)
    yield CountRow(what="driver channels used; unknown: devices", number=used, of=total, unknown=unknown)
    yield CountRow(what="driver devices", number=rollup.driver_devices, of=None, unknown=0)
    yield CountRow(what="part numbers", number=len(rollup.cost.lines), of=None, unknown=0)
    yield CountRow(what="pieces on boards", number=pieces, of=None, unknown=0)
    yield CountRow(what="wires", number=rollup.wire_count, of=None, unknown=0)
    lengths = sum(module.wires.unknown for module in modules)
    yield CountRow(what="wire in metres", number=float(rollup.wire_length_m), of=None, unknown=lengths)


def _module(subject: Subject, module_id: str) -> ModuleSumRow:
    result, cost = subject.rollup.modules[module_id], subject.rollup.cost.modules[module_id].total
    short = result.pins.short
    return ModuleSumRow(
        module=module_id,
        name=subject.variant.modules[module_id].name,
        zone=result.zone,
        loads=len(result.loads),
        cost=amount_text(cost.amount),
        cost_unknown=cost.unknown,
        standby_a=bounded(result.standby_a),
        channels_used=result.channels.used,
        channels=result.channels.total,
        pins_short=", ".join(f"{function} {count}" for function, count in sorted(short.items())) or "none",
    )
