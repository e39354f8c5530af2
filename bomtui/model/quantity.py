"""Physical dimensions of the model and the text of a quantity.

Inside the model every quantity is a float in one unit per dimension, and the unit is in the field's name
(`current_a`, `rds_on_ohm`, `ambient_degc`). This module knows those dimensions, writes a quantity as the one text that
a file carries (`text`, exact), and as the text that a person reads on a screen (`display`, rounded). Reading text is
the job of `bomtui.units`.

Source of the units and prefixes: The International System of Units (SI brochure), 9th edition, tables 2, 4, 7 and 8.
Binary multiples: IEC 80000-13:2008 clause 4.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Context, Decimal
from functools import lru_cache

MAX_SIGNIFICANT_DIGITS = 6
"""No figure is printed with more digits than this: platforms may differ in the last bits of a float."""

# Wide enough that a division of a float's shortest decimal text by any factor of the table that ends at all ends here.
_EXACT = Context(prec=60, rounding=ROUND_HALF_UP)
# A longer mantissa than this is a repeating decimal cut off by the context above, hence not exact.
_LONGEST_EXACT_DIGITS = 50

# Outside of these powers of ten, and outside of all prefixes, plain digits are harder to read than an exponent.
_PLAIN_LOWEST = -6
_PLAIN_HIGHEST = 8


@dataclass(frozen=True, slots=True)
class Dimension:
    """One kind of quantity.

    Attributes:
        name: Key in `DIMENSIONS`.
        suffix: Ending of a field name that holds the quantity, with its underscore (`_k_per_w`).
        si_unit: Unit of the float in the model, canonical ASCII text; "1" for a ratio.
        label: Words for messages ("current").
        units: The units that `text` may write, each with its exact factor to `si_unit`, smallest first.
    """

    name: str
    suffix: str
    si_unit: str
    label: str
    units: tuple[tuple[str, Decimal], ...]

    @property
    def home_unit(self) -> str:
        """Unit in which zero is written, and the one that messages name: `si_unit`, or "%" for a ratio."""
        return self.si_unit if any(unit == self.si_unit for unit, _ in self.units) else self.units[0][0]

    def factor(self, unit: str) -> Decimal:
        """Exact factor of a canonical unit to `si_unit`.

        Raises:
            ValueError: The unit is not one that this dimension is written in.
        """
        for known, factor in self.units:
            if known == unit:
                return factor
        known_units = ", ".join(known for known, _ in self.units)
        raise ValueError(f"a {self.label} is not written in {unit}, only in {known_units}")


def _dimension(name: str, suffix: str, si_unit: str, label: str, units: str) -> Dimension:
    """Build a dimension from "unit=factor" words."""
    pairs = tuple((unit, Decimal(factor)) for unit, factor in (word.split("=") for word in units.split()))
    return Dimension(name, suffix, si_unit, label, pairs)


# The millifarad is left out on purpose: the trade writes 4700 uF.
# A battery's charge is written in ampere-hours, a gate charge in coulombs: same quantity, two habits, two dimensions.
# So it is with the area of a board (dm2) and the cross-section of a wire (always mm2).
DIMENSIONS: dict[str, Dimension] = {
    dimension.name: dimension
    for dimension in (
        _dimension("current", "_a", "A", "current", "pA=1e-12 nA=1e-9 uA=1e-6 mA=1e-3 A=1 kA=1e3"),
        _dimension("voltage", "_v", "V", "voltage", "uV=1e-6 mV=1e-3 V=1 kV=1e3"),
        _dimension("power", "_w", "W", "power", "nW=1e-9 uW=1e-6 mW=1e-3 W=1 kW=1e3 MW=1e6"),
        _dimension("resistance", "_ohm", "ohm", "resistance", "uohm=1e-6 mohm=1e-3 ohm=1 kohm=1e3 Mohm=1e6"),
        _dimension("temperature", "_degc", "degC", "temperature", "degC=1"),
        _dimension("temperature_difference", "_k", "K", "temperature difference", "K=1"),
        _dimension("thermal_resistance", "_k_per_w", "K/W", "thermal resistance", "K/W=1"),
        _dimension("heat_capacity", "_j_per_k", "J/K", "heat capacity", "uJ/K=1e-6 mJ/K=1e-3 J/K=1"),
        _dimension("time", "_s", "s", "time", "ns=1e-9 us=1e-6 ms=1e-3 s=1 min=60 h=3600 d=86400"),
        _dimension("frequency", "_hz", "Hz", "frequency", "Hz=1 kHz=1e3 MHz=1e6 GHz=1e9"),
        _dimension("inductance", "_h", "H", "inductance", "nH=1e-9 uH=1e-6 mH=1e-3 H=1"),
        _dimension("capacitance", "_f", "F", "capacitance", "pF=1e-12 nF=1e-9 uF=1e-6 F=1"),
        _dimension("energy", "_j", "J", "energy", "nJ=1e-9 uJ=1e-6 mJ=1e-3 J=1 kJ=1e3 MJ=1e6"),
        _dimension("charge", "_as", "As", "charge", "As=1 mAh=3.6 Ah=3600"),
        _dimension("gate_charge", "_c", "C", "gate charge", "pC=1e-12 nC=1e-9 uC=1e-6 mC=1e-3 C=1"),
        _dimension("ratio", "_ratio", "1", "ratio", "%=0.01"),
        _dimension("length", "_m", "m", "length", "um=1e-6 mm=1e-3 m=1 km=1e3"),
        _dimension("area", "_m2", "m2", "area", "mm2=1e-6 cm2=1e-4 dm2=1e-2 m2=1"),
        _dimension("cross_section", "_m2", "m2", "cross-section", "mm2=1e-6"),
        _dimension("mass", "_kg", "kg", "mass", "mg=1e-6 g=1e-3 kg=1"),
        _dimension("bit_rate", "_bit_per_s", "bit/s", "bit rate", "bit/s=1 kbit/s=1e3 Mbit/s=1e6 Gbit/s=1e9"),
        _dimension("data_size", "_byte", "byte", "data size", "byte=1 KiB=1024 MiB=1048576 GiB=1073741824"),
        _dimension("temperature_coefficient", "_per_k", "1/K", "temperature coefficient", "ppm/K=1e-6 %/K=1e-2"),
        _dimension("i2t", "_a2s", "A2s", "melting integral", "A2s=1"),
        _dimension("attenuation", "_db", "dB", "attenuation", "dB=1"),
        _dimension("attenuation_per_length", "_db_per_m", "dB/m", "attenuation per length", "dB/m=1"),
        _dimension("power_level", "_dbm", "dBm", "power level", "dBm=1"),
        _dimension("angle", "_deg", "deg", "angle", "deg=1"),
        _dimension("capacitance_per_length", "_f_per_m", "F/m", "capacitance per length", "pF/m=1e-12 nF/m=1e-9"),
        _dimension(
            "resistance_per_length", "_ohm_per_m", "ohm/m", "resistance per length", "uohm/m=1e-6 mohm/m=1e-3 ohm/m=1"
        ),
        _dimension("inductance_per_length", "_h_per_m", "H/m", "inductance per length", "nH/m=1e-9 uH/m=1e-6"),
        _dimension("time_per_length", "_s_per_m", "s/m", "delay per length", "ps/m=1e-12 ns/m=1e-9 us/m=1e-6"),
        _dimension("slew_rate", "_v_per_s", "V/s", "slew rate", "V/s=1 V/ms=1e3 V/us=1e6 V/ns=1e9"),
    )
}

CACHED_TEXTS = 65_536
"""Written numbers kept: after an edit most figures of a screen are the same again."""

_SUFFIXES = sorted({dimension.suffix for dimension in DIMENSIONS.values()}, key=len, reverse=True)

_UNICODE_PARTS = (
    ("degC", "\N{DEGREE SIGN}C"),
    ("ohm", "\N{GREEK CAPITAL LETTER OMEGA}"),
    ("A2s", "A\N{SUPERSCRIPT TWO}s"),
    ("m2", "m\N{SUPERSCRIPT TWO}"),
)


def dimension_named(name: str) -> Dimension:
    """Look up a dimension by its name.

    Raises:
        ValueError: There is no such dimension.
    """
    try:
        return DIMENSIONS[name]
    except KeyError:
        raise ValueError(f"there is no dimension named {name!r}") from None


def field_key(name: str, dimension: str | None = None) -> str:
    """Strip the unit suffix of a field name: the key under which a file carries the field.

    Args:
        name: Field name, `rated_power_w` or `theta_ja_k_per_w`.
        dimension: The field's dimension. Without it the longest known suffix is stripped, if there is one.

    Returns:
        The name without the suffix: `rated_power`, `theta_ja`.

    Raises:
        ValueError: The name does not end in the suffix of the given dimension, or consists of nothing else.
    """
    suffixes = _SUFFIXES if dimension is None else [dimension_named(dimension).suffix]
    for suffix in suffixes:
        if name.endswith(suffix) and len(name) > len(suffix):
            return name[: -len(suffix)]
    if dimension is None:
        return name
    raise ValueError(f"the field {name} holds a {dimension_named(dimension).label} and must end in {suffixes[0]}")


def text(value: float, dimension: str) -> str:
    """Write a quantity as the one canonical text, which reads back to exactly the same float.

    ASCII, a unit in which the number has one to three digits before the point where one exists, no exponent within
    the reach of the prefixes. Minus zero is written as zero.

    Args:
        value: In the dimension's `si_unit`.
        dimension: Key of `DIMENSIONS`.

    Raises:
        ValueError: The value is not a finite number, or the dimension is not known.
    """
    kind = dimension_named(dimension)
    number = _exact(value)
    if not number:
        return f"0 {kind.home_unit}"
    si_length = len(_plain(number))
    exact: list[tuple[str, Decimal, str, Decimal]] = []
    for unit, factor in kind.units:
        mantissa = _EXACT.divide(number, factor)
        if not _is_power_of_ten(factor):
            digits = len(mantissa.normalize(_EXACT).as_tuple().digits)
            # 90.5 min reads better than 5430 s; 1.46875 KiB does not read better than 1504 byte.
            if digits > _LONGEST_EXACT_DIGITS or len(_plain(mantissa)) > si_length:
                continue
        exact.append((unit, factor, _plain(mantissa), mantissa))
    fitting = [entry for entry in exact if 1 <= abs(entry[3]) < 1000]
    if fitting:
        unit, _, written, _ = min(fitting, key=lambda entry: (len(entry[2]), -entry[1]))
        return f"{written} {unit}"
    above = [entry for entry in exact if abs(entry[3]) >= 1]
    unit, _, written, mantissa = above[-1] if above else exact[0]
    if _PLAIN_LOWEST <= mantissa.adjusted() <= _PLAIN_HIGHEST:
        return f"{written} {unit}"
    return f"{_scientific(_EXACT.divide(number, kind.factor(kind.home_unit)))} {kind.home_unit}"


def number_text(value: float) -> str:
    """Write a bare number as canonical text that reads back to exactly the same float.

    Raises:
        ValueError: The value is not a finite number.
    """
    number = _exact(value)
    if not number:
        return "0"
    return _plain(number) if _PLAIN_LOWEST <= number.adjusted() <= _PLAIN_HIGHEST else _scientific(number)


def number_in(value: float, dimension: str, unit: str) -> str:
    """Write only the number of a quantity, in a given unit, so that it reads back to exactly the same float.

    Args:
        value: In the dimension's `si_unit`.
        dimension: Key of `DIMENSIONS`.
        unit: Canonical text of one of the dimension's units.

    Raises:
        ValueError: The value is not a finite number, or the dimension is not known or not written in this unit.
    """
    number = _EXACT.divide(_exact(value), dimension_named(dimension).factor(unit))
    return _plain(number) if number else "0"


@lru_cache(maxsize=CACHED_TEXTS, typed=True)
def display(value: float, dimension: str, *, digits: int = 4, unicode: bool = True) -> str:
    """Write a quantity for a person: rounded, in the unit that suits its size.

    Args:
        value: In the dimension's `si_unit`.
        dimension: Key of `DIMENSIONS`.
        digits: Significant digits at most, 1 to `MAX_SIGNIFICANT_DIGITS`; trailing zeros after the point are dropped.
        unicode: Write the unit's own signs (micro, omega, degree, superscript two) instead of their ASCII spelling.

    Raises:
        ValueError: The value is not a finite number, the dimension is not known, or digits is out of range.
    """
    kind = dimension_named(dimension)
    number = _exact(value)
    unit = _display_unit(number, kind, digits)
    return f"{_rounded(number, kind, unit, digits)} {unit_label(unit, unicode=unicode)}"


@lru_cache(maxsize=CACHED_TEXTS, typed=True)
def display_number(value: float, dimension: str, unit: str, digits: int = 4) -> str:
    """Write only the number of a quantity, in a given unit, for a column whose header carries the unit.

    Args:
        value: In the dimension's `si_unit`.
        dimension: Key of `DIMENSIONS`.
        unit: Canonical text of one of the dimension's units.
        digits: Significant digits at most, 1 to `MAX_SIGNIFICANT_DIGITS`.

    Raises:
        ValueError: As for `display`, or the dimension is not written in this unit.
    """
    return _rounded(_exact(value), dimension_named(dimension), unit, digits)


def unit_label(unit: str, *, unicode: bool = True) -> str:
    """Write a canonical unit text with its own signs: "uA" as "µA", "mm2" as "mm²", "degC" as "°C"."""
    if not unicode:
        return unit
    if unit == "deg":
        return "\N{DEGREE SIGN}"
    for ascii_part, sign in _UNICODE_PARTS:
        unit = unit.replace(ascii_part, sign)
    return "/".join(
        f"\N{MICRO SIGN}{part[1:]}" if part.startswith("u") and len(part) > 1 else part for part in unit.split("/")
    )


def _exact(value: object) -> Decimal:
    """Return the shortest decimal number that reads back to the float."""
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not _is_finite(value):
        raise ValueError(f"a quantity is a finite number, not {value!r}")
    return Decimal(repr(float(value)))


def _is_finite(value: float) -> bool:
    try:
        return math.isfinite(value)
    except OverflowError:
        # A whole number beyond the range of a float.
        return False


def _is_power_of_ten(factor: Decimal) -> bool:
    return factor.normalize(_EXACT).as_tuple().digits == (1,)


def _plain(number: Decimal) -> str:
    """Write a decimal number without exponent and without trailing zeros."""
    return format(number.normalize(_EXACT), "f")


def _scientific(number: Decimal) -> str:
    """Write a decimal number with an exponent, as 1.5e-20."""
    return format(number.normalize(_EXACT), "e").replace("e+", "e")


def _display_unit(number: Decimal, kind: Dimension, digits: int) -> str:
    """Choose the largest unit in which the rounded number is at least 1, else the smallest unit."""
    if not number:
        return kind.home_unit
    chosen = kind.units[0][0]
    for unit, factor in kind.units:
        if abs(_round(_EXACT.divide(number, factor), digits)) >= 1:
            chosen = unit
    if not _PLAIN_LOWEST <= _EXACT.divide(number, kind.factor(chosen)).adjusted() <= _PLAIN_HIGHEST:
        return kind.home_unit
    return chosen


def _rounded(number: Decimal, kind: Dimension, unit: str, digits: int) -> str:
    """Write a number of SI units in a unit of its dimension, rounded half up to significant digits."""
    rounded = _round(_EXACT.divide(number, kind.factor(unit)), digits)
    if not rounded:
        return "0"
    return _plain(rounded) if _PLAIN_LOWEST <= rounded.adjusted() <= _PLAIN_HIGHEST else _scientific(rounded)


def _round(number: Decimal, digits: int) -> Decimal:
    """Round half up to significant digits."""
    if not 1 <= digits <= MAX_SIGNIFICANT_DIGITS:
        raise ValueError(f"a figure is written with 1 to {MAX_SIGNIFICANT_DIGITS} significant digits, not {digits}")
    return number.normalize(Context(prec=digits, rounding=ROUND_HALF_UP))
