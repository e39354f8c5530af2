"""Unknown is never zero: taking any value away that a formula reads leaves bounds, never a better exact figure."""

from collections.abc import Iterator
from decimal import Decimal
from functools import cache
from typing import Any

import msgspec
import pytest

from bomtui.engine.calc import Recorder, origin_of
from bomtui.engine.figures import all_figures
from bomtui.engine.rollup import Computed, rollup
from bomtui.engine.tagging import tagged_snapshot
from bomtui.model.base import Base
from bomtui.model.bound import Range, Value
from bomtui.model.fields import field_table
from bomtui.model.money import Total
from bomtui.model.parameter import Parameter
from bomtui.model.proposal import Snapshot
from tests.properties.varied import with_fitment, with_groups
from tests.samples.rollups import snapshot

VEHICLE, VARIANT = "sweeper", "zone"
OPTIONAL_ROOTS = ("vehicle", "zones", "modes", "loads", "parts")
"""What a person may leave open; settings have habits of the trade behind them."""


PLAIN, VARIED = "plain", "varied"
"""The sample as it is; and with fitment rates and groups of loads by chance."""

FITMENTS = (None, 0.35, 1.0)
SAYS_SOMETHING = {"fitment", "duration", "on_time_max"}
"""Fields that are no unknown where they are absent: every vehicle has it, it may last for ever."""
EVERY_OTHER = 5
"""Of the varied sample every fifth value is taken away: the plain one has walked them all."""
STRIDE = 8 * EVERY_OTHER


@cache
def _sample(kind: str) -> Snapshot:
    plain = snapshot(VEHICLE)
    return plain if kind == PLAIN else with_groups(with_fitment(plain, 3, FITMENTS), 5)


@cache
def _before(kind: str) -> Computed:
    return rollup(_sample(kind), VARIANT)


@cache
def _read_paths(kind: str) -> tuple[tuple[str, ...], ...]:
    """Every field that a formula of the variant reads, found by recording all its figures."""
    figures = all_figures(rollup(tagged_snapshot(_sample(kind)), VARIANT, calc=Recorder()).result)
    seen: set[int] = set()
    found: set[str] = set()
    waiting = [origin_of(value.amount if isinstance(value, Total) else value) for value in figures.values()]
    while waiting:
        origin = waiting.pop()
        if isinstance(origin, str):
            found.add(origin)
        elif id(origin) not in seen:
            seen.add(id(origin))
            waiting.extend(source for _, _, source in origin.inputs)
    return tuple(sorted(path for path in map(_split, found) if path and path[0] in OPTIONAL_ROOTS))


def _split(path: str) -> tuple[str, ...]:
    return tuple(path.split(".")) if " " not in path else ()


def _groups() -> list[str]:
    parts = snapshot(VEHICLE).parts
    kinds = {parts[path[1]].kind for path in _read_paths(PLAIN) if path[0] == "parts"}
    loads = {_load_group(path[1]) for path in _read_paths(PLAIN) if path[0] == "loads"}
    return ["vehicle", "zones", "modes", *sorted(kinds), *sorted(loads)]


def _load_group(load_id: str) -> str:
    """Subsystem and tens of a load's number: E05 is in `ENG 0`, E17 in `ENG 1`."""
    return f"{snapshot(VEHICLE).proposal.loads[load_id].subsystem} {load_id[1:-1]}"


def _in_group(path: tuple[str, ...], group: str) -> bool:
    sample = snapshot(VEHICLE)
    if path[0] == "parts":
        return sample.parts[path[1]].kind == group
    if path[0] == "loads":
        return _load_group(path[1]) == group
    return path[0] == group


def _given_twice(path: tuple[str, ...]) -> bool:
    """One of two data stands in where the other is missing.

    A lamp's current follows from its rating and stands in the list too; a coil's resistance follows from its current.
    """
    if path[0] == "loads" and path[2] == "resistance":
        load = snapshot(VEHICLE).proposal.loads[path[1]]
        return load.behaviour == "resistive" and load.test_current_a is not None
    if path[0] != "loads" or path[2] not in {"rated_power", "rated_voltage", "test_current"}:
        return False
    return snapshot(VEHICLE).proposal.loads[path[1]].rated_power_w is not None


