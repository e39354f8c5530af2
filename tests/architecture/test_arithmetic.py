"""Arithmetic on quantities lives in the engine, and for prefixes and rounding in units and two files of the model."""

import ast
from collections.abc import Iterator

import pytest

from tests.architecture.scan import UNIT_SUFFIXES, Fault, faults_in, faults_of, last_name, python_files, relative

ALLOWED = ("bomtui/engine/", "bomtui/units/", "bomtui/model/quantity.py", "bomtui/model/money.py")
OPERATORS = {ast.Mult: "*", ast.Div: "/", ast.FloorDiv: "//", ast.Pow: "**", ast.Mod: "%"}
# A quantity stays one behind these: abs(x_a) * 2 is arithmetic on x_a.
TRANSPARENT = {"abs", "float", "max", "min", "round", "sum"}


def quantities(node: ast.expr) -> Iterator[str]:
    """Names with a unit suffix that an operand is made of."""
    if isinstance(node, ast.Name | ast.Attribute):
        if last_name(node).endswith(UNIT_SUFFIXES):
            yield last_name(node)
    elif isinstance(node, ast.Call):
        yield from quantities(node.func)
        if last_name(node.func) in TRANSPARENT:
            for argument in node.args:
                yield from quantities(argument)
    elif isinstance(node, ast.Subscript | ast.Starred):
        yield from quantities(node.value)
    elif isinstance(node, ast.BinOp | ast.UnaryOp | ast.BoolOp | ast.IfExp | ast.NamedExpr | ast.GeneratorExp):
        for child in ast.iter_child_nodes(node):
            if isinstance(child, ast.expr):
                yield from quantities(child)


def find_arithmetic(tree: ast.Module) -> Iterator[Fault]:
    """Products, quotients, powers and remainders of names that end in a unit."""
    for node in ast.walk(tree):
        if isinstance(node, ast.BinOp):
            operator, operands = type(node.op), [node.left, node.right]
            if isinstance(node.left, ast.Constant | ast.JoinedStr) and operator is ast.Mod:
                continue  # text % values
        elif isinstance(node, ast.AugAssign):
            operator, operands = type(node.op), [node.target, node.value]
        else:
            continue
        names = [name for operand in operands for name in quantities(operand)]
        if operator in OPERATORS and names:
            yield node.lineno, f"{OPERATORS[operator]} on {', '.join(names)} outside the engine"


def test_no_arithmetic_on_quantities_outside_the_engine() -> None:
    """A figure is multiplied, divided or raised in the engine only, where its formula and source stand."""
    files = [path for path in python_files("bomtui") if not relative(path).startswith(ALLOWED)]
    assert faults_in(files, find_arithmetic) == []


@pytest.mark.parametrize(
    "snippet",
    [
        "loss_w = current_a ** 2",
        "x = load.rated_power_w / y",
        "x = 3 * row.duty_ratio",
        "total_a *= 2",
        "x = (a_w + b_w) // n",
        "x = -ambient_degc % 7",
        "x = abs(rise_k) * 2",
        "x = currents_a[0] * 2",
        "x = load_current_a(load) * 2",
        "x = sum(load.current_a for load in loads) / 2",
    ],
)
def test_arithmetic_on_quantities_is_seen(snippet: str) -> None:
    """Each way to calculate with a quantity is recognised."""
    assert len(faults_of(snippet, find_arithmetic)) == 1


@pytest.mark.parametrize(
    "snippet",
    ["x = a_w + b_w", "x = count * 2", "x = '%s' % current_a", "x = text(current_a) * 2", "x_a = n * m"],
)
def test_other_arithmetic_is_left_alone(snippet: str) -> None:
    """Sums, plain counts and text are no formula."""
    assert faults_of(snippet, find_arithmetic) == []
