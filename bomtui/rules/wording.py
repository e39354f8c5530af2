"""Sentences of findings: the one place where numbers and names become text."""

from collections.abc import Sequence
from math import isinf

from bomtui.model.bound import Range, Value
from bomtui.model.finding import Finding, Status, Verdict
from bomtui.model.quantity import DIMENSIONS, display, number_text
from bomtui.rules.context import Rule

UNKNOWN = "unknown"

_DIMENSION_OF_UNIT = {dimension.si_unit: name for name, dimension in reversed(DIMENSIONS.items())}


def printed(value: Value | str, unit: str) -> str:
    """Write what a verdict measured, or its limit, as findings and acceptances carry it.

    Args:
        value: A number in the unit, a range, words, or None for an unknown.
        unit: Unit in which the model holds the quantity; empty for words and counts.
    """
    if value is None:
        return UNKNOWN
    if isinstance(value, str):
        return value
    if not isinstance(value, Range):
        return _number(value, unit)
    if isinf(value.high):
        return UNKNOWN if isinf(value.low) else f">= {_number(value.low, unit)}"
    if value.low <= 0:
        return f"<= {_number(value.high, unit)}"
    low, high = _number(value.low, unit), _number(value.high, unit)
    return low if low == high else f"{low} to {high}"


def worded(rule: Rule, verdict: Verdict, status: Status) -> Finding:
    """Turn a failed or undecided verdict into a finding with its sentences.

    Raises:
        KeyError: The sentences of the rule name a fact that the verdict does not give.
    """
    template = rule.failed if verdict.outcome == "failed" else rule.undecided
    values = {
        **verdict.facts,
        "place": verdict.place,
        "measured": printed(verdict.measured, verdict.unit),
        "limit": printed(verdict.limit, verdict.unit),
    }
    return Finding(
        rule=rule.name,
        severity=verdict.severity or rule.severity,
        place=verdict.place,
        message=template.format_map(values),
        remedy=rule.remedy.format_map(values),
        measured=verdict.measured,
        limit=verdict.limit,
        unit=verdict.unit,
        outcome=verdict.outcome,
        status=status,
        need=verdict.need,
    )


def listed(names: Sequence[str]) -> str:
    """Write names in a row: `E05`, `E05 and E06`, `E05, E06 and E07`; `nothing` for none."""
    if not names:
        return "nothing"
    first = ", ".join(names[:-1])
    return f"{first} and {names[-1]}" if first else names[-1]


def counted(number: int, one: str, many: str = "") -> str:
    """Write how many there are of something: `1 pin`, `2 pins`."""
    return f"{number} {one if number == 1 else many or one + 's'}"


def _number(value: float, unit: str) -> str:
    return display(value, _DIMENSION_OF_UNIT[unit], unicode=False) if unit else number_text(value)
