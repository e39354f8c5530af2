"""Every measure of two computed variants side by side: both figures, signed difference, per cent, which is better."""

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from bomtui.engine.calc import PLAIN
from bomtui.engine.difference import change_ratio, exact_change
from bomtui.engine.load_path import CONTROLLER
from bomtui.model.bound import Range, Value, at_least, ends, exceeds
from bomtui.model.finding import SEVERITIES, Finding
from bomtui.model.money import Total
from bomtui.model.rollup import COST_ELEMENTS, Figure, Rollup
from bomtui.services.failure_measures import failure_rows
from bomtui.services.measure_row import Measured, Row
from bomtui.services.review import Reviewed
from bomtui.services.rollup import Computed
from bomtui.services.target import gap_to_target
from bomtui.services.wiring_measures import wiring_rows

Better = Literal["", "first", "second", "same", "undecided"]
"""Which side is better; empty where a measure has no better end, or where nothing may be judged."""


@dataclass(frozen=True, slots=True)
class Measure:
    """One measure of both sides.

    Attributes:
        id: Stable name.
        name: What people call it.
        dimension: `money`, `count`, `days`, or a name in the dimension table.
        first: Figure of the first side.
        second: Figure of the second.
        difference: Second less first; None where one of them is not known exactly.
        change_ratio: Difference over the first; None where it is not known or the first is 0.
        better: Which side is better.
    """

    id: str
    name: str
    dimension: str
    first: Measured
    second: Measured
    difference: Decimal | None
    change_ratio: Decimal | None
    better: Better


def measures(
    first: Reviewed, second: Reviewed, *, are_judged: bool, is_one_currency: bool = True
) -> tuple[Measure, ...]:
    """Return the measures of two variants, in the order in which people read them.

    Args:
        first: One variant, computed and reviewed.
        second: The other.
        are_judged: Whether it may be said which is better: only over the same served loads.
        is_one_currency: Whether amounts of both can be held against each other.
    """
    return tuple(
        _measure(row, are_judged=are_judged, can_differ=is_one_currency or row.dimension != "money")
        for row in _rows(first, second)
    )


def _measure(row: Row, *, are_judged: bool, can_differ: bool) -> Measure:
    one, other = (_exact(figure) if can_differ else None for figure in (row.first, row.second))
    return Measure(
        id=row.id,
        name=row.name,
        dimension=row.dimension,
        first=row.first,
        second=row.second,
        difference=PLAIN.exact(exact_change, after=other, before=one),
        change_ratio=PLAIN.exact(change_ratio, after=other, before=one),
        better=_better(row) if are_judged and can_differ and row.wanted else "",
    )


def _exact(figure: Measured) -> Decimal | None:
    if isinstance(figure, Total):
        return None if figure.unknown else figure.amount
    return Decimal(repr(figure)) if isinstance(figure, float) else None


def _bounded(figure: Measured) -> Value:
    if not isinstance(figure, Total):
        return figure
    return at_least(float(figure.amount), frozenset(("cost",))) if figure.unknown else float(figure.amount)


def _better(row: Row) -> Better:
    one, other = row.judged or (_bounded(row.first), _bounded(row.second))
    lower: Better = "second" if row.wanted == "low" else "first"
    higher: Better = "first" if row.wanted == "low" else "second"
    if exceeds(one, other):
        return lower
    if exceeds(other, one):
        return higher
    if one is not None and other is not None and ends(one)[0] == ends(one)[1] == ends(other)[0] == ends(other)[1]:
        return "same"
    return "undecided"


def _rows(first: Reviewed, second: Reviewed) -> Iterator[Row]:
    one, other = first.computed.rollup, second.computed.rollup
    yield from _cost_rows(one, other)
    yield from _target_rows(first, second)
    yield from _part_rows(one, other)
    yield Row("controllers", "controllers", "count", _controllers(first.computed), _controllers(second.computed))
    yield from _shape_rows(one, other)
    yield from wiring_rows(one, other)
    yield from _current_rows(one, other)
    yield from failure_rows(first.computed, second.computed)
    yield from _finding_rows(first, second)


ELEMENT_NAMES = {
    "parts": "parts",
    "attrition": "attrition",
    "freight": "freight",
    "duty": "customs duty",
    "placement": "placing",
    "test": "test",
    "assembly": "assembly",
    "wire": "wire",
    "wire_ends": "wire ends",
    "network": "networks",
    "one_off": "one-off",
}
"""Cost elements as people read them."""


def _cost_rows(one: Rollup, other: Rollup) -> Iterator[Row]:
    yield Row("cost", "cost per vehicle", "money", one.cost.total, other.cost.total)
    for element in COST_ELEMENTS:
        name = f"  {ELEMENT_NAMES[element]}"
        yield Row(f"cost.{element}", name, "money", one.cost.elements[element], other.cost.elements[element])
    excess = (one.cost.excess_life_per_vehicle, other.cost.excess_life_per_vehicle)
    yield Row("rounding_excess_life", "left-over pieces", "money", *excess)
    yield Row("rounding_excess", "first-order excess", "money", one.cost.excess_per_year, other.cost.excess_per_year)


