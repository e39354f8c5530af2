"""Nothing turns an unknown into zero, and no value that compares false with everything enters a figure."""

import ast
from collections.abc import Iterator

import pytest

from tests.architecture.scan import Fault, faults_in, faults_of, last_name, python_files, relative

LAYERS = tuple(f"bomtui/{layer}" for layer in ("engine", "rules", "export", "services", "cli", "tui"))
PURE = ("bomtui/engine", "bomtui/rules", "bomtui/model")
# Bounds of a figure that has no upper or lower end.
MAY_USE_INFINITY = {"bomtui/model/bound.py", "bomtui/engine/calc.py"}
ZEROS = {"0", "0.0", "0.00", "-0"}
NOT_NUMBERS = {"nan", "inf", "infinity", "snan"}


def is_zero(node: ast.expr) -> bool:
    """Tell whether an expression writes zero: 0, 0.0, Decimal(0), Decimal("0"), float(0)."""
    if isinstance(node, ast.Constant):
        return isinstance(node.value, int | float) and not isinstance(node.value, bool) and node.value == 0
    if isinstance(node, ast.Call) and last_name(node.func) in {"Decimal", "float", "int"}:
        argument = node.args[0] if node.args else None
        if argument is None:
            return True
        return is_zero(argument) or (isinstance(argument, ast.Constant) and argument.value in ZEROS)
    return False


def is_none_test(node: ast.expr) -> bool:
    """Tell whether a condition compares something with None."""
    return any(
        isinstance(part, ast.Compare)
        and isinstance(part.ops[0], ast.Is | ast.IsNot)
        and isinstance(part.comparators[0], ast.Constant)
        and part.comparators[0].value is None
        for part in ast.walk(node)
    )


def accumulators(tree: ast.Module) -> set[int]:
    """Identities of the lookups in `sums[key] = sums.get(key, 0) + term`: a sum begins at zero, nothing is unknown."""
    found: set[int] = set()
    for node in ast.walk(tree):
        if (
            isinstance(node, ast.Assign)
            and isinstance(node.targets[0], ast.Subscript)
            and isinstance(node.value, ast.BinOp)
        ):
            target, lookup = node.targets[0], node.value.left
            begins = f"{ast.unparse(target.value)}.get({ast.unparse(target.slice)}, "
            if isinstance(node.value.op, ast.Add) and ast.unparse(lookup).startswith(begins):
                found.add(id(lookup))
    return found


def find_zeros(tree: ast.Module) -> Iterator[Fault]:
    """Places where something missing silently counts as zero."""
    sums = accumulators(tree)
    for node in ast.walk(tree):
        if id(node) in sums:
            continue
        if isinstance(node, ast.BoolOp) and isinstance(node.op, ast.Or) and any(map(is_zero, node.values[1:])):
            yield node.lineno, "`or 0` turns an unknown into zero"
        elif isinstance(node, ast.IfExp) and is_none_test(node.test) and (is_zero(node.body) or is_zero(node.orelse)):
            yield node.lineno, "`0 if x is None` turns an unknown into zero"
        elif isinstance(node, ast.Call):
            name = last_name(node.func)
            default = {"get": 1, "pop": 1, "setdefault": 1, "getattr": 2}.get(name)
            if default is not None and len(node.args) > default and is_zero(node.args[default]):
                yield node.lineno, f"`{name}(..., 0)` turns something missing into zero"


def is_not_number_text(node: ast.expr) -> bool:
    """Tell whether an expression is the text of not-a-number or infinity."""
    return (
        isinstance(node, ast.Constant)
        and isinstance(node.value, str)
        and node.value.strip().lstrip("+-").lower() in NOT_NUMBERS
    )


def find_not_numbers(tree: ast.Module) -> Iterator[Fault]:
    """Not-a-number in any spelling, and infinity written as text."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and last_name(node.func) in {"float", "Decimal", "complex"}:
            if any(map(is_not_number_text, node.args[:1])):
                yield node.lineno, f"{ast.unparse(node)} is no figure"
        elif isinstance(node, ast.Attribute) and node.attr in {"nan", "nanj"}:
            yield node.lineno, f"{ast.unparse(node)} is no figure"
        elif isinstance(node, ast.ImportFrom) and node.module in {"math", "cmath"}:
            for alias in node.names:
                if alias.name in {"nan", "nanj"}:
                    yield node.lineno, f"{alias.name} is no figure"


def find_infinities(tree: ast.Module) -> Iterator[Fault]:
    """Infinity by name."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Attribute) and node.attr in {"inf", "infj"}:
            yield node.lineno, f"{ast.unparse(node)} is a bound, never a figure"
        elif isinstance(node, ast.ImportFrom) and node.module in {"math", "cmath"}:
            for alias in node.names:
                if alias.name in {"inf", "infj"}:
                    yield node.lineno, f"{alias.name} is a bound, never a figure"


def test_no_unknown_becomes_zero() -> None:
    """Engine, rules, exports, services and front ends never fill a gap with zero."""
    assert faults_in(python_files(*LAYERS), find_zeros) == []


def test_no_figure_is_not_a_number() -> None:
    """Model, engine and rules hold no not-a-number."""
    assert faults_in(python_files(*PURE), find_not_numbers) == []


def test_infinity_stays_in_bounds() -> None:
    """Infinity is named only where a figure's bounds are made."""
    files = [path for path in python_files(*PURE) if relative(path) not in MAY_USE_INFINITY]
    assert faults_in(files, find_infinities) == []


@pytest.mark.parametrize(
    "snippet",
    [
        "x = y or 0",
        "x = y or 0.0",
        "x = a or b or Decimal(0)",
        "x = y or Decimal('0')",
        "x = d.get(k, 0)",
        "d[k] = d.get(j, 0) + x",
        "d[k] = e.get(k, 0) + x",
        "d[k] = d.get(k, 0) * x",
        "x = d.pop(k, 0.0)",
        "x = getattr(d, 'k', 0)",
        "x = 0 if y is None else y",
        "x = y if y is not None else Decimal(0)",
    ],
)
def test_zeros_for_unknowns_are_seen(snippet: str) -> None:
    """Each way to count a gap as zero is recognised."""
    assert len(faults_of(snippet, find_zeros)) == 1


@pytest.mark.parametrize(
    "snippet",
    [
        "x = y or 1",
        "x = d.get(k)",
        "x = d.get(k, 5)",
        "x = 0",
        "x = 0 if n > 3 else 1",
        "x = y or False",
        "d[k] = d.get(k, Decimal(0)) + x",
    ],
)
def test_plain_zeros_are_left_alone(snippet: str) -> None:
    """A zero that stands for itself passes."""
    assert faults_of(snippet, find_zeros) == []


@pytest.mark.parametrize(
    "snippet",
    ["x = float('nan')", "x = float(' -Inf')", "x = Decimal('NaN')", "x = math.nan", "from math import nan"],
)
def test_not_numbers_are_seen(snippet: str) -> None:
    """Each spelling of not-a-number is recognised."""
    assert len(faults_of(snippet, find_not_numbers)) == 1


@pytest.mark.parametrize(("snippet", "count"), [("x = math.inf", 1), ("from math import inf", 1), ("math.isinf(x)", 0)])
def test_infinity_is_seen(snippet: str, count: int) -> None:
    """Infinity is recognised by name, and asking whether something is infinite is fine."""
    assert len(faults_of(snippet, find_infinities)) == count
