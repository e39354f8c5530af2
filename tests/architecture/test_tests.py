"""Every test can fail and says what must hold."""

import ast
from collections.abc import Iterator

import pytest

from tests.architecture.scan import Fault, faults_in, faults_of, functions, last_name, python_files

RAISES = {"raises", "warns", "fail"}
CHECKERS = ("assert_", "check_")


def can_fail(node: ast.AST) -> bool:
    """Tell whether a node is an assert of something that varies, a pytest expectation or a named checker."""
    if isinstance(node, ast.Assert):
        constant = isinstance(node.test, ast.Constant) or (isinstance(node.test, ast.Tuple) and bool(node.test.elts))
        return not constant
    if isinstance(node, ast.Call):
        name = last_name(node.func)
        of_pytest = isinstance(node.func, ast.Attribute) and last_name(node.func.value) == "pytest"
        return (of_pytest and name in RAISES) or name.startswith(CHECKERS)
    return False


def find_idle_tests(tree: ast.Module) -> Iterator[Fault]:
    """Tests that hold no check, and tests that do not say what must hold."""
    for function in functions(tree):
        if not function.name.startswith("test"):
            continue
        if not any(can_fail(node) for node in ast.walk(function)):
            yield function.lineno, f"{function.name} asserts nothing"
        if not (ast.get_docstring(function) or "").strip():
            yield function.lineno, f"{function.name} does not say what must hold"


def test_every_test_asserts_and_says_what_must_hold() -> None:
    """Each test function has a docstring and an assert, an expectation of pytest or a named checker."""
    assert faults_in(python_files("tests"), find_idle_tests) == []


@pytest.mark.parametrize(
    "body",
    ["x = 1", "assert True", "assert (x, 'message')", "result.raises(x)", "run(); return 1"],
)
def test_idle_tests_are_seen(body: str) -> None:
    """A test whose body cannot fail is recognised."""
    assert faults_of(f"def test_x():\n    'Something holds.'\n    {body}", find_idle_tests) == [
        "test_x asserts nothing"
    ]


def test_silent_tests_are_seen() -> None:
    """A test without a docstring is recognised, in a class too."""
    snippet = "class TestX:\n    async def test_x(self):\n        assert x"
    assert faults_of(snippet, find_idle_tests) == ["test_x does not say what must hold"]


@pytest.mark.parametrize(
    "body",
    ["assert x == 1", "check_totals(x)", "helpers.assert_sorted(x)", "with pytest.raises(ValueError): f()"],
)
def test_real_tests_are_left_alone(body: str) -> None:
    """An assert, a named checker and an expectation pass."""
    assert faults_of(f"def test_x():\n    'Something holds.'\n    {body}", find_idle_tests) == []
