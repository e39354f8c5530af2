"""Laws that hold of the samples as a whole: names mean nothing, every setting matters, every figure is explained."""

import math
import random
from collections.abc import Callable, Iterator
from decimal import Decimal
from functools import cache
from typing import Any

import msgspec
import pytest

from bomtui.engine.calc import Recorder, Step
from bomtui.engine.figures import all_figures
from bomtui.engine.rollup import rollup
from bomtui.engine.tagging import tagged_snapshot
from bomtui.model.base import Base
from bomtui.model.bound import Range, Value
from bomtui.model.fields import field_table
from bomtui.model.ids import parse_address
from bomtui.model.money import Money
from bomtui.model.proposal import Snapshot
from bomtui.model.rollup import Rollup
from bomtui.model.settings import DRIVE_HABITS, DriveHabit, Settings
from bomtui.model.variant import Module, Placement, Variant
from bomtui.rules.run import review
from tests.properties.explained import Figures, all_steps, without_origin, wrong_steps
from tests.samples.rollups import VARIANTS, result, snapshot


def _totals(found: Rollup) -> list[Any]:
    """Every total of the vehicle, without a name of anything in the proposal."""
    cost = found.cost
    return [
        [(name, total.amount, total.unknown) for name, total in cost.elements.items()],
        (cost.total.amount, cost.common.amount, cost.reserve.amount),
        sorted(total.amount for total in cost.subsystems.values()),
        (cost.excess_per_year.amount, len(cost.lines), found.driver_devices, found.wire_count, found.wire_length_m),
        sorted(
            (_plain(mode.loads_a), _plain(mode.supply_current_a.typ), _plain(mode.supply_current_a.max))
            for mode in found.modes
        ),
        (_plain(found.standby_a.typ), _plain(found.standby_a.max), _plain(found.parking_days.typ)),
        sorted(
            (module.pins.plain_used, module.pins.used, module.channels.used, module.channels.total)
            for module in found.modules.values()
        ),
    ]


def _plain(value: Value) -> tuple[float, float, int]:
    """A value as numbers that do not depend on the order of adding in the last bits."""
    if value is None:
        return (math.inf, math.inf, 1)
    low, high, count = (value.low, value.high, len(value.unknown)) if isinstance(value, Range) else (value, value, 0)
    return (float(f"{low:.9g}"), float(f"{high:.9g}"), count)


@pytest.mark.parametrize(("vehicle", "variant"), VARIANTS)
def test_names_and_order_change_no_total(vehicle: str, variant: str) -> None:
    """With every id and part key replaced and every table shuffled, each total is the same."""
    changed, new_variant = _renamed(snapshot(vehicle), variant)
    found = rollup(changed, new_variant).result
    # Largest remainders break ties by key, so subsystem shares may move in the last digit; their sum may not.
    before, after = _totals(result(vehicle, variant)), _totals(found)
    shares = before.pop(2), after.pop(2)
    assert after == before
    assert sum(shares[0]) == sum(shares[1])
    assert all(abs(one - other) < Decimal("0.02") for one, other in zip(*shares, strict=True))


