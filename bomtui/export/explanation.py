"""How a figure came about, as text for people and as a record for programs."""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from math import isinf
from typing import Any

from bomtui.engine.calc import UNTRACED, Step
from bomtui.model.bound import Range
from bomtui.model.money import Total
from bomtui.model.plain_text import clean
from bomtui.model.quantity import DIMENSIONS, MAX_SIGNIFICANT_DIGITS

INDENT = "  "
GATHERED = ("sum", "largest")
"""Steps whose inputs are terms of one kind."""


@dataclass(frozen=True, slots=True)
class Explanation:
    """A figure with all that led to it.

    Attributes:
        name: Name of the figure.
        value: Its value; None where nothing is known.
        origin: The step that made it, or the field it stands in.
    """

    name: str
    value: float | Decimal | Range | Total | None
    origin: str | Step


def explanation_text(explanation: Explanation) -> str:
    """Write an explanation as indented lines: formula, source, inputs with their origins, down to the fields.

    A step that several figures share is written out once and named afterwards. Numbers stand in the SI unit of their
    name, so that each printed formula can be evaluated from its printed inputs.
    """
    unit = _unit_of(explanation.name.partition(":")[2].partition("@")[0].partition("/")[0])
    unit = unit or _unit_of_origin(explanation.origin)
    lines = [f"{explanation.name} = {number_text(explanation.value)}{unit}"]
    if isinstance(explanation.origin, Step):
        lines.extend(_step_lines(explanation.origin, 1, {}, unit))
    elif explanation.value is not None:
        lines.append(f"{INDENT}from {clean(explanation.origin)}")
    return "\n".join(lines) + "\n"


def explanation_record(explanation: Explanation) -> dict[str, Any]:
    """Return an explanation as plain records, steps nested."""
    return {
        "format": 1,
        "figure": explanation.name,
        **_value_record(explanation.value),
        "origin": _origin_record(explanation.origin),
    }


def number_text(value: object) -> str:
    """Write a number: floats with at most 6 significant digits, exact numbers whole, ranges as bounds."""
    if value is None:
        return "unknown"
    if isinstance(value, Total):
        missing = f" and {value.unknown} unknown" if value.unknown else ""
        return f"{'at least ' if value.unknown else ''}{value.amount}{missing}"
    if isinstance(value, Range):
        names = ", ".join(sorted(clean(name) for name in value.unknown))
        return f"{_bounds_text(value)} ({len(value.unknown)} unknown: {names})"
    if isinstance(value, float):
        return f"{float(value):.{MAX_SIGNIFICANT_DIGITS}g}"
    return str(value)


def _bounds_text(value: Range) -> str:
    if isinf(value.high):
        return "unbounded" if isinf(value.low) else f"at least {float(value.low):.{MAX_SIGNIFICANT_DIGITS}g}"
    if isinf(value.low) or not value.low:
        return f"at most {float(value.high):.{MAX_SIGNIFICANT_DIGITS}g}"
    return f"{float(value.low):.{MAX_SIGNIFICANT_DIGITS}g} to {float(value.high):.{MAX_SIGNIFICANT_DIGITS}g}"


def _step_lines(step: Step, depth: int, seen: dict[int, str], unit: str) -> Iterator[str]:
    pad = INDENT * depth
    seen[id(step)] = step.name
    yield f"{pad}= {step.text}{f'   [{step.source}]' if step.source else ''}"
    for name, value, origin in step.inputs:
        # The terms of a sum bear the names of places; their unit is that of the sum.
        own = unit if step.text in GATHERED else _unit_of(name)
        label = f"{pad}{INDENT}{clean(name)} = {number_text(value)}{own}"
        if isinstance(origin, Step):
            if id(origin) in seen:
                yield f"{label}   (as above: {seen[id(origin)]})"
                continue
            yield label
            yield from _step_lines(origin, depth + 2, seen, own)
        elif value is None:
            yield label
        else:
            yield f"{label}   <- {clean(origin)}"


def _unit_of_origin(origin: str | Step) -> str:
    return f" {origin.unit}" if isinstance(origin, Step) and origin.unit else ""


def _unit_of(name: str) -> str:
    matches = [dimension for dimension in DIMENSIONS.values() if name.endswith(dimension.suffix)]
    if not matches:
        return ""
    unit = max(matches, key=lambda dimension: len(dimension.suffix)).si_unit
    return "" if unit == "1" else f" {unit}"


def _value_record(value: object) -> dict[str, Any]:
    if isinstance(value, Total):
        return {"value": str(value.amount), "bound": "at_least" if value.unknown else "exact", "unknown": value.unknown}
    if isinstance(value, Range):
        low, high = (None if isinf(end) else float(end) for end in (value.low, value.high))
        bound = "at_least" if high is None or low else "at_most"
        return {
            "value": low if bound == "at_least" else high,
            "bound": bound,
            "low": low,
            "high": high,
            "unknown": len(value.unknown),
            "missing": sorted(value.unknown),
        }
    if value is None:
        return {"value": None, "bound": "at_least", "unknown": 1}
    plain = float(value) if isinstance(value, float) else int(value) if isinstance(value, int) else str(value)
    return {"value": plain, "bound": "exact", "unknown": 0}


def _origin_record(origin: str | Step) -> Any:  # noqa: ANN401 - text or a nested record
    if not isinstance(origin, Step):
        return None if origin == UNTRACED else origin
    return {
        "formula": origin.text,
        "name": origin.name,
        "unit": origin.unit,
        "source": origin.source,
        "inputs": [
            {"name": name, **_value_record(value), "origin": _origin_record(source)}
            for name, value, source in origin.inputs
        ],
    }
