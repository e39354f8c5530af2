"""Heat that load currents make in the drivers of a module, as columns over all of them."""

from collections.abc import Sequence
from dataclasses import dataclass

from bomtui.engine.calc import Gate
from bomtui.engine.clamp import clamp_heat_w, cycled_heat_w
from bomtui.engine.converting import converting_w
from bomtui.engine.driver_columns import DriverColumns, Edges, HeatMode, Switched
from bomtui.engine.heat import balance, conduction_w, hot_power_w, junction_degc, loop_gain_ratio
from bomtui.engine.on_losses import mean_loss_w
from bomtui.model.bound import Value

Heat = tuple[Value, Value, bool]
"""Heat [W] and junction [degC] of a device in one mode and corner, and whether there is no balance of the two."""


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


def driver_heat(calc: Gate, columns: DriverColumns, mode: HeatMode, corner: HeatCorner, air_degc: Value) -> list[Heat]:
    """Return the mean heat that load currents make in each driver of a module in one mode, in the order of `columns`.

    Args:
        calc: Gate.
        columns: Drivers and their loads.
        mode: What the loads do in the mode.
        corner: The corner.
        air_degc: Air at the boards [degC].
    """
    cold_w, constant_w = driver_losses(calc, columns, mode, corner)
    return _balanced(calc, columns, cold_w, constant_w, air_degc)


def driver_losses(
    calc: Gate, columns: DriverColumns, mode: HeatMode, corner: HeatCorner
) -> tuple[list[Value], list[Value]]:
    """Return mean losses per driver [W]: conduction as if the chip were at 25 degC, and what the junction leaves alone.

    Args:
        calc: Gate.
        columns: Drivers and their loads.
        mode: What the loads do in the mode.
        corner: The corner.
    """
    currents = list(map(corner.currents.__getitem__, columns.rows))
    # What is off in a mode heats nothing, whatever its current.
    off = calc.given(0.0, "off in this mode")
    for row in mode.off:
        currents[row] = off
    cold = calc.each(
        conduction_w,
        columns.keys,
        current_a=currents,
        path_resistance_ohm=columns.max_ohm if corner.worst else columns.typ_ohm,
        mean_ratio=mode.mean_ratio,
    )
    constant = _switching_per_device(calc, columns, mode, currents, corner)
    if columns.converting:
        none = calc.given(0.0, "no heat of it follows its on-resistance")
        for row, _ in columns.converting:
            cold[row] = none
        constant = _with_converting(calc, columns, mode, currents, corner, constant)
    return calc.totals_by(columns.keys, cold, columns.ends), constant


def _with_converting(
    calc: Gate,
    columns: DriverColumns,
    mode: HeatMode,
    currents: Sequence[Value],
    corner: HeatCorner,
    switching: list[Value],
) -> list[Value]:
    """Add the losses of drivers without an on-resistance to what else of their heat does not depend on the junction."""
    keys: dict[int, list[str]] = {}
    terms: dict[int, list[Value]] = {}
    fully_on, off = calc.given(1.0, "while it is on"), calc.given(0.0, "off in this mode")
    for (row, number), ratio in zip(columns.converting, mode.converting_ratio, strict=True):
        while_on = converting_w(
            calc,
            columns.parts[number],
            columns.loads[row],
            supply_v=corner.supply_v,
            current_a=currents[row],
            duty_ratio=fully_on,
            programme_ratio=columns.programme_ratio,
            worst=corner.worst,
        )
        keys.setdefault(number, []).append(columns.keys[row])
        terms.setdefault(number, []).append(
            off if ratio == 0 else calc(mean_loss_w, power_w=while_on, mean_ratio=ratio)
        )
    constant = list(switching)
    for number, losses in terms.items():
        constant[number] = calc.total(("switching", *keys[number]), (switching[number], *losses))
    return constant


def _balanced(
    calc: Gate, columns: DriverColumns, cold_w: list[Value], constant_w: list[Value], air_degc: Value
) -> list[Heat]:
    theta, slope, refs = columns.theta, columns.slope, columns.refs
    gains = calc.each(loop_gain_ratio, refs, theta_k_per_w=theta, cold_conduction_w=cold_w, slope_per_k=slope)
    if not _all_in_balance(gains):
        return [
            balance(calc, air_degc, theta[number], constant_w[number], cold_w[number], slope[number])
            for number in range(len(refs))
        ]
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
    return [(power, junction, False) for power, junction in zip(powers, junctions, strict=True)]


def _all_in_balance(gains: list[Value]) -> bool:
    """Tell whether no device runs away; False where something is unknown, so that each is looked at by itself."""
    try:
        return max(gains, default=0.0) < 1  # type: ignore[type-var,operator]
    except TypeError:
        return False


def _switching_per_device(
    calc: Gate, columns: DriverColumns, mode: HeatMode, currents: Sequence[Value], corner: HeatCorner
) -> list[Value]:
    nothing = calc.given(0.0, "no load of this device is under PWM here: no switching loss")
    losses: list[Value] = [nothing] * len(columns.refs)
    terms: list[Value] = [None] * len(mode.switched_keys)
    edges = columns.max_edges_s if corner.worst else columns.typ_edges_s
    for own in mode.switched:
        for place, loss in zip(own.places, _switching(calc, columns, own, edges, currents, corner), strict=True):
            terms[place] = loss
    sums = calc.totals_by(mode.switched_keys, terms, mode.switched_ends)
    for number, loss in zip(mode.switched_refs, sums, strict=True):
        losses[number] = loss
    return losses


def _clamping(calc: Gate, columns: DriverColumns, own: Switched, corner: HeatCorner) -> list[Value]:
    """Return the mean heat of coils that go into the clamp of their driver at every cycle."""
    losses: list[Value] = []
    for row, number, duty, share in zip(own.rows, own.numbers, own.duty_ratio, own.time_share_ratio, strict=True):
        clamp = columns.parts[number].clamp_v
        heat = cycled_heat_w(
            calc,
            columns.loads[row],
            clamp.lower if corner.worst else clamp.middle,
            corner.supply_v,
            duty,
            columns.test_voltage_v,
        )
        losses.append(calc(mean_loss_w, power_w=heat, mean_ratio=share))
    return losses


def _switching(
    calc: Gate,
    columns: DriverColumns,
    own: Switched,
    edges_s: Edges,
    currents: Sequence[Value],
    corner: HeatCorner,
) -> list[Value]:
    if own.law is None:
        return [None] * len(own.keys)
    if own.law is clamp_heat_w:
        return _clamping(calc, columns, own, corner)
    rises, falls = edges_s
    return calc.each(
        own.law,
        own.keys,
        supply_v=corner.supply_v,
        current_a=[currents[row] for row in own.rows],
        paths=own.paths,
        parallel=own.parallel,
        rise_time_s=[rises[number] for number in own.numbers],
        fall_time_s=[falls[number] for number in own.numbers],
        frequency_hz=own.frequency_hz,
        time_share_ratio=own.time_share_ratio,
    )
