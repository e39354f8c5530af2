"""Heat of a driver while its loads are on, and the junction that follows: whether the chip survives, whatever the mean.

A load that is on for minutes heats its chip at its full current, however small its share of the mode. PWM counts, as it
is far faster than the chip warms up; a longest on-time, of the load or of the mode, counts by the square root of its
share of the thermal time.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from bomtui.engine.calc import Gate, formula
from bomtui.engine.clamp import cycled_heat_w, is_coil
from bomtui.engine.converting import CONVERTING_KINDS, converting_w, has_on_resistance
from bomtui.engine.driver_columns import DriverColumns
from bomtui.engine.heat import (
    balance,
    conduction_w,
    consumed_w,
    inductive_switching_w,
    loop_gain_ratio,
    resistive_switching_w,
)
from bomtui.engine.inductive import INDUCTIVE_KINDS
from bomtui.engine.lasting import lasting
from bomtui.engine.load_groups import Grouped, OnCurrents, largest_on
from bomtui.engine.mean_laws import law_of
from bomtui.engine.supply import SupplyTree
from bomtui.model.bound import Range, Value
from bomtui.model.limits import Limits
from bomtui.model.load import Load
from bomtui.model.part import Part


@formula(
    "(limit_degc - air_degc) / (constant_w + cold_conduction_w * (1 + slope_per_k * (limit_degc - 25)))",
    "K/W",
    "junction in balance at its limit, solved for theta (derivation)",
)
def needed_theta_k_per_w(
    limit_degc: float, air_degc: float, constant_w: float, cold_conduction_w: float, slope_per_k: float
) -> float:
    """Thermal resistance at which a chip of this heat would just reach a junction temperature.

    Args:
        limit_degc: Junction temperature that it may reach [degC].
        air_degc: Air at the board [degC].
        constant_w: Heat that does not depend on the junction [W].
        cold_conduction_w: Conduction loss at 25 degC [W].
        slope_per_k: Rise of the on-resistance per kelvin [1/K].

    Source: derivation from Tj = Ta + theta P(Tj).
    """
    return (limit_degc - air_degc) / (constant_w + cold_conduction_w * (1 + slope_per_k * (limit_degc - 25)))


@dataclass(frozen=True, slots=True)
class OnHeat:
    """Heat of one driver with its loads on, in one mode and corner.

    Attributes:
        mode: Id of the mode.
        power_w: Heat; None where it runs away, or where nothing is known of it.
        junction_degc: Junction temperature; None likewise.
        gain_ratio: Loop gain of heat and on-resistance; from 1 upwards it runs away.
        constant_w: Heat that does not depend on the junction.
        conduction_w: Conduction loss as if the chip were at 25 degC.
        slope_per_k: Rise of its on-resistance per kelvin.
        switching_w: Loss of switching: edges of PWM, and clamping without a freewheel path.
        runaway: Whether there is no balance of heat and temperature.
    """

    mode: str
    power_w: Value
    junction_degc: Value
    gain_ratio: Value
    constant_w: Value
    conduction_w: Value
    slope_per_k: Value
    switching_w: Value
    runaway: bool


@dataclass(frozen=True, slots=True)
class OnCorner:
    """One mode at one corner.

    Attributes:
        mode: Id of the mode.
        currents: Battery current of each load while it is on, by load.
        supply_v: Supply voltage at which it heats most.
        tree: Supply currents of the module.
        air_degc: Air at the boards.
        mode_time_s: How long the mode lasts at a stretch; None where it may last for ever.
        limits: For the thermal time and the mean of speech and music.
        test_voltage_v: Voltage at which the load list gives currents.
        worst: Take the largest on-resistance, the longest edges, the lowest clamp and efficiency.
    """

    mode: str
    currents: Mapping[str, Value]
    supply_v: Value
    tree: SupplyTree
    air_degc: Value
    mode_time_s: float | None
    limits: Limits
    test_voltage_v: float | None
    worst: bool


def on_heat(calc: Gate, columns: DriverColumns, corner: OnCorner) -> dict[str, OnHeat]:
    """Return the heat of each driver of a module with all its loads on that may be on in the mode.

    Of loads that are never on together the largest loss counts, of each kind of loss by itself: an upper bound.

    Args:
        calc: Gate.
        columns: Drivers of the module and their loads.
        corner: Mode and corner.
    """
    found: dict[str, OnHeat] = {}
    start = 0
    for number, (ref, end) in enumerate(zip(columns.refs, columns.ends, strict=True)):
        found[ref] = _device(calc, columns, number, range(start, end), corner)
        start = end
    return found


def _device(calc: Gate, columns: DriverColumns, number: int, rows: range, corner: OnCorner) -> OnHeat:
    part, ref = columns.parts[number], columns.refs[number]
    terms = [
        _Term(calc, columns, row, part, corner)
        for row in rows
        if columns.loads[row].time_share_ratio.get(corner.mode) != 0
    ]
    conduction = _together(calc, terms, [term.conduction_w() for term in terms])
    switching = _together(calc, terms, [term.switching_w() for term in terms])
    converting = _together(calc, terms, [term.converting_w() for term in terms])
    own = own_w(calc, ref, part, corner.tree)
    constant = calc.total(("switching", "converting", "own supply"), (switching, converting, own))
    theta, slope = columns.theta[number], columns.slope[number]
    if not terms or not has_on_resistance(part):
        slope = calc.given(0.0, "no heat of it follows its on-resistance")
    power, junction, runaway = balance(calc, corner.air_degc, theta, constant, conduction, slope)
    gain = calc(loop_gain_ratio, theta_k_per_w=theta, cold_conduction_w=conduction, slope_per_k=slope)
    return OnHeat(corner.mode, power, junction, gain, constant, conduction, slope, switching, runaway)


class _Term:
    """What one load makes of heat in one driver."""

    def __init__(self, calc: Gate, columns: DriverColumns, row: int, part: Part, corner: OnCorner) -> None:
        self.calc = calc
        self.columns = columns
        self.row = row
        self.load_id = columns.keys[row]
        self.load: Load = columns.loads[row]
        self.part = part
        self.corner = corner
        self.current_a = corner.currents[self.load_id]
        self.nothing: Value = calc.given(0.0, "no such loss here")

    @property
    def duty_ratio(self) -> Value:
        """Duty of the load; anything up to fully on where it has one in other modes only."""
        if not self.load.pwm_duty_ratio:
            whole: Value = self.calc.given(1.0, "no PWM duty given: fully on")
            return whole
        duty = self.load.pwm_duty_ratio.get(self.corner.mode)
        if duty is None:
            return Range(0.0, 1.0, frozenset((f"PWM duty of {self.load_id} in {self.corner.mode}",)))
        return duty

    @property
    def is_pulsed(self) -> bool:
        """Whether the load is, or may be, under PWM in the mode."""
        return bool(self.load.pwm_duty_ratio) and self.load.pwm_duty_ratio.get(self.corner.mode) != 1

    def conduction_w(self) -> Value:
        """Conduction loss at 25 degC of what has an on-resistance."""
        if not has_on_resistance(self.part):
            return self.nothing
        square = self.duty_ratio
        law = law_of(self.load)
        if law is not None:
            whole = self.calc.given(1.0, "while it is on")
            square = self.calc(law.square, time_share_ratio=whole, duty_ratio=square)
        ohms = self.columns.max_ohm if self.corner.worst else self.columns.typ_ohm
        loss = self.calc(conduction_w, current_a=self.current_a, path_resistance_ohm=ohms[self.row], mean_ratio=square)
        return self._lasting(loss)

    def switching_w(self) -> Value:
        """Loss of edges and clamping under PWM."""
        if not self.is_pulsed or self.part.kind in CONVERTING_KINDS:
            return self.nothing
        if is_coil(self.load) and not self.load.freewheel and self.part.freewheel is not True:
            return self._lasting(self._clamping_w() if self.part.freewheel is False else None)
        law = inductive_switching_w if self.load.kind in INDUCTIVE_KINDS else resistive_switching_w
        rise, fall = self.part.rise_time_s, self.part.fall_time_s
        loss = self.calc(
            law,
            supply_v=self.corner.supply_v,
            current_a=self.current_a,
            paths=self.columns.paths[self.row],
            parallel=self.columns.parallel[self.row],
            rise_time_s=rise.upper if self.corner.worst else rise.middle,
            fall_time_s=fall.upper if self.corner.worst else fall.middle,
            frequency_hz=self.load.pwm_frequency_hz,
            time_share_ratio=self.calc.given(1.0, "while it is on"),
        )
        return self._lasting(loss)

    def converting_w(self) -> Value:
        """Loss of an LED driver, an amplifier, or a bipolar switch."""
        if has_on_resistance(self.part):
            return self.nothing
        loss = converting_w(
            self.calc,
            self.part,
            self.load,
            supply_v=self.corner.supply_v,
            current_a=self.current_a,
            duty_ratio=self.duty_ratio,
            programme_ratio=self.corner.limits.programme_ratio,
            worst=self.corner.worst,
        )
        return self._lasting(loss)

    def _clamping_w(self) -> Value:
        clamp = self.part.clamp_v
        return cycled_heat_w(
            self.calc,
            self.load,
            clamp.lower if self.corner.worst else clamp.middle,
            self.corner.supply_v,
            self.duty_ratio,
            self.corner.test_voltage_v,
        )

    def _lasting(self, loss_w: Value) -> Value:
        corner = self.corner
        thermal_s = corner.limits.thermal_time_s
        return lasting(self.calc, loss_w, self.load_id, self.load, corner.mode, corner.mode_time_s, thermal_s)


def _together(calc: Gate, terms: Sequence[_Term], losses: Sequence[Value]) -> Value:
    """Add the losses of loads that are on together; of loads that never are, the largest counts."""
    alone = [not (term.load.exclusive_group or term.load.together_group) for term in terms]
    keys = [term.load_id for term, is_alone in zip(terms, alone, strict=True) if is_alone]
    total = calc.total(keys, [loss for loss, is_alone in zip(losses, alone, strict=True) if is_alone])
    if all(alone):
        return total
    no_start = calc.given(0.0, "losses have no inrush")
    grouped = tuple(
        Grouped(term.load_id, term.load, loss, no_start)
        for term, loss, is_alone in zip(terms, losses, alone, strict=True)
        if not is_alone
    )
    together, _ = largest_on(calc, ("loads of no group",), (OnCurrents(total, no_start, grouped),))
    return together


def own_w(calc: Gate, ref: str, part: Part, tree: SupplyTree) -> Value:
    """Return the heat that a driver makes of its own supply currents [W]."""
    names = list(part.supplies)
    powers = [calc(consumed_w, supply_v=tree.input_v(ref, name), current_a=tree.input_a(ref, name)) for name in names]
    return calc.total([f"{ref} supply.{name}" for name in names], powers)
