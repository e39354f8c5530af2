"""Loads that take their energy in pulses, as an injector behind a boost converter: what counts is energy times rate."""

from collections.abc import Sequence

from bomtui.engine.calc import Gate, formula
from bomtui.engine.load_current import LoadColumns
from bomtui.model.bound import Value
from bomtui.model.load import Load


@formula("pulse_energy_j * pulse_rate_hz / supply_v", "A", "power of equal pulses over the voltage they are taken at")
def pulsed_mean_current_a(pulse_energy_j: float, pulse_rate_hz: float, supply_v: float) -> float:
    """Mean battery current of a load that takes its energy in pulses.

    Args:
        pulse_energy_j: Energy that one pulse takes from the battery [J].
        pulse_rate_hz: Pulses in a second [Hz].
        supply_v: Battery voltage [V], above 0.

    Source: P = E f and P = V I.
    """
    return pulse_energy_j * pulse_rate_hz / supply_v


def pulsed_mean_a(calc: Gate, load: Load, mode: str, supply_v: Value) -> Value:
    """Return the mean current of a pulsed load; None where energy or rate of its pulses is not known.

    Args:
        calc: Gate.
        load: The load, on in the mode.
        mode: Id of the mode.
        supply_v: Battery voltage [V]; the lowest is worst.
    """
    return calc(
        pulsed_mean_current_a,
        pulse_energy_j=load.pulse_energy_j,
        pulse_rate_hz=load.pulse_rate_hz.get(mode),
        supply_v=supply_v,
    )


def with_pulses(
    calc: Gate, columns: LoadColumns, ids: Sequence[str], means: list[Value], mode: str, supply_v: Value
) -> list[Value]:
    """Return mean currents of loads, those taken by the energy of pulses in place of on-current times time share.

    Args:
        calc: Gate.
        columns: Loads as columns.
        ids: Loads that are on in the mode.
        means: Their mean currents [A].
        mode: Id of the mode.
        supply_v: Battery voltage [V]; the lowest is worst.
    """
    if not columns.by_energy:
        return means
    return [
        pulsed_mean_a(calc, columns.loads[columns.row_of[load_id]], mode, supply_v)
        if load_id in columns.by_energy
        else mean
        for load_id, mean in zip(ids, means, strict=True)
    ]
