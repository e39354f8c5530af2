"""Values of a part that can hardly be meant, by its kind, each with its likely cause.

The bounds are wide on purpose: they find a unit read a thousand times too large or too small, or a blank written as 0,
not an unusual part (all bounds: common practice, no source).
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from bomtui.model.fields import FieldInfo, field_table
from bomtui.model.parameter import Parameter
from bomtui.model.part import DRIVER_KINDS, PART_KINDS, Part
from bomtui.model.quantity import display


@dataclass(frozen=True, slots=True)
class Bounds:
    """Plausible values of a field.

    Attributes:
        lowest: The lowest one, in the unit of the model.
        highest: The highest one.
        too_low: Likely cause of a lower one.
        too_high: Likely cause of a higher one.
    """

    lowest: float
    highest: float
    too_low: str
    too_high: str


_BLANK = "a blank cell written as 0"
_MILLI_AS_WHOLE = "milliamperes or microamperes read as amperes"
_SWITCHES: frozenset[str] = frozenset((*DRIVER_KINDS, "fet", "reverse"))
_ACTIVE = frozenset(PART_KINDS) - {"passive", "connector", "board", "housing"}

BOUNDS: Mapping[str, tuple[frozenset[str], Bounds]] = {
    "rds_on": (_SWITCHES, Bounds(1e-4, 100.0, _BLANK, "mohm read as ohm")),
    "saturation": (_SWITCHES, Bounds(0.01, 10.0, _BLANK, "mV read as V")),
    "current_all": (_SWITCHES, Bounds(1e-3, 1000.0, _BLANK, "mA read as A")),
    "current_one": (_SWITCHES, Bounds(1e-3, 1000.0, _BLANK, "mA read as A")),
    "current_limit": (_SWITCHES, Bounds(1e-3, 2000.0, _BLANK, "mA read as A")),
    "standby_current": (_ACTIVE, Bounds(0.0, 0.2, "", _MILLI_AS_WHOLE)),
    "theta_ja": (_ACTIVE, Bounds(0.5, 1000.0, _BLANK, "K/mW taken for K/W")),
    "junction_max": (_ACTIVE, Bounds(60.0, 300.0, _BLANK, "kelvin or degrees Fahrenheit taken for degrees Celsius")),
    "operating_max": (_ACTIVE, Bounds(0.5, 200.0, _BLANK, "mV read as V")),
    "absolute_max": (_ACTIVE, Bounds(0.5, 300.0, _BLANK, "mV read as V")),
    "efficiency": (_ACTIVE, Bounds(0.2, 1.0, "per cent read as a share twice", "")),
    "output": (_ACTIVE, Bounds(0.4, 100.0, _BLANK, "mV read as V")),
}
"""Fields by key, with the kinds for which a bound holds."""

_FIELDS = {info.key: info for info in field_table(Part) if info.key in BOUNDS}


def part_doubts(kind: str, values: Mapping[str, Any]) -> list[str]:
    """Say what of a part can hardly be meant, one sentence each.

    Args:
        kind: Kind of the part.
        values: Its fields that a row gives, by name.
    """
    found = []
    for key, (kinds, bounds) in BOUNDS.items():
        info = _FIELDS[key]
        if kind in kinds and info.name in values:
            found += [_sentence(info, bounds, number) for number in _outside(values[info.name], bounds)]
    moq, breaks = values.get("moq"), values.get("breaks") or ()
    if moq and breaks and breaks[-1].quantity < moq:
        found.append(
            f"all prices hold below the smallest order of {moq}; likely cause: the column of order quantities exchanged"
        )
    return found


def _outside(value: Any, bounds: Bounds) -> list[float]:  # noqa: ANN401 - a quantity or a parameter
    numbers = [value.min, value.typ, value.max] if isinstance(value, Parameter) else [value]
    return [number for number in numbers if number is not None and not bounds.lowest <= number <= bounds.highest][:1]


def _sentence(info: FieldInfo, bounds: Bounds, number: float) -> str:
    cause = bounds.too_low if number < bounds.lowest else bounds.too_high
    shown = display(number, info.dimension, unicode=False)
    return f"{info.key.replace('_', ' ')} of {shown} can hardly be meant; likely cause: {cause}"
