"""Fuses: the series of ISO 8820-3, how much of one may be used, and what an inrush does to it."""

from typing import Final

from bomtui.engine.calc import Gate, formula
from bomtui.model.bound import Range, Value, exceeds

RATED_V: Final[tuple[float, ...]] = (32.0, 58.0)
"""Rated voltages of blade fuses; source: scope of ISO 8820-3:2015."""
BREAKING_A: Final[float] = 1000.0
"""Current that a blade fuse breaks; source: scope of ISO 8820-3:2015."""

SERIES: Final[dict[str, tuple[float, ...]]] = {
    "C": (1.0, 2.0, 3.0, 4.0, 5.0, 7.5, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0),
    "E": (20.0, 30.0, 40.0, 50.0, 60.0, 70.0, 80.0, 100.0),
    "F": (2.0, 3.0, 4.0, 5.0, 7.5, 10.0, 15.0, 20.0, 25.0, 30.0),
}
"""Rated currents by type: C medium, E high current, F miniature; source: ISO 8820-3, values from memory."""

COLOURS: Final[dict[float, str]] = {
    1.0: "black", 2.0: "grey", 3.0: "violet", 5.0: "tan", 10.0: "red", 15.0: "blue", 20.0: "yellow", 30.0: "green",
}  # fmt: skip
"""Colour of a medium blade fuse by its rated current, as far as published; source: colour code of ISO 8820-3, seen
second-hand."""

SURVIVED: Final[tuple[tuple[float, float], ...]] = ((0.04, 3.5), (0.15, 2.0), (0.75, 1.35))
"""How long a fuse stands a multiple of its rated current at least: time [s] and multiple; source: ISO 8820-3, values
from memory."""


@formula(
    "cool_ratio - (cool_ratio - hot_ratio) * (ambient_degc - 23) / 57",
    "",
    "straight line through the shares at 23 and 80 degC (common practice, no source)",
)
def fuse_load_ratio(cool_ratio: float, hot_ratio: float, ambient_degc: float) -> float:
    """Share of its rated current that a fuse carries for ever.

    Args:
        cool_ratio: That share at 23 degC.
        hot_ratio: The same at 80 degC.
        ambient_degc: Air around the fuse [degC].

    Source: common practice, no source.
    """
    return cool_ratio - (cool_ratio - hot_ratio) * (ambient_degc - 23) / 57


@formula("fuse_current_a * load_ratio", "A", "derated fuse (common practice, no source)")
def usable_fuse_a(fuse_current_a: float, load_ratio: float) -> float:
    """Current that a fuse carries for ever.

    Args:
        fuse_current_a: Its rated current [A].
        load_ratio: Share of it that may be used.

    Source: common practice, no source.
    """
    return fuse_current_a * load_ratio


@formula("current_a / load_ratio", "A", "derated fuse, solved for its rated current (common practice, no source)")
def needed_fuse_a(current_a: float, load_ratio: float) -> float:
    """Least rated current of a fuse for a steady current.

    Args:
        current_a: The steady current [A].
        load_ratio: Share of its rated current that a fuse carries for ever, above 0.

    Source: common practice, no source.
    """
    return current_a / load_ratio


@formula("current_a / fuse_current_a", "", "share of a rated current (definition)")
def fuse_used_ratio(current_a: float, fuse_current_a: float) -> float:
    """Load of a fuse.

    Args:
        current_a: Steady current [A].
        fuse_current_a: Rated current of the fuse [A], above 0.

    Source: definition.
    """
    return current_a / fuse_current_a


@formula("supply_v / loop_ohm", "A", "Ohm's law")
def short_circuit_a(supply_v: float, loop_ohm: float) -> float:
    """Current into a short circuit behind a fuse.

    Args:
        supply_v: Supply voltage [V].
        loop_ohm: Resistance of battery, fuse, wires and contacts [ohm], above 0.

    Source: Ohm's law.
    """
    return supply_v / loop_ohm


@formula("peak_a ** 2 * peak_time_s", "A2s", "integral of the square of a rectangular pulse (definition)")
def pulse_a2s(peak_a: float, peak_time_s: float) -> float:
    """What a short pulse does to a fuse.

    Args:
        peak_a: Current of the pulse [A].
        peak_time_s: How long it lasts [s].

    Source: definition; a pulse that decays does less.
    """
    return peak_a * peak_a * peak_time_s


@formula("melting_a2s * melting_ratio", "A2s", "part of the melting integral that ages no fuse (common practice)")
def usable_melting_a2s(melting_a2s: float, melting_ratio: float) -> float:
    """Pulse that a fuse stands again and again.

    Args:
        melting_a2s: Its melting integral [A2s].
        melting_ratio: Part of it that may be used.

    Source: common practice, no source.
    """
    return melting_a2s * melting_ratio


@formula("fuse_current_a * stood_ratio", "A", "multiple of its current that a fuse stands (ISO 8820-3, from memory)")
def survived_a(fuse_current_a: float, stood_ratio: float) -> float:
    """Current that a fuse stands for a time.

    Args:
        fuse_current_a: Its rated current [A].
        stood_ratio: Multiple of it that it stands for that time.

    Source: ISO 8820-3, values from memory.
    """
    return fuse_current_a * stood_ratio


@formula("rated_a", "A", "smallest fuse of its series that is not below what is needed (definition)")
def chosen_fuse_a(rated_a: float, needed_a: float) -> float:  # noqa: ARG001 - why it is this one
    """Rated current of the fuse that is proposed.

    Args:
        rated_a: Rated current of the smallest fuse of the series that is not below the other [A].
        needed_a: Least rated current [A].

    Source: definition.
    """
    return rated_a


def next_fuse(calc: Gate, series: str, needed_a: Value) -> Value:
    """Return the smallest fuse of a series for a current [A]; None where none will do, or where that is not known.

    Args:
        calc: Gate.
        series: Type of fuse.
        needed_a: Least rated current.
    """
    for rated in SERIES[series]:
        over = exceeds(needed_a, rated)
        if over is None:
            return None
        if not over:
            made: float = calc.given(rated, f"series of type {series} (ISO 8820-3)")
            # A bound that fits one fuse at both of its ends needs that fuse.
            return made if isinstance(needed_a, Range) else calc(chosen_fuse_a, rated_a=made, needed_a=needed_a)
    return None


def blade_rated_v(supply_v: Value, prospective_a: Value) -> float | None:
    """Return the rated voltage of a blade fuse for a supply [V]; None where none suits, or where that is not known.

    Args:
        supply_v: Highest voltage of the supply.
        prospective_a: Current into a short circuit, which the fuse must break.
    """
    if exceeds(prospective_a, BREAKING_A) is not False:
        return None
    return next((rated for rated in RATED_V if exceeds(supply_v, rated) is False), None)


def survived_ratio(calc: Gate, peak_time_s: float) -> Value:
    """Return the multiple of its rated current that a fuse stands for a time; 1 where it is too long for any."""
    for time_s, stood_ratio in SURVIVED:
        if peak_time_s <= time_s:
            known: float = calc.given(stood_ratio, f"stood for {time_s:g} s at least (ISO 8820-3)")
            return known
    steady: float = calc.given(1.0, "a peak as long as this is steady")
    return steady