def _without(sample: Snapshot, path: tuple[str, ...]) -> Snapshot | None:
    """Return the sample without the value at a path; None where it cannot be left open."""
    if path[0] == "parts":
        part = _emptied(sample.parts[path[1]], path[2:])
        return part and Snapshot(proposal=sample.proposal, parts={**sample.parts, path[1]: part})
    if path[0] == "vehicle":
        vehicle = _emptied(sample.proposal.vehicle, path[1:])
        return vehicle and Snapshot(proposal=_with(sample.proposal, vehicle=vehicle), parts=sample.parts)
    table = getattr(sample.proposal, path[0])
    record = _emptied(table[path[1]], path[2:])
    return record and Snapshot(
        proposal=_with(sample.proposal, **{path[0]: {**table, path[1]: record}}), parts=sample.parts
    )


def _emptied(record: Base, path: tuple[str, ...]) -> Any:  # noqa: ANN401 - any record
    info = next(info for info in field_table(type(record)) if info.key == path[0])
    value = getattr(record, info.name)
    if isinstance(value, Parameter):
        return _with(record, **{info.name: None if info.optional else Parameter()})
    if isinstance(value, dict) and info.record is None:
        return _with(record, **{info.name: {key: item for key, item in value.items() if key != path[1]}})
    if isinstance(value, dict):
        inner = _emptied(value[path[1]], path[2:])
        return inner and _with(record, **{info.name: {**value, path[1]: inner}})
    if isinstance(value, tuple):
        return _with(record, **{info.name: ()})
    return _with(record, **{info.name: None}) if info.optional else None


def _with(record: Base, **changes: object) -> Any:  # noqa: ANN401 - any record
    return msgspec.structs.replace(record, **changes)


def _known(value: Value | Decimal | Total) -> bool:
    if isinstance(value, Total):
        return not value.unknown
    return value is not None and not isinstance(value, Range)


def _better(kind: str, sample: Snapshot) -> Iterator[tuple[str, object, object]]:
    """Yield figures that became another exact value; and a complaint where no figure moved at all."""
    before = all_figures(_before(kind).result)
    after = all_figures(rollup(sample, VARIANT, _before(kind)).result)
    for name, old in before.items():
        new = after.get(name)
        if new is not None and _known(new) and new != old:
            yield name, old, new
    if after == before:
        yield "no figure moved", None, None


@pytest.mark.slow
@pytest.mark.parametrize("group", _groups())
def test_a_value_taken_away_leaves_bounds(group: str) -> None:
    """Without a value that some formula reads, figures become bounds or unknown; none becomes another exact number."""
    wrong: list[tuple[object, ...]] = []
    walked = 0
    for path in _read_paths(PLAIN):
        if not _in_group(path, group) or _given_twice(path) or path[-1] in SAYS_SOMETHING:
            continue
        sample = _without(_sample(PLAIN), path)
        if sample is not None:
            walked += 1
            wrong.extend((".".join(path), *found) for found in _better(PLAIN, sample))
    assert wrong == []
    assert walked


@pytest.mark.slow
@pytest.mark.parametrize(
    "start",
    [pytest.param(start, marks=pytest.mark.slow if start else ()) for start in range(0, STRIDE, EVERY_OTHER)],
)
def test_a_value_taken_away_leaves_bounds_with_fitment_and_groups(start: int) -> None:
    """The same holds of a vehicle in which not everything is fitted and loads are in groups.

    What says something where it is absent is left alone.
    """
    paths = [path for path in _read_paths(VARIED) if path[-1] not in SAYS_SOMETHING and not _given_twice(path)]
    wrong: list[tuple[object, ...]] = []
    walked = 0
    for path in paths[start::STRIDE]:
        sample = _without(_sample(VARIED), path)
        if sample is not None:
            walked += 1
            wrong.extend((".".join(path), *found) for found in _better(VARIED, sample))
    assert wrong == []
    assert walked > 25
