"""One wire: its resistance by a standard and by temperature, the current that it carries, its drop, heat and mass."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Final

from bomtui.engine.calc import PLAIN, Gate, formula
from bomtui.model.bound import Range, Value, exceeds

MM2_PER_M2: Final = 1e6
"""Square millimetres of a square metre; source: definition."""
MILLI_PER_ONE: Final = 1e3
"""Millimetres of a metre, milliohms of an ohm; source: definition."""

COPPER_PER_K: Final[float] = 0.00393
"""Temperature coefficient of the resistance of copper at 20 degC; source: International Annealed Copper Standard, NBS
Handbook 100. IEC 60228 corrects by 250 / (230 + t), which is 0.004 and 0.4 % less at 90 degC."""

COPPER_OHM_PER_M: Final[float] = 0.017241
"""Resistance of copper of 1 mm2 at 20 degC; source: International Annealed Copper Standard, 1/58 ohm mm2/m."""

TABLE_M2: Final[float] = 1e-6
"""Area to which that value belongs; source: definition of 1 mm2."""

AWG_36_M: Final[float] = 0.000127
"""Diameter of gauge 36; source: ASTM B258."""

STRAND_RATIO: Final[float] = 1.02
"""Resistance of a strand over that of a solid wire; source: lay of strands, ASTM B8 (value from memory)."""

SAME_SIZE_RATIO: Final[float] = 1.01
"""An area written with few digits is still its size (5.26 mm2 is gauge 10); source: definition."""

CLASS_5: Final[dict[float, float]] = {
    0.5: 39.0, 0.75: 26.0, 1.0: 19.5, 1.5: 13.3, 2.5: 7.98, 4.0: 4.95, 6.0: 3.30, 10.0: 1.91, 16.0: 1.21, 25.0: 0.780,
    35.0: 0.554, 50.0: 0.386, 70.0: 0.272, 95.0: 0.206,
}  # fmt: skip
"""Largest resistance [mohm/m] at 20 degC by nominal area [mm2] of flexible plain copper; source: IEC 60228 table 3
(above 25 mm2 values from memory)."""

CLASS_5_TINNED: Final[dict[float, float]] = {
    0.5: 40.1, 0.75: 26.7, 1.0: 20.0, 1.5: 13.7, 2.5: 8.21, 4.0: 5.09, 6.0: 3.39,
}  # fmt: skip
"""The same of tinned copper; source: IEC 60228 table 3."""

CLASS_2: Final[dict[float, float]] = {
    0.5: 36.0, 0.75: 24.5, 1.0: 18.1, 1.5: 12.1, 2.5: 7.41, 4.0: 4.61, 6.0: 3.08, 10.0: 1.83, 16.0: 1.15, 25.0: 0.727,
}  # fmt: skip
"""The same of plain copper with few strands; source: IEC 60228 table 2."""

TABLES: Final[dict[str, dict[float, float]]] = {
    "class 5": CLASS_5,
    "class 5 tinned": CLASS_5_TINNED,
    "class 2": CLASS_2,
}

OUTER: Final[dict[float, float]] = {
    0.5: 1.6, 0.75: 1.9, 1.0: 2.1, 1.5: 2.4, 2.5: 3.0, 4.0: 3.7, 6.0: 4.3, 10.0: 6.0, 16.0: 7.2, 25.0: 8.7, 35.0: 10.4,
    50.0: 12.2, 70.0: 14.4, 95.0: 16.7,
}  # fmt: skip
"""Outer diameter [mm] by nominal area [mm2] of vehicle wires with thin insulation; source: ISO 6722-1, values from
memory."""

AWG_GAUGES: Final[tuple[int, ...]] = (20, 18, 16, 14, 12, 10, 8, 6, 4, 2, 1, 0, -1, -2, -3)
"""Gauges of wires in use, thinnest first; -1 is 2/0. Source: common practice, no source."""


@formula("smallest_m * 92 ** ((36 - gauge) / 39)", "m", "ASTM B258: 39 equal ratios between gauge 36 and 4/0")
def awg_diameter_m(smallest_m: float, gauge: int) -> float:
    """Diameter of a solid wire by its gauge.

    Args:
        smallest_m: Diameter of gauge 36 [m].
        gauge: Gauge; 0 is 1/0, -1 is 2/0.

    Source: ASTM B258.
    """
    ratio: float = 92 ** ((36 - gauge) / 39)
    return smallest_m * ratio


@formula("3.14159265 * diameter_m ** 2 / 4", "m2", "area of a circle (definition)")
def round_m2(diameter_m: float) -> float:
    """Area of a round wire.

    Args:
        diameter_m: Its diameter [m].

    Source: definition.
    """
    return 3.14159265 * diameter_m * diameter_m / 4


@formula("table_ohm_per_m * table_m2 / area_m2", "ohm/m", "resistance goes with the inverse of the area (definition)")
def solid_ohm_per_m(table_ohm_per_m: float, table_m2: float, area_m2: float) -> float:
    """Resistance of solid copper.

    Args:
        table_ohm_per_m: Resistance of a known area [ohm/m].
        table_m2: That area [m2].
        area_m2: Area of the wire [m2], above 0.

    Source: definition of resistivity.
    """
    return table_ohm_per_m * table_m2 / area_m2


@formula("solid_ohm_per_m * lay_ratio", "ohm/m", "strands are longer than the wire (ASTM B8, value from memory)")
def stranded_ohm_per_m(solid_ohm_per_m: float, lay_ratio: float) -> float:
    """Resistance of a strand.

    Args:
        solid_ohm_per_m: Resistance of a solid wire of its area [ohm/m].
        lay_ratio: Length of its strands over its own.

    Source: ASTM B8 (value from memory).
    """
    return solid_ohm_per_m * lay_ratio


@formula(
    "cold_ohm_per_m * (1 + coefficient_per_k * (conductor_degc - 20))",
    "ohm/m",
    "temperature coefficient of copper at 20 degC (IACS, NBS Handbook 100)",
)
def hot_ohm_per_m(cold_ohm_per_m: float, coefficient_per_k: float, conductor_degc: float) -> float:
    """Resistance of a wire at another temperature.

    Args:
        cold_ohm_per_m: Resistance at 20 degC [ohm/m].
        coefficient_per_k: Temperature coefficient at 20 degC [1/K].
        conductor_degc: Temperature of the copper [degC].

    Source: International Annealed Copper Standard.
    """
    return cold_ohm_per_m * (1 + coefficient_per_k * (conductor_degc - 20))


@formula(
    "(10 * 3.14159265 * outer_m * max(conductor_degc - ambient_degc, 0) / hot_ohm_per_m) ** 0.5 * wires ** -0.5",
    "A",
    "heat of the wire equals what its surface gives to still air at 10 W/(m2 K) (common practice: 9 to 12); n wires"
    " together carry 1/n^0.5 (BS 7671:2008 appendix 4, seen second-hand)",
)
def ampacity_a(outer_m: float, conductor_degc: float, ambient_degc: float, hot_ohm_per_m: float, wires: int) -> float:
    """Steady current at which a wire reaches the temperature that its insulation stands.

    Args:
        outer_m: Outer diameter [m].
        conductor_degc: That temperature [degC].
        ambient_degc: Air around it [degC].
        hot_ohm_per_m: Its resistance at that temperature [ohm/m], above 0.
        wires: Wires that carry their current at the same time and lie together, itself included.

    Source: heat balance with a film of 10 W/(m2 K), common practice, no source; grouping by BS 7671:2008 appendix 4,
    seen second-hand, which is below the tables of IEC 60364-5-52.
    """
    rise_k = conductor_degc - ambient_degc if conductor_degc > ambient_degc else 0.0
    alone: float = (10 * 3.14159265 * outer_m * rise_k / hot_ohm_per_m) ** 0.5
    grouped: float = wires**-0.5
    return alone * grouped


@formula("there_m + back_m", "m", "current flows there and back (definition)")
def loop_m(there_m: float, back_m: float) -> float:
    """Length of the copper that a current passes.

    Args:
        there_m: Length of the wire to it [m].
        back_m: Length of the wire back [m]; 0 where it returns through the chassis.

    Source: definition.
    """
    return there_m + back_m


@formula("resistance_ohm_per_m * length_m", "ohm", "resistances in series (definition)")
def wire_ohm(resistance_ohm_per_m: float, length_m: float) -> float:
    """Resistance of a wire.

    Args:
        resistance_ohm_per_m: Resistance by length [ohm/m].
        length_m: Length [m].

    Source: definition.
    """
    return resistance_ohm_per_m * length_m


@formula("current_a * resistance_ohm", "V", "Ohm's law")
def drop_v(current_a: float, resistance_ohm: float) -> float:
    """Voltage that a wire takes.

    Args:
        current_a: Current [A].
        resistance_ohm: Resistance of the wire, there and back [ohm].

    Source: Ohm's law.
    """
    return current_a * resistance_ohm


@formula("drop_v / nominal_v", "", "share of the nominal voltage (definition)")
def drop_ratio(drop_v: float, nominal_v: float) -> float:
    """Drop as a share of the supply.

    Args:
        drop_v: Voltage that the wire takes [V].
        nominal_v: Nominal voltage of the supply [V], above 0.

    Source: definition.
    """
    return drop_v / nominal_v


@formula("nominal_v * limit_ratio", "V", "share of the nominal voltage (common practice, no source)")
def allowed_drop_v(nominal_v: float, limit_ratio: float) -> float:
    """Voltage that a wire may take.

    Args:
        nominal_v: Nominal voltage of the supply [V].
        limit_ratio: Share of it.

    Source: common practice, no source.
    """
    return nominal_v * limit_ratio


@formula("current_a ** 2 * resistance_ohm", "W", "Joule's law")
def wire_heat_w(current_a: float, resistance_ohm: float) -> float:
    """Heat of a wire.

    Args:
        current_a: Steady current [A].
        resistance_ohm: Resistance of the wire, there and back [ohm].

    Source: Joule's law.
    """
    return current_a * current_a * resistance_ohm


@formula("8890 * area_m2 * length_m", "kg", "standard density of copper, IEC 60028 (value from memory)")
def copper_kg(area_m2: float, length_m: float) -> float:
    """Mass of the copper of a wire, its insulation left out.

    Args:
        area_m2: Nominal area of the wire [m2].
        length_m: Length [m].

    Source: standard density 8.89 g/cm3, IEC 60028 (value from memory).
    """
    return 8890 * area_m2 * length_m


@formula("length_m * current_a * table_ohm_per_m * table_m2 / allowed_v", "m2", "Ohm's law, solved for the area")
def needed_m2(length_m: float, current_a: float, table_ohm_per_m: float, table_m2: float, allowed_v: float) -> float:
    """Area at which a wire takes a given voltage.

    Args:
        length_m: Length, there and back [m].
        current_a: Current [A].
        table_ohm_per_m: Resistance of a known area [ohm/m].
        table_m2: That area [m2].
        allowed_v: Voltage that it may take [V], above 0.

    Source: Ohm's law.
    """
    return length_m * current_a * table_ohm_per_m * table_m2 / allowed_v


@dataclass(frozen=True, slots=True)
class WireSize:
    """One size in which wires are made.

    Attributes:
        name: As people write it: `2.5 mm2`, `AWG 14`.
        area_m2: Nominal area.
        cold_ohm_per_m: Largest resistance at 20 degC.
        outer_m: Outer diameter.
    """

    name: str
    area_m2: float
    cold_ohm_per_m: Value
    outer_m: float


def wire_sizes(calc: Gate, conductor: str) -> Sequence[WireSize]:
    """Return the sizes of wires of one kind, thinnest first.

    Args:
        calc: Gate.
        conductor: Kind of conductor, as the setting names it.
    """
    return _plain_sizes(conductor) if calc is PLAIN else _sizes(calc, conductor)


@cache
def _plain_sizes(conductor: str) -> Sequence[WireSize]:
    return _sizes(PLAIN, conductor)


def _sizes(calc: Gate, conductor: str) -> Sequence[WireSize]:
    table = TABLES.get(conductor)
    if table is None:
        return tuple(_awg_sizes(calc))
    return tuple(_metric_size(calc, conductor, area / MM2_PER_M2, cold / MILLI_PER_ONE) for area, cold in table.items())


def _metric_size(calc: Gate, conductor: str, area_m2: float, cold_ohm_per_m: float) -> WireSize:
    name = f"{area_m2 * MM2_PER_M2:g} mm2"
    return WireSize(
        name=name,
        area_m2=calc.given(area_m2, name),
        cold_ohm_per_m=calc.given(cold_ohm_per_m, f"IEC 60228, {conductor}, {name}"),
        outer_m=_outer_m(calc, area_m2, name),
    )


def _outer_m(calc: Gate, area_m2: float, name: str) -> float:
    """Return the outer diameter of the largest metric size that is not above an area [m]: a lower bound of its own."""
    found = [outer for size, outer in OUTER.items() if size / MM2_PER_M2 <= area_m2 * SAME_SIZE_RATIO]
    own: float = calc.given((found[-1] if found else min(OUTER.values())) / MILLI_PER_ONE, f"outer diameter of {name}")
    return own


def _awg_sizes(calc: Gate) -> list[WireSize]:
    sizes = []
    for gauge in AWG_GAUGES:
        name = awg_name(gauge)
        smallest: float = calc.given(AWG_36_M, "diameter of AWG 36 (ASTM B258)")
        diameter = calc(awg_diameter_m, smallest_m=smallest, gauge=calc.given(gauge, name))
        area = calc(round_m2, diameter_m=diameter)
        if not isinstance(area, float):
            raise TypeError("a gauge is a plain number and has an area")
        solid = calc(
            solid_ohm_per_m,
            table_ohm_per_m=calc.given(COPPER_OHM_PER_M, "copper of 1 mm2 (IACS)"),
            table_m2=calc.given(TABLE_M2, "1 mm2"),
            area_m2=area,
        )
        cold = calc(stranded_ohm_per_m, solid_ohm_per_m=solid, lay_ratio=calc.given(STRAND_RATIO, "lay of strands"))
        sizes.append(WireSize(name, area, cold, _outer_m(calc, area, name)))
    return sizes


def awg_name(gauge: int) -> str:
    """Return a gauge as people write it: `AWG 14`, `AWG 2/0`."""
    return f"AWG {gauge}" if gauge > 0 else f"AWG {1 - gauge}/0"


def size_of(calc: Gate, conductor: str, area_m2: float | None) -> WireSize | None:
    """Return the largest size that is not above an area; None where there is none.

    An area between two sizes counts as the smaller one, so that its resistance is an upper bound.

    Args:
        calc: Gate.
        conductor: Kind of conductor.
        area_m2: Area of the wire; None where nobody has given it.
    """
    if area_m2 is None:
        return None
    found = [size for size in wire_sizes(calc, conductor) if size.area_m2 <= area_m2 * SAME_SIZE_RATIO]
    return found[-1] if found else None


@dataclass(frozen=True, slots=True)
class Laying:
    """How a wire lies.

    Attributes:
        conductor: Kind of conductor.
        conductor_degc: Temperature that its insulation stands.
        ambient_degc: Air around it; None where unknown.
        wires: Wires that carry their current at the same time and lie together, itself included.
        length_m: Length of copper that the current passes, there and back; None where unknown.
    """

    conductor: str
    conductor_degc: float
    ambient_degc: Value
    wires: int
    length_m: Value


def hot_resistance(calc: Gate, size: WireSize | None, conductor_degc: Value) -> Value:
    """Return the resistance of a size at a temperature [ohm/m]; None where the size is not known."""
    return calc(
        hot_ohm_per_m,
        cold_ohm_per_m=None if size is None else size.cold_ohm_per_m,
        coefficient_per_k=calc.given(COPPER_PER_K, "copper at 20 degC (IACS)"),
        conductor_degc=conductor_degc,
    )


def ampacity(calc: Gate, size: WireSize | None, laying: Laying) -> Value:
    """Return the steady current that a wire carries as it lies [A]; None where size or air is not known."""
    return calc(
        ampacity_a,
        outer_m=None if size is None else size.outer_m,
        conductor_degc=laying.conductor_degc,
        ambient_degc=laying.ambient_degc,
        hot_ohm_per_m=hot_resistance(calc, size, laying.conductor_degc),
        wires=laying.wires,
    )


@formula("area_m2", "m2", "smallest size that carries the current and keeps the drop (definition)")
def chosen_area_m2(
    area_m2: float,
    carried_a: float,  # noqa: ARG001 - why it is this one
    ampacity_a: float,  # noqa: ARG001 - as above
    taken_v: float,  # noqa: ARG001 - as above
    allowed_v: float,  # noqa: ARG001 - as above
) -> float:
    """Area of the wire that is proposed.

    Args:
        area_m2: Area of the smallest size that will do [m2].
        carried_a: Current that it must carry for ever [A].
        ampacity_a: Current that it carries for ever [A].
        taken_v: Voltage that it takes [V].
        allowed_v: Voltage that it may take [V].

    Source: definition.
    """
    return area_m2


def smallest_area(calc: Gate, laying: Laying, carried_a: Value, dropping_a: Value, allowed_v: Value) -> Value:
    """Return the area of the smallest size that carries a current as it lies and takes no more than a voltage [m2].

    Args:
        calc: Gate.
        laying: How the wire lies.
        carried_a: Current that it must carry for ever: that of its fuse, or what heats it.
        dropping_a: Current of which it may take no more than the voltage.
        allowed_v: That voltage.

    Returns:
        The area; None where no size will do, or where something unknown decides.
    """
    for size in wire_sizes(calc, laying.conductor):
        hot = hot_resistance(calc, size, laying.conductor_degc)
        resistance = calc(wire_ohm, resistance_ohm_per_m=hot, length_m=laying.length_m)
        taken = calc(drop_v, current_a=dropping_a, resistance_ohm=resistance)
        carries = ampacity(calc, size, laying)
        over = (exceeds(carried_a, carries), exceeds(taken, allowed_v))
        if over == (False, False):
            if isinstance(carried_a, Range) or isinstance(taken, Range):
                return size.area_m2
            return calc(
                chosen_area_m2,
                area_m2=size.area_m2,
                carried_a=carried_a,
                ampacity_a=carries,
                taken_v=taken,
                allowed_v=allowed_v,
            )
        if True not in over:
            return None
    return None
