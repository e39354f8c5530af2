"""Units outside of the static table, through pint: factors and dimensions only, never a person's whole text.

The library takes long to load, so it is imported on first use. There is one registry, built under a lock: its own
lazily built default registry reports known units as undefined when several threads use it first.
"""

from __future__ import annotations

import pickle
import re
import threading
from collections.abc import Mapping
from decimal import Decimal
from functools import lru_cache
from pathlib import Path
from typing import Any

from bomtui.units.table import UNITS, Unit

# Dimension -> expression of its unit in the model. A unit belongs to a dimension when both come down to the very same
# base units; radian, bit and count stay base units here, so that a speed of rotation is no frequency.
# Missing on purpose: ratios and levels, because logarithms have no factor; sizes of data, because the table counts
# multiples of a byte in powers of 1024 and pint in powers of 1000.
_MODEL_UNITS = {
    "current": "ampere",
    "voltage": "volt",
    "power": "watt",
    "resistance": "ohm",
    "temperature_difference": "kelvin",
    "thermal_resistance": "kelvin / watt",
    "heat_capacity": "joule / kelvin",
    "time": "second",
    "frequency": "1 / second",
    "inductance": "henry",
    "capacitance": "farad",
    "energy": "joule",
    "charge": "ampere * second",
    "length": "meter",
    "area": "meter ** 2",
    "mass": "kilogram",
    "bit_rate": "bit / second",
    "temperature_coefficient": "1 / kelvin",
    "i2t": "ampere ** 2 * second",
    "angle": "degree",
    "capacitance_per_length": "farad / meter",
    "resistance_per_length": "ohm / meter",
    "inductance_per_length": "henry / meter",
    "time_per_length": "second / meter",
    "slew_rate": "volt / second",
}

# Same base units, another quantity: a torque is no energy, an apparent power is no power.
_OTHER_QUANTITIES = re.compile("newton|force|volt_ampere")

# Short names that people mean. Other names of one or two letters are constants of physics, years, atomic masses or the
# grain (gr), which somebody writes for a gram.
_SHORT_NAMES = frozenset({"ft", "yd", "lb", "oz", "hp"})

# A prefix before any other unit is an accident of spelling: a milliyear (ma), a kibiyear (Kia).
_PREFIXED = frozenset(
    {
        "ampere",
        "ampere_hour",
        "bit",
        "byte",
        "calorie",
        "coulomb",
        "farad",
        "gram",
        "henry",
        "hertz",
        "joule",
        "kelvin",
        "meter",
        "newton",
        "ohm",
        "radian",
        "second",
        "volt",
        "volt_ampere",
        "watt",
        "watt_hour",
    }
)

# What a folder without access and a torn pickle raise.
_BROKEN_CACHE = (
    OSError,
    EOFError,
    ValueError,
    AttributeError,
    ImportError,
    IndexError,
    KeyError,
    TypeError,
    pickle.PickleError,
)

_build_lock = threading.Lock()


class _Registry:
    """The one registry and the base units of each dimension."""

    def __init__(self, cache_folder: Path | None) -> None:
        import pint

        self.errors = (pint.PintError, ValueError, TypeError, SyntaxError)
        # cache_folder=None is pint's own "no cache".
        self._pint: pint.UnitRegistry[Any] = pint.UnitRegistry(non_int_type=Decimal, cache_folder=cache_folder)
        self._dimensions = {}
        for dimension, expression in _MODEL_UNITS.items():
            factor, base = self._root(self._pint.parse_units(expression))
            self._dimensions[base] = (dimension, factor)

    def _root(self, unit: Any) -> tuple[Decimal, frozenset[tuple[str, Any]]]:  # noqa: ANN401 - pint's unit type is generic
        """Come down to base units; a zero that does not stay zero marks a scale, which has no factor."""
        one = self._pint.Quantity(Decimal(1), unit).to_root_units()
        zero = self._pint.Quantity(Decimal(0), unit).to_root_units()
        if zero.magnitude != 0:
            raise ValueError(f"{unit} is a scale, not a multiple")
        powers: Mapping[str, Any] = dict(one.unit_items())
        return Decimal(one.magnitude), frozenset(powers.items())

    def _is_plain_name(self, name: str) -> bool:
        """Say whether a name is one that a person means, and not a chance hit of a prefix and a symbol."""
        if name in _SHORT_NAMES:
            return True
        readings = self._pint.parse_unit_name(name)
        if len(readings) != 1:
            return False
        prefix, unit, _ = readings[0]
        return unit in _PREFIXED if prefix else len(name) > 2

    def unit(self, token: str) -> Unit | None:
        for name in re.findall("[A-Za-z]+", token):
            if name not in UNITS and not self._is_plain_name(name):
                return None
        parsed = self._pint.parse_units(_expression(token))
        if _OTHER_QUANTITIES.search(str(parsed)):
            return None
        factor, base = self._root(parsed)
        if base not in self._dimensions:
            return None
        dimension, model_factor = self._dimensions[base]
        return Unit(dimension, factor / model_factor)


class _Holder:
    """Where the registry is kept, and how it will be built."""

    cache_folder: Path | None = None
    registry: _Registry | None = None


def use_cache_folder(folder: Path | None) -> None:
    """Name the folder in which pint may keep its parsed definitions; it matters until the first unit is asked for."""
    with _build_lock:
        _Holder.cache_folder = folder


def warm_up() -> None:
    """Build the registry now, for example in a worker before it is needed."""
    _registry()


@lru_cache(maxsize=1024)
def find(token: str) -> Unit | None:
    """Look up a unit that the static table does not hold.

    Args:
        token: Unit text in ASCII that `grammar` has accepted as the form of a unit.

    Returns:
        Its meaning, or None where it is unknown, a scale instead of a multiple, or of no dimension of the model.
        A factor that is no finite decimal number (inches per hour) is exact to 28 digits.
    """
    if "%" in token:
        return None
    registry = _registry()
    try:
        return registry.unit(token)
    except registry.errors:
        return None


def _registry() -> _Registry:
    with _build_lock:
        if _Holder.registry is None:
            try:
                _Holder.registry = _Registry(_Holder.cache_folder)
            except _BROKEN_CACHE:
                # The cache only saves time: a folder that cannot be used, or a torn file in it, must not stop reading.
                _Holder.registry = _Registry(None)
        return _Holder.registry


def _expression(token: str) -> str:
    """Write a token in pint's grammar: powers with their operator, a degree beside other units as a difference."""
    expression = re.sub(r"([A-Za-z])([2-4])", r"\1**\2", token).replace(".", "*")
    if expression.startswith("/"):
        expression = f"1{expression}"
    if "/" in expression or "*" in expression:
        expression = re.sub(r"\bdeg([CF])\b", r"delta_deg\1", expression)
    return expression