def _renamed(original: Snapshot, variant_id: str) -> tuple[Snapshot, str]:
    """Give everything a new name and every table a new order; references follow."""
    chance = random.Random(7)
    old = original.proposal
    tables: dict[str, dict[str, Any]] = {
        "zone": dict(old.zones),
        "mode": dict(old.modes),
        "subsystem": dict(old.subsystems),
        "load": dict(old.loads),
        "part": dict(original.parts),
        "zmodule": dict(old.variants[variant_id].modules),
    }
    names = {
        kind: {key: f"{kind[0]}{number:04d}x" for number, key in enumerate(chance.sample(list(table), len(table)))}
        for kind, table in tables.items()
    }

    def shuffled(table: dict[str, Any], kind: str, change: Callable[[Any], Any]) -> dict[str, Any]:
        keys = chance.sample(list(table), len(table))
        return {names[kind][key]: change(table[key]) for key in keys}

    def by(table: dict[str, Any], kind: str) -> dict[str, Any]:
        return {names[kind][key]: value for key, value in table.items()}

    def module(one: Module) -> Any:  # noqa: ANN401 - a changed record
        refs = {ref: f"D{number:03d}" for number, ref in enumerate(chance.sample(list(one.devices), len(one.devices)))}
        devices[id(one)] = refs
        placed = {
            refs[ref]: _with(
                device,
                part=names["part"][device.part],
                commanded_by=refs.get(device.commanded_by, ""),
                counted_in_load=names["load"].get(device.counted_in_load, ""),
            )
            for ref, device in one.devices.items()
        }
        return _with(
            one,
            zone=names["zone"][one.zone],
            rails={name: _with(rail, source=refs[rail.source]) for name, rail in one.rails.items()},
            devices=placed,
            items=by(one.items, "part"),
        )

    devices: dict[int, dict[str, str]] = {}
    variant = old.variants[variant_id]
    modules = shuffled(variant.modules, "zmodule", module)

    def address(text: str) -> str:
        found = parse_address(text)
        new = names["zmodule"][found.module]
        if not found.device:
            return new
        ref = devices[id(variant.modules[found.module])][found.device]
        return f"{new}.{ref}.{found.channel}" if found.channel else f"{new}.{ref}"

    def placement(one: Placement) -> Any:  # noqa: ANN401 - a changed record
        return _with(one, on=tuple(map(address, one.on)), stage=tuple(map(address, one.stage)))

    proposal = _with(
        old,
        vehicle=_with(
            old.vehicle,
            battery_zone=names["zone"][old.vehicle.battery_zone],
            gateway_zone=names["zone"][old.vehicle.gateway_zone],
            parked_mode=names["mode"][old.vehicle.parked_mode],
        ),
        zones=shuffled(old.zones, "zone", lambda zone: _with(zone, distance_m=by(zone.distance_m, "zone"))),
        modes=shuffled(old.modes, "mode", lambda mode: mode),
        subsystems=shuffled(old.subsystems, "subsystem", lambda subsystem: subsystem),
        loads=shuffled(
            old.loads,
            "load",
            lambda load: _with(
                load,
                zone=names["zone"][load.zone],
                subsystem=names["subsystem"][load.subsystem],
                time_share_ratio=by(load.time_share_ratio, "mode"),
                pwm_duty_ratio=by(load.pwm_duty_ratio, "mode"),
                pulse_rate_hz=by(load.pulse_rate_hz, "mode"),
            ),
        ),
        pairs={},
        variants={"other": Variant(modules=modules, placements=shuffled(variant.placements, "load", placement))},
    )
    return Snapshot(proposal=proposal, parts=shuffled(original.parts, "part", lambda part: part)), "other"


def _with(record: Any, **changes: object) -> Any:  # noqa: ANN401 - any record
    return msgspec.structs.replace(record, **changes)


def _setting_paths(record: Base, path: tuple[str, ...] = ()) -> Iterator[tuple[str, ...]]:
    for info in field_table(type(record)):
        value = getattr(record, info.name)
        if isinstance(value, Base) and not isinstance(value, Money):
            yield from _setting_paths(value, (*path, info.name))
        elif isinstance(value, dict):
            for key, inner in value.items():
                yield from _setting_paths(inner, (*path, info.name, key))
        else:
            yield (*path, info.name)


def _at(record: Any, path: tuple[str, ...]) -> Any:  # noqa: ANN401 - any record
    for name in path:
        record = record[name] if isinstance(record, dict) else getattr(record, name)
    return record


def _set(record: Any, path: tuple[str, ...], value: object) -> Any:  # noqa: ANN401 - any record
    head, *rest = path
    inner = record[head] if isinstance(record, dict) else getattr(record, head)
    changed = _set(inner, tuple(rest), value) if rest else value
    return {**record, head: changed} if isinstance(record, dict) else _with(record, **{head: changed})


