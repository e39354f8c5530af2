"""Voltage at a filament, and what it does to the life of the lamp."""

from bomtui.engine.calc import formula


@formula("supply_v * duty_ratio ** 0.5", "V", "root mean square of a pulsed voltage (definition)")
def dimmed_v(supply_v: float, duty_ratio: float) -> float:
    """Voltage that heats a dimmed filament.

    Args:
        supply_v: Supply voltage [V].
        duty_ratio: PWM duty.

    Source: root mean square of a pulsed voltage (definition).
    """
    effective: float = supply_v * duty_ratio**0.5
    return effective


@formula(
    "(voltage_v / rated_v) ** -exponent",
    "",
    "re-rating exponent of lamp life, 12 to 16: Fink and Beaty, Standard Handbook for Electrical Engineers, 11th"
    " ed., p. 22-8 (seen second-hand)",
)
def life_ratio(voltage_v: float, rated_v: float, exponent: int) -> float:
    """Life of a lamp over its life at its rating voltage.

    Args:
        voltage_v: Voltage at the filament [V].
        rated_v: Rating voltage [V], above 0.
        exponent: Power of the voltage with which the life falls.

    Source: Fink and Beaty, Standard Handbook for Electrical Engineers, 11th ed., p. 22-8 (seen second-hand).
    """
    ratio: float = (voltage_v / rated_v) ** -exponent
    return ratio
