"""Drivers whose loss follows from what they convert or from a saturation voltage, not from an on-resistance."""

from bomtui.engine.calc import Gate
from bomtui.engine.on_losses import amplifier_w, linear_string_w, saturation_w, switched_string_w
from bomtui.model.bound import Value
from bomtui.model.load import Load
from bomtui.model.part import Part

CONVERTING_KINDS = frozenset(("amplifier", "led_driver"))
"""Drivers that convert what they give to their loads: no channel with an on-resistance lies in the way."""


def is_bipolar(part: Part) -> bool:
    """Tell whether a switch has a voltage across it while it conducts, and no on-resistance."""
    return part.saturation_v.given > 0


def has_on_resistance(part: Part) -> bool:
    """Tell whether the heat of a driver follows from an on-resistance."""
    return part.kind not in CONVERTING_KINDS and not is_bipolar(part)


def converting_w(
    calc: Gate,
    part: Part,
    load: Load,
    *,
    supply_v: Value,
    current_a: Value,
    duty_ratio: Value,
    programme_ratio: float,
    worst: bool,
) -> Value:
    """Return the loss of a driver without an on-resistance while one load is on [W].

    Args:
        calc: Gate.
        part: The driver.
        load: The load.
        supply_v: Supply voltage.
        current_a: Battery current of the load; of an ignition coil at the end of its dwell.
        duty_ratio: PWM duty of an LED string.
        programme_ratio: Mean of speech and music over the largest power of an amplifier.
        worst: Take the lowest efficiency and the largest saturation voltage.
    """
    if is_bipolar(part):
        saturation = part.saturation_v
        return calc(saturation_w, saturation_v=saturation.upper if worst else saturation.middle, current_a=current_a)
    efficiency = part.efficiency_ratio.lower if worst else part.efficiency_ratio.middle
    if part.kind == "amplifier":
        return calc(
            amplifier_w,
            channel_power_w=part.channel_power_w,
            programme_ratio=programme_ratio,
            efficiency_ratio=efficiency,
        )
    if part.topology == "linear":
        return calc(
            linear_string_w,
            supply_v=supply_v,
            string_v=load.driven_voltage_v,
            string_a=load.driven_current_a,
            duty_ratio=duty_ratio,
        )
    return calc(
        switched_string_w,
        string_v=load.driven_voltage_v,
        string_a=load.driven_current_a,
        efficiency_ratio=efficiency,
        duty_ratio=duty_ratio,
    )
