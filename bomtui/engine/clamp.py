"""What a coil does to the switch that turns it off: energy and time in the clamp, and the heat of doing it every cycle.

Where a switch has no freewheel path, the current of the coil goes on through the switch against its clamp voltage until
the coil is empty.
"""

from collections.abc import Callable
from math import exp, expm1, log, log1p

from bomtui.engine.calc import Gate, formula
from bomtui.engine.inductive import COIL_KINDS
from bomtui.model.bound import Range, Value, exceeds
from bomtui.model.load import Load


@formula(
    "clamp_v * inductance_h / resistance_ohm * (current_a - (clamp_v - supply_v) / resistance_ohm"
    " * log1p(current_a * resistance_ohm / (clamp_v - supply_v)))",
    "J",
    "integral of clamp voltage times the current of a coil with resistance (derivation; the form of data sheets of"
    " high-side switches, seen second-hand)",
)
def clamp_energy_j(
    clamp_v: float, supply_v: float, inductance_h: float, resistance_ohm: float, current_a: float
) -> float:
    """Energy that a switch takes when it turns off a coil against its clamp.

    It goes to 1/2 L I^2 Vcl / (Vcl - Vb) where the resistance goes to nothing.

    Args:
        clamp_v: Voltage across the switch [V], above the supply voltage.
        supply_v: Supply voltage [V].
        inductance_h: Inductance of the coil [H].
        resistance_ohm: Its resistance [ohm], above 0.
        current_a: Its current when it is turned off [A].

    Source: derivation; the form of high-side switch data sheets, seen second-hand.
    """
    drive_v = clamp_v - supply_v
    lost_a = drive_v / resistance_ohm * log1p(current_a * resistance_ohm / drive_v)
    return clamp_v * inductance_h / resistance_ohm * (current_a - lost_a)


@formula(
    "inductance_h / resistance_ohm * log1p(current_a * resistance_ohm / (clamp_v - supply_v))",
    "s",
    "decay of the current of a coil with resistance against a constant voltage (derivation)",
)
def clamp_time_s(
    clamp_v: float, supply_v: float, inductance_h: float, resistance_ohm: float, current_a: float
) -> float:
    """Time until a coil that is turned off against a clamp is empty.

    Args:
        clamp_v: Voltage across the switch [V], above the supply voltage.
        supply_v: Supply voltage [V].
        inductance_h: Inductance of the coil [H].
        resistance_ohm: Its resistance [ohm], above 0.
        current_a: Its current when it is turned off [A].

    Source: derivation.
    """
    return inductance_h / resistance_ohm * log1p(current_a * resistance_ohm / (clamp_v - supply_v))


@formula("clamp_energy_j * frequency_hz", "W", "energy of a cycle times cycles a second (definition)")
def clamp_heat_w(clamp_energy_j: float, frequency_hz: float) -> float:
    """Heat of a switch that turns a coil off against its clamp in every cycle.

    It is an upper bound where a cycle is too short for the current to rise, or to fall to nothing.

    Args:
        clamp_energy_j: Energy of one turn-off [J].
        frequency_hz: Cycles a second [Hz].

    Source: definition.
    """
    return clamp_energy_j * frequency_hz


@formula(
    "supply_v / resistance_ohm * -expm1(-duty_ratio * resistance_ohm / (frequency_hz * inductance_h))",
    "A",
    "current of a coil with resistance that starts from nothing in every period (derivation)",
)
def ramped_current_a(
    supply_v: float, resistance_ohm: float, inductance_h: float, duty_ratio: float, frequency_hz: float
) -> float:
    """Current of a coil when PWM turns it off, where it was empty when it was turned on.

    Args:
        supply_v: Supply voltage [V].
        resistance_ohm: Its resistance [ohm], above 0.
        inductance_h: Its inductance [H].
        duty_ratio: PWM duty.
        frequency_hz: PWM frequency [Hz].

    Source: derivation.
    """
    return supply_v / resistance_ohm * -expm1(-duty_ratio * resistance_ohm / (frequency_hz * inductance_h))


