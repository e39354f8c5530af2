"""A number in model or engine carries its unit in its name."""

import ast
from collections.abc import Iterator

import pytest

from tests.architecture.scan import UNIT_SUFFIXES, functions, parameters, parsed, python_files, relative

# File and name -> why a plain number is right there.
NAMELESS = {
    ("bomtui/engine/calc.py", "number"): "any traced number on its way to Decimal; its path names the field",
    ("bomtui/engine/channel_current.py", "parallel"): "a count of equal channels",
    ("bomtui/engine/chip_current.py", "channels"): "a count",
    ("bomtui/engine/chip_room.py", "channels"): "a count",
    ("bomtui/engine/dates.py", "days"): "days, as a calendar counts them",
    ("bomtui/engine/dates.py", "weeks"): "weeks, as lead times are given",
    ("bomtui/engine/purchase.py", "part_cost"): "money, in the currency of the proposal",
    ("bomtui/engine/purchase.py", "whole_cost"): "money, in the currency of the proposal",
    ("bomtui/engine/purchase.py", "rung_quantity"): "pieces",
    ("bomtui/engine/purchase.py", "order_quantity"): "pieces",
    ("bomtui/engine/reserve.py", "total"): "a count",
    ("bomtui/engine/reserve.py", "used"): "a count",
    ("bomtui/engine/diagnosis_coverage.py", "needed"): "a count of loads",
    ("bomtui/engine/diagnosis_coverage.py", "seen"): "a count of loads",
    ("bomtui/engine/heat.py", "parallel"): "a count of equal channels",
    ("bomtui/engine/heat.py", "paths"): "a count of channels in the current's way",
    ("bomtui/engine/parking.py", "days"): "days, as people count how long a vehicle is parked",
    ("bomtui/model/bound.py", "low"): "a bound is in the unit of the figure that it bounds",
    ("bomtui/model/bound.py", "high"): "a bound is in the unit of the figure that it bounds",
    ("bomtui/model/parameter.py", "min"): "the field that holds the parameter names the unit",
    ("bomtui/model/parameter.py", "typ"): "the field that holds the parameter names the unit",
    ("bomtui/model/parameter.py", "max"): "the field that holds the parameter names the unit",
    ("bomtui/model/quantity.py", "value"): "printed together with the unit that is passed beside it",
}

QUANTITY_TYPES = {"float", "Parameter"}


def is_quantity(annotation: ast.expr | None) -> bool:
    """Tell whether an annotation is float or Parameter, perhaps optional, perhaps with metadata."""
    if isinstance(annotation, ast.Constant) and isinstance(annotation.value, str):
        return is_quantity(ast.parse(annotation.value, mode="eval").body)
    if isinstance(annotation, ast.BinOp) and isinstance(annotation.op, ast.BitOr):
        sides = (annotation.left, annotation.right)
        none = [isinstance(side, ast.Constant) and side.value is None for side in sides]
        return any(none) and any(is_quantity(side) for side in sides)
    if isinstance(annotation, ast.Subscript) and isinstance(annotation.value, ast.Name):
        if annotation.value.id == "Annotated" and isinstance(annotation.slice, ast.Tuple):
            return is_quantity(annotation.slice.elts[0])
        return annotation.value.id in {"Final", "ClassVar", "Optional"} and is_quantity(annotation.slice)
    return isinstance(annotation, ast.Name) and annotation.id in QUANTITY_TYPES


def find_nameless(tree: ast.Module) -> Iterator[tuple[int, str]]:
    """Fields, parameters and module constants of a quantity type whose name ends in no unit."""
    for function in functions(tree):
        for parameter in parameters(function):
            if is_quantity(parameter.annotation) and not parameter.arg.endswith(UNIT_SUFFIXES):
                yield parameter.lineno, parameter.arg
    for node in ast.walk(tree):
        if not isinstance(node, ast.ClassDef | ast.Module):
            continue
        for statement in node.body:
            if isinstance(statement, ast.AnnAssign) and isinstance(statement.target, ast.Name):
                name = statement.target.id
                if is_quantity(statement.annotation) and not name.lower().endswith(UNIT_SUFFIXES):
                    yield statement.lineno, name


def test_every_quantity_of_model_and_engine_has_its_unit_in_its_name() -> None:
    """Fields and parameters that are floats or parameters of a part end in the unit they are in."""
    faults = [
        f"{relative(path)}:{line}: {name} does not end in a unit"
        for path in python_files("bomtui/model", "bomtui/engine")
        for line, name in find_nameless(parsed(path))
        if (relative(path), name) not in NAMELESS
    ]
    assert faults == []


def test_no_exception_is_left_over() -> None:
    """Each exception from the rule above is still needed and gives its reason."""
    found = {
        (relative(path), name)
        for path in python_files("bomtui/model", "bomtui/engine")
        for _, name in find_nameless(parsed(path))
    }
    assert [place for place, reason in NAMELESS.items() if place not in found or not reason] == []


@pytest.mark.parametrize(
    "snippet",
    [
        "def f(current: float): ...",
        "def f(*, current: float | None = None): ...",
        "class C:\n    rds_on: Parameter | None = None",
        "class C:\n    power: Annotated[float | None, Field('x', 'power')] = None",
        "class C:\n    power: 'float'",
        "LIMIT: Final[float] = x",
        "async def f(x, /, *, gain: None | float): ...",
    ],
)
def test_quantities_without_a_unit_are_seen(snippet: str) -> None:
    """A quantity type under a name without a unit is recognised in every place."""
    assert len(list(find_nameless(ast.parse(snippet)))) == 1


@pytest.mark.parametrize(
    "snippet",
    [
        "def f(current_a: float, duty_ratio: float | None): ...",
        "class C:\n    theta_ja_k_per_w: Parameter | None = None",
        "LIMIT_K: Final[float] = x",
        "def f(count: int, name: str | None, value: float | str): ...",
        "def f():\n    share: float = 1",
    ],
)
def test_quantities_with_a_unit_are_left_alone(snippet: str) -> None:
    """Names with a unit, other types and locals pass."""
    assert list(find_nameless(ast.parse(snippet))) == []