def _target_rows(first: Reviewed, second: Reviewed) -> Iterator[Row]:
    gaps = [gap_to_target(side.computed) for side in (first, second)]
    if gaps == [None, None]:
        return
    targets = [None if own is None else Total(amount=own.target) for own in gaps]
    yield Row("target", "target price", "money", targets[0], targets[1], "")
    over = [None if own is None else own.gap for own in gaps]
    yield Row("target_gap", "above the target", "money", over[0], over[1])


def _part_rows(one: Rollup, other: Rollup) -> Iterator[Row]:
    yield Row("part_numbers", "part numbers", "count", float(len(one.cost.lines)), float(len(other.cost.lines)))
    yield Row("pieces", "pieces placed", "count", _pieces(one), _pieces(other))
    yield Row("driver_devices", "driver devices", "count", float(one.driver_devices), float(other.driver_devices))


def _pieces(rollup: Rollup) -> float:
    return float(sum((module.placed_pieces for module in rollup.modules.values()), Decimal(0)))


def _controllers(side: Computed) -> float:
    parts = side.opened.snapshot.parts
    devices = (device for module in side.rollup.modules.values() for device in module.devices)
    return float(sum(device.part in parts and parts[device.part].kind == CONTROLLER for device in devices))


def _shape_rows(one: Rollup, other: Rollup) -> Iterator[Row]:
    yield Row("modules", "modules", "count", float(len(one.modules)), float(len(other.modules)))
    yield Row("wire_count", "wires", "count", float(one.wire_count), float(other.wire_count))
    yield Row("wire_length", "wire length", "length", _length_m(one), _length_m(other))
    for name, title in (("ways", "connector ways"), ("power_headers", "power headers")):
        figure, second = (
            float(sum(getattr(own.wires, name) for own in side.modules.values())) for side in (one, other)
        )
        yield Row(name, title, "count", figure, second)
    for name, title in (("channels", "spare channels"), ("pins", "spare pins")):
        yield Row(f"spare_{name}", title, "count", _spare(one, name), _spare(other, name), "")


def _length_m(rollup: Rollup) -> Value:
    length_m = float(rollup.wire_length_m)
    missing = sum(module.wires.unknown for module in rollup.modules.values())
    return at_least(length_m, frozenset(f"length {number}" for number in range(missing))) if missing else length_m


def _spare(rollup: Rollup, name: str) -> Value:
    uses = [getattr(module, name) for module in rollup.modules.values()]
    return None if any(use.unknown for use in uses) else float(sum(use.total - use.used for use in uses))


def _current_rows(one: Rollup, other: Rollup) -> Iterator[Row]:
    yield from _corners("standby", "standby", "current", one.standby_a, other.standby_a)
    yield from _corners("parking_days", "parking", "days", one.parking_days, other.parking_days, "high")
    others = {mode.mode: mode.supply_current_a for mode in other.modes}
    for mode in one.modes:
        if mode.mode in others:
            name = f"supply {mode.mode}"
            yield from _corners(f"supply.{mode.mode}", name, "current", mode.supply_current_a, others[mode.mode])


def _corners(
    key: str, name: str, dimension: str, one: Figure, other: Figure, wanted: Literal["low", "high"] = "low"
) -> Iterator[Row]:
    yield Row(f"{key}.typ", f"{name}, typical", dimension, one.typ, other.typ, wanted)
    yield Row(f"{key}.max", f"{name}, worst", dimension, one.max, other.max, wanted)


def _finding_rows(first: Reviewed, second: Reviewed) -> Iterator[Row]:
    """Yield the findings by severity; each check that could not be decided may hide one more of any severity."""
    sides = (first.review.findings, second.review.findings)
    hidden = [[f"{own.rule} {own.place}" for own in found if not _is_decided(own)] for found in sides]
    for severity in SEVERITIES:
        one, other = (_count(own for own in found if _is_decided(own) and own.severity == severity) for found in sides)
        judged = None if sides[0] == sides[1] else (_and_perhaps(one, hidden[0]), _and_perhaps(other, hidden[1]))
        yield Row(f"findings.{severity}", f"findings: {severity}s", "count", one, other, judged=judged)
    yield Row("findings.undecided", "undecided findings", "count", float(len(hidden[0])), float(len(hidden[1])))


def _and_perhaps(sure: float, hidden: Collection[str]) -> Value:
    return Range(sure, sure + len(hidden), frozenset(hidden)) if hidden else sure


def _count(findings: Iterable[Finding]) -> float:
    return float(len(list(findings)))


def _is_decided(finding: Finding) -> bool:
    return finding.outcome != "undecided"