@formula(
    "(supply_v * -expm1(-duty_ratio * resistance_ohm / (frequency_hz * inductance_h))"
    " + (clamp_v - supply_v) * exp(-duty_ratio * resistance_ohm / (frequency_hz * inductance_h))"
    " * expm1(-(1 - duty_ratio) * resistance_ohm / (frequency_hz * inductance_h)))"
    " / (resistance_ohm * -expm1(-resistance_ohm / (frequency_hz * inductance_h)))",
    "A",
    "steady state of a coil with resistance between supply and clamp, never empty (derivation)",
)
def steady_current_a(
    supply_v: float,
    clamp_v: float,
    resistance_ohm: float,
    inductance_h: float,
    duty_ratio: float,
    frequency_hz: float,
) -> float:
    """Current of a coil when PWM turns it off, where it is not empty when it is turned on again.

    Args:
        supply_v: Supply voltage [V].
        clamp_v: Voltage across the switch [V], above the supply voltage.
        resistance_ohm: Its resistance [ohm], above 0.
        inductance_h: Its inductance [H].
        duty_ratio: PWM duty.
        frequency_hz: PWM frequency [Hz].

    Source: derivation.
    """
    periods = resistance_ohm / (frequency_hz * inductance_h)
    risen_v = supply_v * -expm1(-duty_ratio * periods)
    fallen_v = (clamp_v - supply_v) * exp(-duty_ratio * periods) * expm1(-(1 - duty_ratio) * periods)
    return (risen_v + fallen_v) / (resistance_ohm * -expm1(-periods))


@formula(
    "max(0, current_a * exp(-(1 - duty_ratio) * resistance_ohm / (frequency_hz * inductance_h))"
    " + (clamp_v - supply_v) / resistance_ohm"
    " * expm1(-(1 - duty_ratio) * resistance_ohm / (frequency_hz * inductance_h)))",
    "A",
    "decay of the current of a coil with resistance against a constant voltage (derivation)",
)
def left_current_a(
    supply_v: float,
    clamp_v: float,
    resistance_ohm: float,
    inductance_h: float,
    duty_ratio: float,
    frequency_hz: float,
    current_a: float,
) -> float:
    """Current that is left in a coil when PWM turns it on again.

    Args:
        supply_v: Supply voltage [V].
        clamp_v: Voltage across the switch [V], above the supply voltage.
        resistance_ohm: Its resistance [ohm], above 0.
        inductance_h: Its inductance [H].
        duty_ratio: PWM duty.
        frequency_hz: PWM frequency [Hz].
        current_a: Its current when it was turned off [A].

    Source: derivation.
    """
    off = -(1 - duty_ratio) * resistance_ohm / (frequency_hz * inductance_h)
    return max(0.0, current_a * exp(off) + (clamp_v - supply_v) / resistance_ohm * expm1(off))


@formula(
    "clamp_v * inductance_h / resistance_ohm * (current_a - left_a - (clamp_v - supply_v) / resistance_ohm"
    " * log((current_a * resistance_ohm + clamp_v - supply_v) / (left_a * resistance_ohm + clamp_v - supply_v)))",
    "J",
    "integral of clamp voltage times the current of a coil with resistance (derivation)",
)
def partial_clamp_energy_j(
    clamp_v: float, supply_v: float, inductance_h: float, resistance_ohm: float, current_a: float, left_a: float
) -> float:
    """Energy that a switch takes while the current of a coil falls against its clamp, and not always to nothing.

    Args:
        clamp_v: Voltage across the switch [V], above the supply voltage.
        supply_v: Supply voltage [V].
        inductance_h: Inductance of the coil [H].
        resistance_ohm: Its resistance [ohm], above 0.
        current_a: Its current when it is turned off [A].
        left_a: Its current when it is turned on again [A].

    Source: derivation.
    """
    drive_v = clamp_v - supply_v
    fallen = log((current_a * resistance_ohm + drive_v) / (left_a * resistance_ohm + drive_v))
    return clamp_v * inductance_h / resistance_ohm * (current_a - left_a - drive_v / resistance_ohm * fallen)


@formula("test_voltage_v / test_current_a", "ohm", "Ohm's law")
def coil_resistance_ohm(test_voltage_v: float, test_current_a: float) -> float:
    """Resistance of a coil from its steady current.

    Args:
        test_voltage_v: Voltage for which the current is given [V].
        test_current_a: Its current [A], above 0.

    Source: Ohm's law.
    """
    return test_voltage_v / test_current_a


