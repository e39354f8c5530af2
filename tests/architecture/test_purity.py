"""The pure layers call no builtin that reads, writes or runs text; the linter's banned list sees their imports."""

import ast
from collections.abc import Iterator

import pytest

from tests.architecture.scan import Fault, faults_in, faults_of, python_files

PURE = tuple(f"bomtui/{layer}" for layer in ("model", "engine", "rules", "edit", "packing"))
BANNED = {"open", "print", "input", "breakpoint", "eval", "exec", "compile", "__import__", "id", "hash"}
"""`id` and `hash` differ from run to run; what depends on them is not reproducible."""


def find_impure_calls(tree: ast.Module) -> Iterator[Fault]:
    """Uses of the banned builtins under their own names."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in BANNED:
            yield node.lineno, f"calls {node.func.id}() in a pure layer"


def test_pure_layers_call_no_impure_builtin() -> None:
    """Same input, same output: model, engine, rules, edit and packing do no input or output."""
    assert faults_in(python_files(*PURE), find_impure_calls) == []


@pytest.mark.parametrize("call", ["open('x')", "print(x)", "id(x)", "eval('1')"])
def test_impure_calls_are_seen(call: str) -> None:
    """Each banned builtin is recognised; a method of that name is not one."""
    assert len(faults_of(f"{call}\nledger.{call}", find_impure_calls)) == 1
