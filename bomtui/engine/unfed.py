"""What is known of a supply input that hangs on nothing.

Such an input is a fault of its own. Until it is mended its chip still draws its current at the voltage that it asks
for, and whatever supply is chosen for it takes at least that power from the battery, and at most what a linear one or
the poorest converter takes. All of these are bounds that name the input.
"""

from dataclasses import dataclass

from bomtui.engine.calc import Gate, formula
from bomtui.model.bound import Range, Value, ends
from bomtui.model.part import SupplyNeed
from bomtui.model.settings import Electronics


@formula("nominal_v * (1 + deviation_ratio)", "V", "tolerance of a supply rail (definition)")
def rail_v(nominal_v: float, deviation_ratio: float) -> float:
    """Voltage of a rail that is off its nominal one.

    Args:
        nominal_v: Nominal voltage [V].
        deviation_ratio: How far it is off, as a share of it.

    Source: definition.
    """
    return nominal_v * (1 + deviation_ratio)


@formula(
    "min(converter_ratio, output_v / input_v)",
    "",
    "a linear supply passes its current through, so that its efficiency is the ratio of its voltages (power balance)",
)
def least_efficiency_ratio(converter_ratio: float, output_v: float, input_v: float) -> float:
    """Poorest efficiency of a supply that nobody has chosen yet, be it linear or a converter.

    Args:
        converter_ratio: Poorest efficiency of a converter.
        output_v: Voltage that it makes [V].
        input_v: Voltage that it is fed with [V], above 0.

    Source: power balance.
    """
    return min(converter_ratio, output_v / input_v)


@dataclass(frozen=True, slots=True)
class Unfed:
    """One supply input that hangs on nothing.

    Attributes:
        name: Place and field of the input.
        nominal_v: Voltage that it asks for [V].
        voltage_v: Voltage that it works at: that one within the tolerance of rails.
        current_a: What it draws there [A].
        settings: For the poorest supply that is chosen for it.
    """

    name: str
    nominal_v: float
    voltage_v: Value
    current_a: Value
    settings: Electronics


def unfed_input(calc: Gate, name: str, need: SupplyNeed, current_a: Value, settings: Electronics) -> Unfed | None:
    """Return what is known of an input that hangs on nothing; None where it takes the battery itself.

    Args:
        calc: Gate.
        name: Place and field of the input.
        need: What it needs.
        current_a: What it draws [A].
        settings: For the tolerance of rails and the poorest supply.
    """
    if need.voltage_v is None:
        return None
    tolerance = settings.unfed_tolerance_ratio
    deviation = calc.given(Range(-tolerance, tolerance, frozenset((name,))), "tolerance of the rail that is missing")
    voltage_v = calc(rail_v, nominal_v=need.voltage_v, deviation_ratio=deviation)
    return Unfed(name, need.voltage_v, voltage_v, current_a, settings)


def unfed_efficiency(calc: Gate, unfed: Unfed, battery_v: Value) -> Value:
    """Return the efficiency of the supply that is missing, from the poorest to one without losses."""
    least = calc(
        least_efficiency_ratio,
        converter_ratio=unfed.settings.unfed_efficiency_ratio,
        output_v=unfed.nominal_v,
        input_v=battery_v,
    )
    if least is None:
        return None
    bounds: Value = calc.given(
        Range(ends(least)[0], 1.0, _names(unfed, least)), "the poorest supply to one without losses"
    )
    return bounds


def unfed_quiescent(calc: Gate, unfed: Unfed) -> Value:
    """Return the own current of the supply that is missing [A]."""
    bounds: Value = calc.given(
        Range(0.0, unfed.settings.unfed_quiescent_a, frozenset((unfed.name,))),
        "own current of the supply that is missing",
    )
    return bounds


def _names(unfed: Unfed, value: Value) -> frozenset[str]:
    return frozenset((unfed.name,)) | (value.unknown if isinstance(value, Range) else frozenset())
