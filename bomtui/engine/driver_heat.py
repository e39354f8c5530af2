"""Heat that load currents make in the drivers of a module, as columns over all of them."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from bomtui.engine.calc import Gate
from bomtui.engine.heat import (
    balance,
    conduction_w,
    hot_power_w,
    inductive_switching_w,
    junction_degc,
    loop_gain_ratio,
    resistance_slope_per_k,
    resistive_switching_w,
)
from bomtui.engine.serving import Served
from bomtui.model.base import Base
from bomtui.model.bound import Range, Value
from bomtui.model.load import Load
from bomtui.model.part import DRIVER_KINDS, Part
from bomtui.model.settings import Settings
from bomtui.model.variant import Module

BRIDGE_KINDS = frozenset(("half_bridge", "full_bridge"))
INDUCTIVE_KINDS = frozenset(("motor", "fan", "stepper", "solenoid", "prop_valve", "injector", "coil", "relay", "horn"))
"""Load kinds whose current goes on while the switch opens."""
COIL_KINDS = frozenset(("solenoid", "prop_valve", "injector", "coil", "relay", "horn"))
"""Of these, the ones that bring no freewheel path of their own, as motors under PWM are taken to do."""


class DeviceHeat(Base, frozen=True, kw_only=False):
    """Heat [W] and junction [degC] of a device in one mode; `runaway` where there is no balance."""

    power_w: Value
    junction_degc: Value
    runaway: bool = False


class Carried(Base, frozen=True, kw_only=False):
    """A load as one driver carries it.

    Attributes:
        row: Row of the load in the module's columns.
        load_id: Its id.
        load: The load.
        paths: Channels or bridge paths of the device that carry its current at one time; half a path where the other
            half
            lies in another device.
        parallel: Equal shares into which its current is split.
    """

    row: int
    load_id: str
    load: Load
    paths: float
    parallel: float


@dataclass(frozen=True, slots=True)
class DriverColumns:
    """Drivers of one module that carry load currents, and these loads as columns, device after device.

    Attributes:
        refs: References of the devices.
        parts: Their parts.
        ends: For each device, the row behind its last load.
        carried: The loads.
        keys: Their ids.
        rows: Their rows in the module's columns.
        paths: Paths per load.
        parallel: Shares per load.
        typ_ohm: On-resistance per load, typical.
        max_ohm: On-resistance per load, largest.
        pulsed: Rows of the loads that have a PWM duty, with the number of their device.
        theta: Junction to air per device.
        slope: Rise of the on-resistance per device.
    """

    refs: list[str]
    parts: list[Part]
    ends: list[int]
    carried: list[Carried]
    keys: list[str]
    rows: list[int]
    paths: list[Value]
    parallel: list[Value]
    typ_ohm: list[Value]
    max_ohm: list[Value]
    pulsed: list[tuple[int, int]]
    theta: list[Value]
    slope: list[Value]


@dataclass(frozen=True, slots=True)
class Switched:
    """Loads that one switching law holds for, in one mode, as columns.

    Attributes:
        law: The law; None where the heat is not known.
        keys: Ids of the loads.
        rows: Their rows in the columns of the drivers.
        numbers: Number of the device of each.
        paths: Paths per load.
        parallel: Shares per load.
        frequency_hz: PWM frequency per load.
        time_share_ratio: Share of the mode's time per load.
    """

    law: Callable[..., float] | None
    keys: list[str]
    rows: list[int]
    numbers: list[int]
    paths: list[Value]
    parallel: list[Value]
    frequency_hz: list[Value]
    time_share_ratio: list[Value]


@dataclass(frozen=True, slots=True)
class HeatMode:
    """What the drivers' loads do in one mode, the same in both corners.

    Attributes:
        mean_ratio: Share of the mode by which the square of the current counts, per load.
        switched: Loads under PWM, by law.
    """

    mean_ratio: list[Value]
    switched: list[Switched]


@dataclass(frozen=True, slots=True)
class HeatCorner:
    """Values that one walk over the drivers takes.

    Attributes:
        currents: On-current per row of the module's loads.
        supply_v: Battery voltage for switching loss.
        worst: Take the largest on-resistance and edges.
    """

    currents: Sequence[Value]
    supply_v: Value
    worst: bool


def driver_columns(
    calc: Gate,
    served: Sequence[Served],
    row_of: Mapping[str, int],
    loads: Mapping[str, Load],
    joined: Mapping[str, str | None],
    module: Module,
    parts: Mapping[str, Part],
    settings: Settings,
) -> DriverColumns:
    """Gather the loads of a module by the drivers that carry their current.

    Channels in parallel share the current equally. A bridge load's path is split over the half bridges that make it, so
    that two single half bridges of a pair carry half a path each; of several switches for one load (two-speed motors)
    only as many conduct at one time as its drive code says, and each must stand the full current. Where FETs of a stage
    carry the current, the driver does not.
    """
    by_device: dict[str, list[Carried]] = {}
    for own in served:
        if own.stage:
            continue
        for ref, carried in _carried(row_of[own.load_id], own, loads, joined[own.load_id], module, parts, settings):
            by_device.setdefault(ref, []).append(carried)
    refs = list(by_device)
    chosen = [parts[module.devices[ref].part] for ref in refs]
    flat = [carried for ref in refs for carried in by_device[ref]]
    ends: list[int] = []
    for ref in refs:
        ends.append((ends[-1] if ends else 0) + len(by_device[ref]))
    per_load = [
        (part, number) for number, (ref, part) in enumerate(zip(refs, chosen, strict=True)) for _ in by_device[ref]
    ]
    return DriverColumns(
        refs=refs,
        parts=chosen,
        ends=ends,
        carried=flat,
        keys=[carried.load_id for carried in flat],
        rows=[carried.row for carried in flat],
        paths=[calc.given(carried.paths, "paths that conduct") for carried in flat],
        parallel=[calc.given(carried.parallel, "channels in parallel") for carried in flat],
        typ_ohm=[part.rds_on_ohm.middle for part, _ in per_load],
        max_ohm=[part.rds_on_ohm.upper for part, _ in per_load],
        pulsed=[(row, per_load[row][1]) for row, carried in enumerate(flat) if carried.load.pwm_duty_ratio],
        theta=[part.theta_ja_k_per_w for part in chosen],
        slope=calc.each(resistance_slope_per_k, refs, hot_ratio=[part.hot_rds_on_ratio for part in chosen]),
    )


def heat_mode(columns: DriverColumns, mode: str, ratios: Sequence[Value]) -> HeatMode:
    """Gather what the loads of the drivers do in one mode.

    Args:
        columns: Drivers and their loads.
        mode: Id of the mode.
        ratios: Share of the mode by which the square of the current counts, per row of the module's loads.
    """
    rows_of: dict[Callable[..., float] | None, list[tuple[int, int]]] = {}
    for row, number in columns.pulsed:
        load = columns.carried[row].load
        if _is_switched(load, mode):
            rows_of.setdefault(_law(load, columns.parts[number]), []).append((row, number))
    return HeatMode([ratios[row] for row in columns.rows], [_switched(columns, mode, *own) for own in rows_of.items()])


def _switched(
    columns: DriverColumns, mode: str, law: Callable[..., float] | None, rows: Sequence[tuple[int, int]]
) -> Switched:
    loads = [columns.carried[row].load for row, _ in rows]
    return Switched(
        law=law,
        keys=[columns.keys[row] for row, _ in rows],
        rows=[row for row, _ in rows],
        numbers=[number for _, number in rows],
        paths=[columns.paths[row] for row, _ in rows],
        parallel=[columns.parallel[row] for row, _ in rows],
        frequency_hz=[load.pwm_frequency_hz for load in loads],
        time_share_ratio=[load.time_share_ratio.get(mode) for load in loads],
    )


def driver_heat(
    calc: Gate, columns: DriverColumns, mode: HeatMode, corner: HeatCorner, air_degc: Value
) -> dict[str, DeviceHeat]:
    """Return the mean heat that load currents make in each driver of a module in one mode.

    Args:
        calc: Gate.
        columns: Drivers and their loads.
        mode: What the loads do in the mode.
        corner: The corner.
        air_degc: Air at the boards [degC].
    """
    # What is off in a mode heats nothing, whatever its current.
    off = calc.given(0.0, "off in this mode")
    currents = [
        off if ratio == 0 else corner.currents[row] for row, ratio in zip(columns.rows, mode.mean_ratio, strict=True)
    ]
    cold = calc.each(
        conduction_w,
        columns.keys,
        current_a=currents,
        rds_on_ohm=columns.max_ohm if corner.worst else columns.typ_ohm,
        paths=columns.paths,
        parallel=columns.parallel,
        mean_ratio=mode.mean_ratio,
    )
    starts = [0, *columns.ends]
    cold_w = [
        calc.total(columns.keys[start:end], cold[start:end]) for start, end in zip(starts, columns.ends, strict=False)
    ]
    return _balanced(calc, columns, cold_w, _switching_per_device(calc, columns, mode, currents, corner), air_degc)


def _balanced(
    calc: Gate, columns: DriverColumns, cold_w: list[Value], constant_w: list[Value], air_degc: Value
) -> dict[str, DeviceHeat]:
    theta, slope, refs = columns.theta, columns.slope, columns.refs
    gains = calc.each(loop_gain_ratio, refs, theta_k_per_w=theta, cold_conduction_w=cold_w, slope_per_k=slope)
    if any(gain is None or isinstance(gain, Range) or gain >= 1 for gain in gains):
        # Something is unknown or runs away: each device is looked at by itself.
        return {
            ref: DeviceHeat(*balance(calc, air_degc, theta[number], constant_w[number], cold_w[number], slope[number]))
            for number, ref in enumerate(refs)
        }
    junctions = calc.each(
        junction_degc,
        refs,
        air_degc=air_degc,
        theta_k_per_w=theta,
        constant_w=constant_w,
        cold_conduction_w=cold_w,
        slope_per_k=slope,
    )
    powers = calc.each(
        hot_power_w,
        refs,
        constant_w=constant_w,
        cold_conduction_w=cold_w,
        slope_per_k=slope,
        junction_degc=junctions,
    )
    return {ref: DeviceHeat(power, junction) for ref, power, junction in zip(refs, powers, junctions, strict=True)}


def _switching_per_device(
    calc: Gate, columns: DriverColumns, mode: HeatMode, currents: Sequence[Value], corner: HeatCorner
) -> list[Value]:
    nothing = calc.given(0.0, "no load of this device is under PWM here: no switching loss")
    losses: list[Value] = [nothing] * len(columns.refs)
    terms: dict[int, list[tuple[str, Value]]] = {}
    for own in mode.switched:
        for number, key, loss in zip(
            own.numbers, own.keys, _switching(calc, own, columns.parts, currents, corner), strict=True
        ):
            terms.setdefault(number, []).append((f"{key} switching", loss))
    for number, pairs in terms.items():
        losses[number] = calc.total([key for key, _ in pairs], [loss for _, loss in pairs])
    return losses


def _is_switched(load: Load, mode: str) -> bool:
    duty = load.pwm_duty_ratio.get(mode)
    share = load.time_share_ratio.get(mode)
    return duty is not None and duty < 1 and (share is None or share > 0)


def _law(load: Load, part: Part) -> Callable[..., float] | None:
    """Return the switching law of a load on a driver; None where the heat is not known.

    Without a freewheel path the energy of a coil goes into the clamp at every cycle: heat of its own, not known here.
    """
    if load.kind in COIL_KINDS and part.freewheel is not True:
        return None
    return inductive_switching_w if load.kind in INDUCTIVE_KINDS else resistive_switching_w


def _switching(
    calc: Gate, own: Switched, parts: Sequence[Part], currents: Sequence[Value], corner: HeatCorner
) -> list[Value]:
    if own.law is None:
        return [None] * len(own.keys)
    rises = [parts[number].rise_time_s for number in own.numbers]
    falls = [parts[number].fall_time_s for number in own.numbers]
    return calc.each(
        own.law,
        own.keys,
        supply_v=corner.supply_v,
        current_a=[currents[row] for row in own.rows],
        paths=own.paths,
        parallel=own.parallel,
        rise_time_s=[rise.upper if corner.worst else rise.middle for rise in rises],
        fall_time_s=[fall.upper if corner.worst else fall.middle for fall in falls],
        frequency_hz=own.frequency_hz,
        time_share_ratio=own.time_share_ratio,
    )


def _carried(
    row: int,
    own: Served,
    loads: Mapping[str, Load],
    joined: str | None,
    module: Module,
    parts: Mapping[str, Part],
    settings: Settings,
) -> list[tuple[str, Carried]]:
    load = loads[own.load_id]
    counts: dict[str, int] = {}
    for address in own.channels:
        counts[address.device] = counts.get(address.device, 0) + 1
    found = []
    for ref, count in counts.items():
        device = module.devices.get(ref)
        part = None if device is None else parts.get(device.part)
        if part is None or part.kind not in DRIVER_KINDS:
            continue
        habit = settings.habit(load.drive)
        total = len(own.channels)
        if joined == "parallel" and habit.channels:
            alike = total / habit.channels
            share = (habit.conducting_paths * alike * count / total, alike)
        elif part.kind in BRIDGE_KINDS:
            share = (habit.conducting_paths * count / total, 1.0)
        else:
            share = (float(habit.conducting_paths), 1.0)
        found.append((ref, Carried(row, own.load_id, load, *share)))
    return found
