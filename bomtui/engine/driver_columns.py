"""The drivers of a module that carry load currents, and these loads, as columns over all of them."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from bomtui.engine.calc import Gate
from bomtui.engine.clamp import clamp_heat_w, is_coil
from bomtui.engine.converting import CONVERTING_KINDS, has_on_resistance
from bomtui.engine.heat import (
    inductive_switching_w,
    path_resistance_ohm,
    resistance_slope_per_k,
    resistive_switching_w,
)
from bomtui.engine.inductive import INDUCTIVE_KINDS
from bomtui.engine.serving import Served
from bomtui.model.bound import Value
from bomtui.model.load import Load
from bomtui.model.part import DRIVER_KINDS, Part
from bomtui.model.settings import DriveHabit, Settings
from bomtui.model.variant import Module

BRIDGE_KINDS = frozenset(("half_bridge", "full_bridge"))


Edges = tuple[list[Value], list[Value]]
Law = Callable[..., float] | None
"""A formula of switching loss; None where the heat is not known."""


@dataclass(frozen=True, slots=True)
class DriverColumns:
    """Drivers of one module that carry load currents, and these loads as columns, device after device.

    Attributes:
        refs: References of the devices.
        parts: Their parts.
        ends: For each device, the row behind its last load.
        loads: The loads.
        keys: Their ids.
        rows: Their rows in the module's columns.
        paths: Channels or bridge paths of the device that carry the current of each load at one time; half a path
            where the other half lies in another device.
        parallel: Equal shares into which its current is split.
        typ_ohm: Resistance by which each load heats its device, typical.
        max_ohm: The same, largest.
        pulsed: Rows of the loads that have a PWM duty on a switch, with the number of their device and their
            switching law.
        converting: Rows of the loads whose driver has no on-resistance, with the number of their device.
        programme_ratio: Mean of speech and music over the largest power of an amplifier.
        test_voltage_v: Voltage at which the load list gives currents.
        theta: Junction to air per device.
        slope: Rise of the on-resistance per device; 0 where it has none.
        typ_edges_s: Switch-on and switch-off edge per device, typical.
        max_edges_s: The same, longest.
    """

    refs: list[str]
    parts: list[Part]
    ends: list[int]
    loads: list[Load]
    keys: list[str]
    rows: list[int]
    paths: list[Value]
    parallel: list[Value]
    typ_ohm: list[Value]
    max_ohm: list[Value]
    pulsed: list[tuple[int, int, Law]]
    converting: list[tuple[int, int]]
    programme_ratio: float
    test_voltage_v: float | None
    theta: list[Value]
    slope: list[Value]
    typ_edges_s: Edges
    max_edges_s: Edges


@dataclass(frozen=True, slots=True)
class Switched:
    """Loads that one switching law holds for, in one mode, as columns.

    Attributes:
        law: The law.
        keys: Ids of the loads.
        places: Their places among all loads under PWM.
        rows: Their rows in the columns of the drivers.
        numbers: Number of the device of each.
        paths: Paths per load.
        parallel: Shares per load.
        frequency_hz: PWM frequency per load.
        duty_ratio: PWM duty per load.
        time_share_ratio: Share of the mode's time per load.
    """

    law: Law
    keys: list[str]
    places: list[int]
    rows: list[int]
    numbers: list[int]
    paths: list[Value]
    parallel: list[Value]
    frequency_hz: list[Value]
    duty_ratio: list[Value]
    time_share_ratio: list[Value]


@dataclass(frozen=True, slots=True)
class HeatMode:
    """What the drivers' loads do in one mode, the same in both corners.

    Attributes:
        mean_ratio: Share of the mode by which the square of the current counts, per load.
        converting_ratio: Share of the mode by which the current itself counts, per load whose driver has no
            on-resistance.
        off: Rows of the loads that are off.
        switched: Loads under PWM, by law.
        switched_keys: Names of their losses, device after device.
        switched_refs: Numbers of the devices that have any.
        switched_ends: For each of these, the place behind its last load under PWM.
    """

    mean_ratio: list[Value]
    converting_ratio: list[Value]
    off: list[int]
    switched: list[Switched]
    switched_keys: list[str]
    switched_refs: list[int]
    switched_ends: list[int]


def driver_columns(
    calc: Gate,
    served: Sequence[Served],
    row_of: Mapping[str, int],
    loads: Mapping[str, Load],
    module: Module,
    parts: Mapping[str, Part],
    settings: Settings,
    test_voltage_v: float | None,
) -> DriverColumns:
    """Gather the loads of a module by the drivers that carry their current.

    Channels in parallel share the current equally. A bridge load's path is split over the half bridges that make it, so
    that two single half bridges of a pair carry half a path each; of several switches for one load (two-speed motors)
    only as many conduct at one time as its drive code says, and each must stand the full current. Where FETs of a stage
    carry the current, the driver does not.
    """
    drivers = {
        ref: part
        for ref, device in module.devices.items()
        if (part := parts.get(device.part)) is not None and part.kind in DRIVER_KINDS
    }
    by_device: dict[str, list[tuple[int, str, Load, float, float]]] = {}
    # Most loads of a module are alike in how their drivers carry them.
    known: dict[tuple[object, ...], tuple[float, float]] = {}
    for own in served:
        if own.stage:
            continue
        load_id = own.load_id
        load, row = loads[load_id], row_of[load_id]
        for ref, count in own.devices:
            part = drivers.get(ref)
            if part is None:
                continue
            alike = (part.kind, load.drive, own.joined, count, len(own.channels))
            share = known.get(alike)
            if share is None:
                share = known[alike] = _share(
                    part.kind, settings.habit(load.drive), own.joined, count, len(own.channels)
                )
            by_device.setdefault(ref, []).append((row, load_id, load, *share))
    refs = list(by_device)
    chosen = [drivers[ref] for ref in refs]
    carried = [own for ref in refs for own in by_device[ref]]
    ends: list[int] = []
    for ref in refs:
        ends.append((ends[-1] if ends else 0) + len(by_device[ref]))
    numbers = [number for number, ref in enumerate(refs) for _ in by_device[ref]]
    rows = [row for row, _, _, _, _ in carried]
    keys = [load_id for _, load_id, _, _, _ in carried]
    placed = [load for _, _, load, _, _ in carried]
    paths = _given(calc, [conducting for _, _, _, conducting, _ in carried], "paths that conduct")
    parallel = _given(calc, [alike for _, _, _, _, alike in carried], "channels in parallel")

    resistive = [has_on_resistance(part) for part in chosen]

    def ohms(per_part: list[Value]) -> list[Value]:
        per_load = [per_part[number] for number in numbers]
        return calc.each(path_resistance_ohm, keys, rds_on_ohm=per_load, paths=paths, parallel=parallel)

    return DriverColumns(
        refs=refs,
        parts=chosen,
        ends=ends,
        loads=placed,
        keys=keys,
        rows=rows,
        paths=paths,
        parallel=parallel,
        typ_ohm=ohms([part.rds_on_ohm.middle for part in chosen]),
        max_ohm=ohms([part.rds_on_ohm.upper for part in chosen]),
        pulsed=[
            (row, numbers[row], _law(load, chosen[numbers[row]]))
            for row, load in enumerate(placed)
            if load.pwm_duty_ratio and chosen[numbers[row]].kind not in CONVERTING_KINDS
        ],
        converting=[(row, number) for row, number in enumerate(numbers) if not resistive[number]],
        programme_ratio=settings.limits.programme_ratio,
        test_voltage_v=test_voltage_v,
        theta=[part.theta_ja_k_per_w for part in chosen],
        slope=_slopes(calc, refs, chosen, resistive),
        typ_edges_s=([part.rise_time_s.middle for part in chosen], [part.fall_time_s.middle for part in chosen]),
        max_edges_s=([part.rise_time_s.upper for part in chosen], [part.fall_time_s.upper for part in chosen]),
    )


def _slopes(calc: Gate, refs: list[str], parts: list[Part], resistive: list[bool]) -> list[Value]:
    slopes = calc.each(resistance_slope_per_k, refs, hot_ratio=[part.hot_rds_on_ratio for part in parts])
    if all(resistive):
        return slopes
    none = calc.given(0.0, "no heat of it follows its on-resistance")
    return [slope if has else none for slope, has in zip(slopes, resistive, strict=True)]


def _given(calc: Gate, counts: list[float], reason: str) -> list[Value]:
    given = {count: calc.given(count, reason) for count in set(counts)}
    return [given[count] for count in counts]


def heat_mode(columns: DriverColumns, mode: str, ratios: Sequence[Value], means: Sequence[Value]) -> HeatMode:
    """Gather what the loads of the drivers do in one mode.

    Args:
        columns: Drivers and their loads.
        mode: Id of the mode.
        ratios: Share of the mode by which the square of the current counts, per row of the module's loads.
        means: Share of the mode by which the current itself counts, likewise.
    """
    under_pwm = [own for own in columns.pulsed if _is_switched(columns.loads[own[0]], mode)]
    places_of: dict[Law, list[int]] = {}
    end_of: dict[int, int] = {}
    for place, (_, number, law) in enumerate(under_pwm):
        places_of.setdefault(law, []).append(place)
        end_of[number] = place + 1
    mean_ratio = list(map(ratios.__getitem__, columns.rows))
    return HeatMode(
        mean_ratio=mean_ratio,
        converting_ratio=[means[columns.rows[row]] for row, _ in columns.converting],
        off=[row for row, ratio in enumerate(mean_ratio) if ratio == 0],
        switched=[_switched(columns, mode, law, under_pwm, places) for law, places in places_of.items()],
        switched_keys=[f"{columns.keys[row]} switching" for row, _, _ in under_pwm],
        switched_refs=list(end_of),
        switched_ends=list(end_of.values()),
    )


def _switched(
    columns: DriverColumns, mode: str, law: Law, under_pwm: Sequence[tuple[int, int, Law]], places: list[int]
) -> Switched:
    rows = [under_pwm[place][0] for place in places]
    loads = [columns.loads[row] for row in rows]
    return Switched(
        law=law,
        keys=[columns.keys[row] for row in rows],
        places=places,
        rows=rows,
        numbers=[under_pwm[place][1] for place in places],
        paths=[columns.paths[row] for row in rows],
        parallel=[columns.parallel[row] for row in rows],
        frequency_hz=[load.pwm_frequency_hz for load in loads],
        duty_ratio=[load.pwm_duty_ratio.get(mode) for load in loads],
        time_share_ratio=[load.time_share_ratio.get(mode) for load in loads],
    )


def _is_switched(load: Load, mode: str) -> bool:
    duty = load.pwm_duty_ratio.get(mode)
    share = load.time_share_ratio.get(mode)
    return duty is not None and duty < 1 and (share is None or share > 0)


def _law(load: Load, part: Part) -> Law:
    """Return the switching law of a load on a driver; `clamp_heat_w` where a coil goes into the clamp at every cycle.

    None where nothing says whether the driver has a freewheel path.
    """
    if is_coil(load) and not load.freewheel and part.freewheel is not True:
        return None if part.freewheel is None else clamp_heat_w
    return inductive_switching_w if load.kind in INDUCTIVE_KINDS else resistive_switching_w


def _share(kind: str, habit: DriveHabit, joined: str | None, count: int, total: int) -> tuple[float, float]:
    """Return the paths of a device that conduct for a load, and the shares into which the current of each is split.

    Args:
        kind: Kind of the device's part.
        habit: What the load's drive code takes.
        joined: How its channels are joined.
        count: Its channels on this device.
        total: Its channels on all devices.
    """
    if joined == "parallel" and habit.channels:
        alike = total / habit.channels
        return habit.conducting_paths * alike * count / total, alike
    if kind in BRIDGE_KINDS:
        return habit.conducting_paths * count / total, 1.0
    return float(habit.conducting_paths), 1.0
