"""Broad catches stand at three doors only: the command line, the app, the runner of the rules."""

import ast
from collections.abc import Iterator

import pytest

from tests.architecture.scan import Fault, faults_in, faults_of, last_name, python_files, relative

DOORS = {"bomtui/cli/main.py", "bomtui/tui/app.py", "bomtui/rules/run.py", "bomtui/services/solver/child.py"}
BROAD = {"Exception", "BaseException"}


def find_broad_catches(tree: ast.Module) -> Iterator[Fault]:
    """Handlers and suppressions of every exception."""
    for node in ast.walk(tree):
        if isinstance(node, ast.ExceptHandler):
            kinds = node.type.elts if isinstance(node.type, ast.Tuple) else [node.type]
            if any(kind is None or last_name(kind) in BROAD for kind in kinds):
                yield node.lineno, "catches everything"
        elif (
            isinstance(node, ast.Call)
            and last_name(node.func) == "suppress"
            and any(last_name(argument) in BROAD for argument in node.args)
        ):
            yield node.lineno, "suppresses everything"


@pytest.mark.slow
def test_broad_catches_stand_at_the_doors_only() -> None:
    """Anywhere else a fault is caught by its name, so that none is swallowed."""
    files = [path for path in python_files("bomtui", "tests") if relative(path) not in DOORS]
    assert faults_in(files, find_broad_catches) == []


@pytest.mark.parametrize(
    "handler",
    ["except:", "except Exception:", "except BaseException as e:", "except (ValueError, Exception):"],
)
def test_broad_handlers_are_seen(handler: str) -> None:
    """Every spelling of a broad handler is recognised."""
    assert faults_of(f"try:\n    f()\n{handler}\n    g()", find_broad_catches) == ["catches everything"]


def test_broad_suppression_is_seen_and_a_narrow_handler_is_not() -> None:
    """Suppressing everything is recognised; catching by name passes."""
    snippet = (
        "try:\n    f()\nexcept (OSError, builtins.ValueError):\n    g()\nwith contextlib.suppress(Exception):\n    f()"
    )
    assert faults_of(snippet, find_broad_catches) == ["suppresses everything"]
