"""Battery current of loads: at the list's test voltage, at the voltage of a mode, and at its worst."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from bomtui.engine.calc import Gate, formula
from bomtui.engine.mean_laws import MeanLaws, rows_by_law
from bomtui.engine.supply_range import supply_high_v, supply_low_v
from bomtui.model.bound import Value
from bomtui.model.load import Load
from bomtui.model.vehicle import Mode, Vehicle


@formula(
    "reference_current_a * supply_v / reference_v",
    "A",
    "Ohm's law; a motor at constant duty counts alike (common practice)",
)
def resistive_current_a(reference_current_a: float, reference_v: float, supply_v: float) -> float:
    """Current of a resistive load at another voltage.

    Args:
        reference_current_a: Current [A] at the reference voltage.
        reference_v: Reference voltage [V], above 0.
        supply_v: Supply voltage [V].

    Source: Ohm's law.
    """
    return reference_current_a * supply_v / reference_v


@formula(
    "reference_current_a * (supply_v / reference_v) ** 0.55",
    "A",
    "re-rating exponent of filament current: Fink and Beaty, Standard Handbook for Electrical Engineers, 11th ed.,"
    " p. 22-8 (seen second-hand)",
)
def filament_current_a(reference_current_a: float, reference_v: float, supply_v: float) -> float:
    """Current of a filament lamp at another voltage.

    Args:
        reference_current_a: Current [A] at the reference voltage.
        reference_v: Reference voltage [V], above 0.
        supply_v: Supply voltage [V].

    Source: Fink and Beaty, Standard Handbook for Electrical Engineers, 11th ed., p. 22-8 (seen second-hand).
    """
    ratio: float = (supply_v / reference_v) ** 0.55
    return reference_current_a * ratio


@formula("reference_current_a * reference_v / supply_v", "A", "P = V I at constant power")
def constant_power_current_a(reference_current_a: float, reference_v: float, supply_v: float) -> float:
    """Current of a load behind its own converter at another voltage.

    Args:
        reference_current_a: Current [A] at the reference voltage.
        reference_v: Reference voltage [V].
        supply_v: Supply voltage [V], above 0.

    Source: P = V I at constant power; the load's efficiency is taken as constant.
    """
    return reference_current_a * reference_v / supply_v


@formula("reference_current_a", "A", "a regulated current does not follow the supply")
def constant_current_a(reference_current_a: float, reference_v: float, supply_v: float) -> float:  # noqa: ARG001 - one signature for all behaviours
    """Current of a regulated load at another voltage.

    Args:
        reference_current_a: Current [A] at any voltage.
        reference_v: Not used: one signature serves all behaviours.
        supply_v: Not used.

    Source: definition.
    """
    return reference_current_a


@formula("rated_power_w / rated_v", "A", "P = V I")
def rated_current_a(rated_power_w: float, rated_v: float) -> float:
    """Current of a load at its rating voltage.

    Args:
        rated_power_w: Rated power [W].
        rated_v: Rating voltage [V], above 0.

    Source: P = V I.
    """
    return rated_power_w / rated_v


@formula("current_a * mean_ratio", "A", "mean over the mode (definition)")
def mean_current_a(current_a: float, mean_ratio: float) -> float:
    """Mean current of a switched and dimmed load.

    Args:
        current_a: Current [A] while on.
        mean_ratio: Share of the mode in which it carries current.

    Source: mean over time (definition).
    """
    return current_a * mean_ratio


@formula("max(peak_a - on_current_a, 0)", "A", "one inrush above the steady current (common practice)")
def inrush_a(peak_a: float, on_current_a: float) -> float:
    """Current of an inrush above the steady current.

    Args:
        peak_a: Inrush, start or stall current [A].
        on_current_a: Steady current [A].

    Source: common practice: one inrush at a time.
    """
    return peak_a - on_current_a if peak_a > on_current_a else 0.0


BEHAVIOUR_LAWS: Mapping[str, Callable[[float, float, float], float]] = {
    "resistive": resistive_current_a,
    "filament": filament_current_a,
    "constant_power": constant_power_current_a,
    "constant_current": constant_current_a,
    # While a pulse lasts its driver regulates the current; what it takes in the mean goes by energy.
    "pulsed": constant_current_a,
}
PULSED = "pulsed"
"""Behaviour of loads that take their energy in pulses."""
PEAK_FOLLOWS_VOLTAGE = frozenset(("resistive", "filament"))
"""Behaviours whose peak is that of a resistance."""
WORST_AT_LOW_SUPPLY = frozenset(("constant_power",))
"""Behaviours whose current is largest at the lowest supply voltage; all others follow it upwards or not at all."""


@dataclass(frozen=True, slots=True)
class Behaviour:
    """Loads of one behaviour: their ids, their reference currents at both corners, and the voltage of these."""

    name: str
    ids: list[str]
    typ_a: list[Value]
    max_a: list[Value]
    reference_v: list[Value]


@dataclass(frozen=True, slots=True)
class LoadColumns:
    """Loads as columns, those of one behaviour together, ready to be put to any voltage.

    Attributes:
        ids: Ids, in the order of every column.
        loads: The loads.
        row_of: Row of each load.
        pulsed: Rows of the loads that have a PWM duty in any mode.
        by_law: Rows of the loads whose mean follows a law of its own.
        by_energy: Ids of the loads that take their energy in pulses.
        grouped: Ids of the loads that are never, or always, on together with others.
        behaviours: The same loads by behaviour, in the same order.
        test_a: Current of the customer's list at the test voltage.
        test_v: The test voltage.
    """

    ids: list[str]
    loads: list[Load]
    row_of: Mapping[str, int]
    pulsed: list[int]
    by_law: Mapping[MeanLaws, list[int]]
    by_energy: frozenset[str]
    grouped: frozenset[str]
    behaviours: list[Behaviour]
    test_a: list[Value]
    test_v: float | None


def load_columns(calc: Gate, loads: Mapping[str, Load], vehicle: Vehicle) -> LoadColumns:
    """Gather what the current of each load starts from.

    A filament lamp starts from its rating; any other load from its current at the test voltage, and from its rating
    only where the list gives no current.

    Args:
        calc: Gate.
        loads: Loads by id.
        vehicle: For the test voltage.
    """
    grouped: dict[str, Behaviour] = {}
    for load_id, load in loads.items():
        group = grouped.get(load.behaviour)
        if group is None:
            group = grouped[load.behaviour] = Behaviour(load.behaviour, [], [], [], [])
        typ_a, max_a, reference_v = _reference(calc, load, vehicle)
        group.ids.append(load_id)
        group.typ_a.append(typ_a)
        group.max_a.append(max_a)
        group.reference_v.append(reference_v)
    behaviours = list(grouped.values())
    ids = [load_id for group in behaviours for load_id in group.ids]
    ordered = [loads[load_id] for load_id in ids]
    return LoadColumns(
        ids=ids,
        loads=ordered,
        row_of={load_id: row for row, load_id in enumerate(ids)},
        pulsed=[row for row, load in enumerate(ordered) if load.pwm_duty_ratio],
        by_law=rows_by_law(ordered),
        by_energy=frozenset([load_id for load_id, load in loads.items() if load.behaviour == PULSED]),
        grouped=frozenset([load_id for load_id, load in loads.items() if load.exclusive_group or load.together_group]),
        behaviours=behaviours,
        test_a=_test_currents(calc, ordered, behaviours, vehicle),
        test_v=vehicle.test_voltage_v,
    )


def _reference(calc: Gate, load: Load, vehicle: Vehicle) -> tuple[Value, Value, Value]:
    rated = load.rated_power_w is not None and load.rated_voltage_v is not None
    if not rated or (load.behaviour != "filament" and load.test_current_a is not None):
        largest = load.test_current_a if load.test_current_max_a is None else load.test_current_max_a
        return load.test_current_a, largest, vehicle.test_voltage_v
    typ_a = calc(rated_current_a, rated_power_w=load.rated_power_w, rated_v=load.rated_voltage_v)
    if load.rated_power_max_w is None:
        return typ_a, typ_a, load.rated_voltage_v
    max_a = calc(rated_current_a, rated_power_w=load.rated_power_max_w, rated_v=load.rated_voltage_v)
    return typ_a, max_a, load.rated_voltage_v


def _test_currents(calc: Gate, loads: list[Load], behaviours: list[Behaviour], vehicle: Vehicle) -> list[Value]:
    listed: list[Value] = [load.test_current_a for load in loads]
    if None not in listed:
        return listed
    supply_of: dict[str, Value] = dict.fromkeys(BEHAVIOUR_LAWS, vehicle.test_voltage_v)
    computed = _currents(calc, behaviours, supply_of, worst=False)
    return [own if given is None else given for given, own in zip(listed, computed, strict=True)]


def typical_currents(calc: Gate, columns: LoadColumns, mode: Mode) -> list[Value]:
    """Return the on-current of each load [A] at the usual supply voltage of a mode."""
    supply_of: dict[str, Value] = dict.fromkeys(BEHAVIOUR_LAWS, mode.supply_nominal_v)
    return _currents(calc, columns.behaviours, supply_of, worst=False)


def worst_currents(calc: Gate, columns: LoadColumns, mode: Mode) -> list[Value]:
    """Return the largest on-current of each load [A] over the supply range of a mode.

    Constant power is worst at the lowest voltage, everything else at the highest; where the range is not known, the
    usual voltage makes a lower bound of it.
    """
    low, high = supply_low_v(mode), supply_high_v(mode)
    supply_of = {law: low if law in WORST_AT_LOW_SUPPLY else high for law in BEHAVIOUR_LAWS}
    return _currents(calc, columns.behaviours, supply_of, worst=True)


def _currents(calc: Gate, behaviours: list[Behaviour], supply_of: Mapping[str, Value], *, worst: bool) -> list[Value]:
    result: list[Value] = []
    for group in behaviours:
        result += calc.each(
            BEHAVIOUR_LAWS[group.name],
            group.ids,
            reference_current_a=group.max_a if worst else group.typ_a,
            reference_v=group.reference_v,
            supply_v=supply_of[group.name],
        )
    return result


def peak_currents(calc: Gate, columns: LoadColumns, mode: Mode) -> list[Value]:
    """Return the peak of each load [A] at the highest supply voltage of a mode.

    A cold filament and a standing motor are resistances; what regulates its own current keeps the peak of the list.
    """
    result: list[Value] = []
    start = 0
    for group in columns.behaviours:
        rows = columns.loads[start : start + len(group.ids)]
        start += len(group.ids)
        peaks: list[Value] = [load.peak_current_a for load in rows]
        if group.name in PEAK_FOLLOWS_VOLTAGE:
            peaks = calc.each(
                resistive_current_a,
                group.ids,
                reference_current_a=peaks,
                reference_v=columns.test_v,
                supply_v=supply_high_v(mode),
            )
        result += peaks
    return result