@formula("clamp_energy_j * share_ratio", "J", "share of what the data sheet allows (common practice, no source)")
def allowed_energy_j(clamp_energy_j: float, share_ratio: float) -> float:
    """Energy that a turn-off may take of what a switch stands.

    Args:
        clamp_energy_j: Single energy that the switch stands [J].
        share_ratio: Share of it, once or at every cycle.

    Source: common practice, no source; the share at every cycle is data of the part.
    """
    return clamp_energy_j * share_ratio


def is_coil(load: Load) -> bool:
    """Tell whether a load stores energy that somebody has to take when it is turned off."""
    return load.kind in COIL_KINDS or load.inductance_h is not None


def resistance_of(calc: Gate, load: Load, test_voltage_v: float | None) -> Value:
    """Return the resistance of a coil [ohm], from its current where it is not given itself."""
    if load.resistance_ohm is not None or load.behaviour != "resistive":
        return load.resistance_ohm
    return calc(coil_resistance_ohm, test_voltage_v=test_voltage_v, test_current_a=load.test_current_a)


def cycled_heat_w(
    calc: Gate, load: Load, clamp_v: Value, supply_v: Value, duty_ratio: Value, test_voltage_v: float | None
) -> Value:
    """Return the heat [W] of a switch that turns a coil off against its clamp in every PWM period, in steady state.

    None where the clamp is not above the supply, or where coil or duty is not known: the heat rises with the duty and
    falls again, so that no end of a range of duties is an end of it.

    Args:
        calc: Gate.
        load: The coil.
        clamp_v: Clamp voltage of the switch.
        supply_v: Supply voltage.
        duty_ratio: PWM duty.
        test_voltage_v: Voltage at which the load list gives currents.
    """
    if exceeds(clamp_v, supply_v) is not True or isinstance(duty_ratio, Range):
        return None
    resistance_ohm, frequency_hz = resistance_of(calc, load, test_voltage_v), load.pwm_frequency_hz
    current = calc(
        steady_current_a,
        supply_v=supply_v,
        clamp_v=clamp_v,
        resistance_ohm=resistance_ohm,
        inductance_h=load.inductance_h,
        duty_ratio=duty_ratio,
        frequency_hz=frequency_hz,
    )
    left = calc(
        left_current_a,
        supply_v=supply_v,
        clamp_v=clamp_v,
        resistance_ohm=resistance_ohm,
        inductance_h=load.inductance_h,
        duty_ratio=duty_ratio,
        frequency_hz=frequency_hz,
        current_a=current,
    )
    if left == 0:
        current = calc(
            ramped_current_a,
            supply_v=supply_v,
            resistance_ohm=resistance_ohm,
            inductance_h=load.inductance_h,
            duty_ratio=duty_ratio,
            frequency_hz=frequency_hz,
        )
    energy = calc(
        partial_clamp_energy_j,
        clamp_v=clamp_v,
        supply_v=supply_v,
        inductance_h=load.inductance_h,
        resistance_ohm=resistance_ohm,
        current_a=current,
        left_a=left,
    )
    return calc(clamp_heat_w, clamp_energy_j=energy, frequency_hz=frequency_hz)


def turned_off(
    calc: Gate,
    law: Callable[..., float],
    load: Load,
    clamp_v: Value,
    supply_v: Value,
    current_a: Value,
    test_voltage_v: float | None,
) -> Value:
    """Return energy [J] or time [s] of turning a coil off against a clamp; None where that is not above the supply.

    Args:
        calc: Gate.
        law: `clamp_energy_j` or `clamp_time_s`.
        load: The coil.
        clamp_v: Clamp voltage of the switch.
        supply_v: Supply voltage.
        current_a: Its current.
        test_voltage_v: Voltage at which the load list gives currents.
    """
    if exceeds(clamp_v, supply_v) is not True:
        return None
    return calc(
        law,
        clamp_v=clamp_v,
        supply_v=supply_v,
        inductance_h=load.inductance_h,
        resistance_ohm=resistance_of(calc, load, test_voltage_v),
        current_a=current_a,
    )
