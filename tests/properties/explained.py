"""Explained figures: every step behind them, inputs that come from nowhere, formulas that do not give their value."""

import math
from collections.abc import Iterator
from decimal import ROUND_CEILING, Decimal
from typing import Any

from bomtui.engine.calc import UNTRACED, Step, origin_of
from bomtui.model.bound import Range, Value
from bomtui.model.money import Proportion, Total, round_half_up

Figures = dict[str, Value | Decimal | Total]


def _steps(origin: str | Step, seen: dict[int, Step]) -> Iterator[Step]:
    if isinstance(origin, Step) and id(origin) not in seen:
        seen[id(origin)] = origin
        yield origin
        for _, _, source in origin.inputs:
            yield from _steps(source, seen)


def all_steps(figures: Figures) -> list[Step]:
    """Every step behind some figures, each once."""
    seen: dict[int, Step] = {}
    found: list[Step] = []
    for value in figures.values():
        found.extend(_steps(origin_of(value.amount if isinstance(value, Total) else value), seen))
    return found


def without_origin(figures: Figures) -> tuple[set[tuple[str, str]], list[str]]:
    """Inputs of steps, and figures, that are neither a field, nor a reason, nor the result of a step."""
    untraced = {
        (step.name, name)
        for step in all_steps(figures)
        for name, value, origin in step.inputs
        if value is not None and origin == UNTRACED
    }
    bare = [
        name
        for name, value in figures.items()
        if value is not None and origin_of(value.amount if isinstance(value, Total) else value) == UNTRACED
    ]
    return untraced, bare


def wrong_steps(figures: Figures) -> tuple[list[tuple[object, ...]], int]:
    """Steps of which the printed formula, put to its printed inputs, gives another value; and how many were checked."""
    wrong: list[tuple[object, ...]] = []
    checked = 0
    for step in all_steps(figures):
        values = [value for _, value, _ in step.inputs]
        if step.value is None or any(value is None or isinstance(value, Range) for value in [*values, step.value]):
            continue
        checked += 1
        found = _evaluated(step)
        if not _agrees(found, step.value, values):
            wrong.append((step.name, step.text, values, step.value, found))
    return wrong, checked


def _left_over(order_base: Decimal, moq: int, multiple: int, years: int) -> Decimal:
    """Stock after the programme, by counting year by year (independent of the engine)."""
    stock = Decimal(0)
    for _ in range(int(years)):
        lack = order_base - stock
        if lack > 0:
            packs = (lack / multiple).to_integral_value(ROUND_CEILING)
            stock += max(Decimal(moq), packs * multiple)
        stock -= order_base
    return stock


_FUNCTIONS: dict[str, object] = {
    "max": max,
    "min": min,
    "log1p": math.log1p,
    "log": math.log,
    "exp": math.exp,
    "expm1": math.expm1,
    "log10": math.log10,
    "ceil": lambda number: Decimal(math.ceil(number)),
    "round": round_half_up,
    "left_over_after_years": _left_over,
    "__builtins__": {},
}


def _evaluated(step: Step) -> object:
    """Evaluate the printed text of a step from its printed inputs: floats at 6 significant digits."""
    inputs: dict[str, Any] = {
        name: float(f"{value:.6g}") if isinstance(value, float) else value for name, value, _ in step.inputs
    }
    if step.text == "sum":
        return sum(inputs.values()) if inputs else 0
    if step.text == "largest":
        return max(inputs.values(), default=0)
    if step.name == "largest remainder":
        total = inputs.pop("total")
        key = step.text.partition("[")[2].rstrip("]")
        weights = {name.strip(): weight for name, weight in inputs.items()}
        padded = {(f" {name}" if name in {"common", "reserve"} else name): weight for name, weight in weights.items()}
        shares = Proportion(padded).largest_remainder(total, 4) if len(padded) > 1 and any(padded.values()) else None
        wanted = f" {key}" if key in {"common", "reserve"} else key
        return total if shares is None else shares[wanted]
    return eval(step.text, dict(_FUNCTIONS), inputs)  # noqa: S307 - our own formula texts


def _agrees(found: Any, printed: Any, inputs: list[Any]) -> bool:  # noqa: ANN401 - any number
    """Exact numbers agree exactly; floats as far as 6 printed digits of the inputs carry through a difference."""
    if isinstance(printed, Decimal):
        return bool(found == printed)
    size = max((abs(value) for value in inputs if isinstance(value, float)), default=0.0)
    return math.isclose(found, printed, rel_tol=2e-5, abs_tol=1e-5 * size)