def _other_value(value: object, name: str) -> object:
    """A lawful value that differs from the given one."""
    if isinstance(value, bool):
        return not value
    if isinstance(value, int):
        return value + 1
    if isinstance(value, float):
        return value * 0.9 if value else 0.1
    if isinstance(value, Money):
        return Money(amount=value.amount + Decimal(1000), currency=value.currency)
    if isinstance(value, tuple):
        return value[1:]
    if name == "conductor":
        return "class 2" if value != "class 2" else "class 5"
    if name == "function":
        return "pwm" if value != "pwm" else "gpio"
    if value is None:
        return None
    raise TypeError(name)


SETTING_GROUPS = ("rates", "counting", "wires", "heat", "standby", "electronics", *sorted(DRIVE_HABITS))
LARGE_GROUPS = {"rates", "counting", "standby", "SPI", "SENT"}
"""Groups of so many settings, or of so large a vehicle, that the quick tier has no time for them."""


@pytest.mark.slow
@pytest.mark.parametrize(
    "group", [pytest.param(own, marks=pytest.mark.slow) if own in LARGE_GROUPS else own for own in SETTING_GROUPS]
)
def test_every_setting_moves_a_figure(group: str) -> None:
    """Whatever stands in the settings of a sample that uses it, another value gives another rollup or review."""
    vehicle = {"SPI": "sweeper", "electronics": "van"}.get(group, "bench")
    sample = snapshot(vehicle)
    settings = sample.proposal.settings
    paths = [path for path in _setting_paths(settings) if group in path[:2] and _is_said(settings, path)]
    assert paths
    before = _results(vehicle, sample)
    idle = []
    for path in paths:
        changed: Settings = _set(settings, path, _other_value(_at(settings, path), path[-1]))
        proposal = _with(sample.proposal, settings=changed)
        if _results(vehicle, Snapshot(proposal=proposal, parts=sample.parts)) == before:
            idle.append(".".join(path))
    assert sorted(set(idle) - set(HIDDEN)) == []


HIDDEN = {
    "drives.SPI.on_serial_bus": "every controller that a serial load reaches has other serial parts on its bus already",
    "drives.GDF.ways": "the one such load takes power contacts instead of ways",
}
"""Settings that move nothing in these samples because something stronger decides.

The bench uses every drive code; its one sensor on a serial bus lies in its module, the sweeper has one outside.
"""


def _results(vehicle: str, sample: Snapshot) -> list[tuple[object, object]]:
    """Rollup and review of every variant of a vehicle."""
    found: list[tuple[object, object]] = []
    for name, variant in VARIANTS:
        if name == vehicle:
            computed = rollup(sample, variant)
            found.append((computed.result, review(sample, variant, computed.result, computed.serving)))
    return found


def _is_said(settings: Settings, path: tuple[str, ...]) -> bool:
    """A habit of a drive code stands in the file where it is not what a drive code has by itself."""
    return path[0] != "drives" or _at(settings, path) != getattr(DriveHabit(), path[-1])


@cache
def _explained(vehicle: str, variant: str) -> Figures:
    return all_figures(rollup(tagged_snapshot(snapshot(vehicle)), variant, calc=Recorder()).result)


def _all_steps(vehicle: str, variant: str) -> list[Step]:
    return all_steps(_explained(vehicle, variant))


@pytest.mark.parametrize(("vehicle", "variant"), VARIANTS)
def test_explaining_changes_no_figure(vehicle: str, variant: str) -> None:
    """The recorder gives every figure the same value as the plain gate."""
    assert _explained(vehicle, variant) == all_figures(result(vehicle, variant))


@pytest.mark.parametrize(("vehicle", "variant"), VARIANTS)
def test_no_figure_has_an_input_without_origin(vehicle: str, variant: str) -> None:
    """Each number in each figure comes from a field, a reason, or another step."""
    untraced, bare = without_origin(_explained(vehicle, variant))
    assert (untraced, bare) == (set(), [])


@pytest.mark.parametrize(("vehicle", "variant"), VARIANTS)
def test_printed_formulas_give_the_printed_values(vehicle: str, variant: str) -> None:
    """Evaluated from its printed inputs, each printed formula gives the printed value."""
    wrong, checked = wrong_steps(_explained(vehicle, variant))
    assert wrong == []
    assert checked > 1000
