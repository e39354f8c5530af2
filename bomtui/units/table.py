"""Units that are read without the unit library: what the program writes itself, and what people usually write.

Opening a proposal needs nothing else. A token is in the ASCII of `grammar.ascii_unit`, case kept.

Sources: prefixes and units of the SI brochure, 9th edition, tables 2, 4, 7 and 8 (minute, hour, day, degree). Watt-hour
and ampere-hour follow from the hour. kB, MB and GB as powers of 1024, and kbit, Mbit and Gbit of a memory likewise:
JEDEC JESD100B.01, the usage of the semiconductor trade; KiB, MiB and GiB: IEC 80000-13:2008 clause 4. Inch, mil
(0.001 in) and degree Fahrenheit: NIST SP 811 (2008), appendix B.8. Spellings such as VDC, Ohms or sec: common practice.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from bomtui.units.grammar import LetterMark


@dataclass(frozen=True, slots=True)
class Unit:
    """What one unit text means: (number - shift) * factor / divisor is the value in the model's unit of the dimension.

    Attributes:
        dimension: Key of `DIMENSIONS`.
        factor: Exact factor to the dimension's unit in the model.
        shift: Zero point of the scale in this unit; only scales of temperature have one.
        divisor: Keeps a factor exact that no decimal number can hold.
    """

    dimension: str
    factor: Decimal
    shift: Decimal = Decimal(0)
    divisor: Decimal = Decimal(1)


# The same quantity under two habits of writing: a unit of one is a unit of the other.
SAME_QUANTITY = {"gate_charge": "charge", "cross_section": "area"}

_PREFIXES = {
    "f": "1e-15",
    "p": "1e-12",
    "n": "1e-9",
    "u": "1e-6",
    "m": "1e-3",
    "c": "1e-2",
    "d": "1e-1",
    "": "1",
    "k": "1e3",
    "M": "1e6",
    "G": "1e9",
    "T": "1e12",
}

# dimension, factor of the symbol, prefixes it is read with ("-" is none), symbols
_ROWS = (
    ("current", "1", "fpnum-kM", "A Amp Amps amp amps ampere amperes Ampere"),
    ("voltage", "1", "num-kM", "V VDC Vdc Volt Volts volt volts"),
    ("power", "1", "pnum-kMG", "W Watt Watts watt watts"),
    ("resistance", "1", "num-kMGT", "ohm ohms Ohm Ohms OHM"),
    ("resistance", "1", "-", "R"),
    ("resistance", "1e3", "-", "kilohm kilohms"),
    ("resistance", "1e6", "-", "megohm megohms"),
    ("temperature", "1", "-", "degC"),
    ("temperature_difference", "1", "m-", "K"),
    ("thermal_resistance", "1", "m-", "K/W"),
    ("thermal_resistance", "1", "-", "degC/W"),
    ("thermal_resistance", "1e3", "-", "K/mW degC/mW"),
    ("heat_capacity", "1", "um-k", "J/K J/degC Ws/K W.s/K"),
    ("time", "1", "fpnum-", "s sec second seconds"),
    ("time", "60", "-", "min minute minutes"),
    ("time", "3600", "-", "h hr hour hours"),
    ("time", "86400", "-", "d day days"),
    ("frequency", "1", "m-kMG", "Hz"),
    ("inductance", "1", "pnum-", "H"),
    ("capacitance", "1", "fpnum-", "F"),
    ("energy", "1", "pnum-kMG", "J Ws W.s"),
    ("energy", "3600", "num-kM", "Wh W.h"),
    ("charge", "1", "fpnum-k", "C As A.s"),
    ("charge", "3600", "num-k", "Ah A.h"),
    ("ratio", "1e-2", "-", "%"),
    ("ratio", "1e-6", "-", "ppm"),
    ("length", "1", "numcd-k", "m"),
    ("length", "0.0254", "-", "in inch"),
    ("length", "0.0000254", "-", "mil mils"),
    ("area", "1", "-", "m2"),
    ("area", "1e-2", "-", "dm2"),
    ("area", "1e-4", "-", "cm2"),
    ("area", "1e-6", "-", "mm2"),
    ("area", "1e-12", "-", "um2"),
    ("mass", "1e-3", "num-k", "g"),
    ("mass", "1e3", "-", "t"),
    ("bit_rate", "1", "-kMG", "bit/s bps"),
    ("bit_rate", "8", "-", "byte/s B/s"),
    ("data_size", "1", "-", "B byte bytes"),
    ("data_size", "1024", "-", "kB KB KiB kbyte KByte"),
    ("data_size", "1048576", "-", "MB MiB Mbyte MByte"),
    ("data_size", "1073741824", "-", "GB GiB Gbyte GByte"),
    ("data_size", "0.125", "-", "bit"),
    ("data_size", "128", "-", "kbit Kbit Kibit"),
    ("data_size", "131072", "-", "Mbit Mibit"),
    ("data_size", "134217728", "-", "Gbit Gibit"),
    ("temperature_coefficient", "1", "-", "1/K /K 1/degC /degC"),
    ("temperature_coefficient", "1e-2", "-", "%/K %/degC"),
    ("temperature_coefficient", "1e-6", "-", "ppm/K ppm/degC"),
    ("i2t", "1", "-", "A2s A2.s"),
    ("i2t", "1e6", "-", "kA2s kA2.s"),
    ("attenuation", "1", "-", "dB"),
    ("attenuation_per_length", "1", "-", "dB/m"),
    ("attenuation_per_length", "1e-3", "-", "dB/km"),
    ("power_level", "1", "-", "dBm"),
    ("angle", "1", "-", "deg"),
    ("capacitance_per_length", "1", "pnu-", "F/m"),
    ("capacitance_per_length", "1e-3", "pnu", "F/km"),
    ("resistance_per_length", "1", "um-", "ohm/m Ohm/m"),
    ("resistance_per_length", "1e-3", "m-", "ohm/km Ohm/km"),
    ("inductance_per_length", "1", "num-", "H/m"),
    ("inductance_per_length", "1e-3", "um", "H/km"),
    ("time_per_length", "1", "pnum-", "s/m"),
    ("slew_rate", "1", "m-k", "V/s"),
    ("slew_rate", "1e3", "m-k", "V/ms"),
    ("slew_rate", "1e6", "m-k", "V/us"),
    ("slew_rate", "1e9", "m-k", "V/ns"),
)


def _build() -> dict[str, Unit]:
    units: dict[str, Unit] = {
        "degF": Unit("temperature", Decimal(5), shift=Decimal(32), divisor=Decimal(9)),
    }
    for dimension, factor, prefixes, symbols in _ROWS:
        for symbol in symbols.split():
            for prefix in prefixes.replace("-", "\0"):
                scale = "" if prefix == "\0" else prefix
                token = scale + symbol
                if token in units:
                    raise ValueError(f"the unit table holds {token} twice")
                units[token] = Unit(dimension, Decimal(_PREFIXES[scale]) * Decimal(factor))
    return units


UNITS: dict[str, Unit] = _build()
"""Unit text in ASCII -> meaning."""


def _letter_mark(symbol: str, unit_letters: str, prefixes: dict[str, str], closing: str) -> LetterMark:
    letters = dict.fromkeys(unit_letters, symbol)
    letters |= {letter: prefix + symbol for letter, prefix in prefixes.items()}
    return LetterMark(symbol, letters, frozenset(closing))


_SMALL = {"p": "p", "n": "n", "u": "u", "\N{MICRO SIGN}": "u", "m": "m"}

LETTER_MARKS: dict[str, LetterMark] = {
    # IEC 60062 writes milli as L and kilo as K; m and k are in use too.
    "resistance": _letter_mark(
        "ohm", "R\N{GREEK CAPITAL LETTER OMEGA}", {"L": "m", "m": "m", "k": "k", "K": "k", "M": "M", "G": "G"}, "RkKMG"
    ),
    "capacitance": _letter_mark("F", "F", _SMALL, "pnu\N{MICRO SIGN}"),
    "inductance": _letter_mark("H", "H", _SMALL, "nu\N{MICRO SIGN}"),
    "voltage": _letter_mark("V", "V", {}, ""),
    "current": _letter_mark("A", "A", {}, ""),
    "power": _letter_mark("W", "W", {}, ""),
}
"""Dimension -> letters that may stand for its decimal mark; the other dimensions have none."""
