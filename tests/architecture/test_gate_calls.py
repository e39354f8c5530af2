"""Formulas are called through the gate only, with the names of their parameters in the order of their signature."""

import ast
from collections.abc import Iterator

import pytest

from tests.architecture.formulas import Names, formulas_of, module_name, names_of, outside_formulas
from tests.architecture.scan import Fault, last_name, parsed, python_files, relative

# What may take a formula and does not call it.
ASKS_ABOUT = {"formula_info"}
LAYERS = sorted({"/".join(relative(path).split("/")[:2]) for path in python_files("bomtui")})

Library = dict[str, dict[str, tuple[str, ...]]]


def library() -> Library:
    """Every formula of the engine, by module."""
    return {module_name(path): formulas_of(parsed(path)) for path in python_files("bomtui/engine")}


def call_fault(call: ast.Call, expected: tuple[str, ...]) -> str | None:
    """What is wrong with a call that hands a formula to the gate.

    Args:
        call: `gate(f, a=..., b=...)` or `gate.each(f, keys, a=..., b=...)`.
        expected: Parameter names of f.
    """
    positional = 2 if isinstance(call.func, ast.Attribute) and call.func.attr == "each" else 1
    if len(call.args) != positional or any(isinstance(argument, ast.Starred) for argument in call.args):
        return f"takes {positional} argument(s) by position, has {len(call.args)}"
    given = tuple(keyword.arg for keyword in call.keywords)
    if given != expected:
        return f"has the inputs {', '.join(name or '**' for name in given)}; expected {', '.join(expected)}"
    return None


def find_wrong_calls(tree: ast.Module, names: Names) -> Iterator[Fault]:
    """Calls of the gate whose inputs are not the parameters of the formula, and calls past the gate."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and node.args and last_name(node.func) not in ASKS_ABOUT:
            expected = names.resolve(node.args[0])
            fault = call_fault(node, expected) if expected is not None else None
            if fault:
                yield node.lineno, f"{ast.unparse(node.func)}({ast.unparse(node.args[0])}, ...) {fault}"
    # Inside a formula another one is a plain function of floats.
    for node in outside_formulas(tree):
        if isinstance(node, ast.Call) and names.resolve(node.func) is not None:
            yield node.lineno, f"formula {ast.unparse(node.func)} is called past the gate"


@pytest.fixture(scope="module", name="known")
def known_formulas() -> Library:
    """Every formula of the engine."""
    return library()


@pytest.mark.parametrize("layer", LAYERS)
def test_every_gate_call_names_the_parameters_in_order(layer: str, known: Library) -> None:
    """The gate passes columns by position, so names and order of the inputs are those of the formula."""
    faults = [
        f"{relative(path)}:{line}: {what}"
        for path in python_files(layer)
        for line, what in find_wrong_calls(parsed(path), names_of(parsed(path), known))
    ]
    assert faults == []


LIBRARY: Library = {"bomtui.engine.heat": {"loss_w": ("current_a", "rds_on_ohm")}}
IMPORT = "from bomtui.engine.heat import loss_w\n"


@pytest.mark.parametrize(
    "snippet",
    [
        IMPORT + "calc(loss_w, current_a=i)",
        IMPORT + "calc(loss_w, rds_on_ohm=r, current_a=i)",
        IMPORT + "calc(loss_w, current_a=i, rds_on_ohm=r, duty_ratio=d)",
        IMPORT + "self.gate(loss_w, i, rds_on_ohm=r)",
        IMPORT + "calc(loss_w, **inputs)",
        IMPORT + "calc.each(loss_w, current_a=i, rds_on_ohm=r)",
        IMPORT + "calc.each(loss_w, keys, rds_on_ohm=r, current_a=i)",
        IMPORT + "map(loss_w, currents, resistances)",
        IMPORT + "loss_w(1.0, 2.0)",
        "from bomtui.engine import heat\ncalc(heat.loss_w, current=i, rds_on_ohm=r)",
        "def f():\n    from bomtui.engine.heat import loss_w as l\n    return gate(l)",
        "@formula('x', 'W', 's')\ndef own_w(a_w, b_w): ...\ncalc(own_w, b_w=1, a_w=2)",
    ],
)
def test_wrong_gate_calls_are_seen(snippet: str) -> None:
    """Missing, extra, renamed and swapped inputs are recognised, and so is a call past the gate."""
    tree = ast.parse(snippet)
    assert len(list(find_wrong_calls(tree, names_of(tree, LIBRARY)))) == 1


@pytest.mark.parametrize(
    "snippet",
    [
        IMPORT + "calc(loss_w, current_a=i, rds_on_ohm=r)",
        IMPORT + "calc.each(loss_w, keys, current_a=i, rds_on_ohm=r)",
        IMPORT + "@formula('2 P', 'W', 's')\ndef twice_w(a_a, b_ohm): return 2 * loss_w(a_a, b_ohm)",
        "calc(other, x=1)",
        IMPORT + "formula_info(loss_w)",
    ],
)
def test_right_gate_calls_are_left_alone(snippet: str) -> None:
    """Exact inputs in order pass, as does a formula inside a formula."""
    tree = ast.parse(snippet)
    assert list(find_wrong_calls(tree, names_of(tree, LIBRARY))) == []
