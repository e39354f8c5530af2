"""Numbers in engine and rules stand inside formulas or beside their source; habits and rates are settings."""

import ast
import re
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path

import pytest

from tests.architecture.formulas import formula_decorator, metadata, outside_formulas
from tests.architecture.scan import Fault, functions, last_name, parsed, python_files, relative

ALLOWED = {0, 1, 2, 0.5}
NAMES_A_SOURCE = re.compile(r"\bsource\b|common practice|value from memory", re.IGNORECASE)
MAKES_A_NUMBER = {"Decimal", "Fraction", "float", "int"}


def number(node: ast.AST) -> object:
    """The number that a node writes down, directly or as Decimal("..."); None where it writes none."""
    if isinstance(node, ast.Constant) and isinstance(node.value, int | float | complex):
        return None if isinstance(node.value, bool) else node.value
    if isinstance(node, ast.Call) and last_name(node.func) in MAKES_A_NUMBER and node.args:
        argument = node.args[0]
        if isinstance(argument, ast.Constant) and isinstance(argument.value, str):
            try:
                return float(argument.value)
            except ValueError:
                return None
    return None


def sourced_lines(tree: ast.Module, text: str) -> set[int]:
    """Lines of annotated module constants with a comment above or a docstring below that names a source."""
    lines = text.splitlines()
    sourced: set[int] = set()
    for index, node in enumerate(tree.body):
        if not isinstance(node, ast.AnnAssign) or node.value is None:
            continue
        above = []
        for line in reversed(lines[: node.lineno - 1]):
            if not line.lstrip().startswith("#"):
                break
            above.append(line)
        following = tree.body[index + 1] if index + 1 < len(tree.body) else None
        below = following.value if isinstance(following, ast.Expr) else None
        docstring = below.value if isinstance(below, ast.Constant) and isinstance(below.value, str) else ""
        if NAMES_A_SOURCE.search("\n".join(above)) or NAMES_A_SOURCE.search(docstring):
            sourced.update(range(node.lineno, (node.end_lineno or node.lineno) + 1))
    return sourced


def find_literals(tree: ast.Module, text: str) -> Iterator[Fault]:
    """Numbers other than the allowed few that no formula and no source stands behind."""
    sourced = sourced_lines(tree, text)
    for node in outside_formulas(tree):
        value = number(node)
        if value is not None and value not in ALLOWED and getattr(node, "lineno", 0) not in sourced:
            yield (
                getattr(node, "lineno", 0),
                f"number {value} without a formula or a source; make it a setting or cite it",
            )


def find_formulas_without_source(tree: ast.Module, text: str) -> Iterator[Fault]:
    """Formulas whose decorator lacks text, unit or source (a unit may be empty: a plain count)."""
    del text
    for function in functions(tree):
        decorator = formula_decorator(function)
        if decorator is None:
            continue
        given = metadata(decorator)
        for name in ("text", "unit", "source"):
            node = given.get(name)
            empty = isinstance(node, ast.Constant) and (not isinstance(node.value, str) or not node.value.strip())
            if node is None or (empty and name != "unit"):
                yield function.lineno, f"formula {function.name} has no {name}"


def faults(files: Iterable[Path], find: Callable[[ast.Module, str], Iterable[Fault]]) -> list[str]:
    """Run one of the checks above over files."""
    return [
        f"{relative(path)}:{line}: {what}"
        for path in files
        for line, what in find(parsed(path), path.read_text(encoding="utf-8"))
    ]


def test_no_number_without_formula_or_source() -> None:
    """Engine and rules hold no number but 0, 1, 2 and one half outside formulas and cited constants."""
    assert faults(python_files("bomtui/engine", "bomtui/rules"), find_literals) == []


def test_every_formula_has_text_unit_and_source() -> None:
    """What a formula says of itself is complete, so that explaining a figure never shows a gap."""
    assert faults(python_files("bomtui/engine", "bomtui/rules"), find_formulas_without_source) == []


@pytest.mark.parametrize(
    "snippet",
    [
        "def f(x): return x > 110",
        "def f(x): return x[3]",
        "LIMIT = 110",
        "LIMIT: Final = 110",
        "# Largest value seen.\nLIMIT: Final = 110",
        "RATE: Final = Decimal('0.31')",
        "def f(x=-3): ...",
        "@other('P', 'W', 'source')\ndef f(x): return 3 * x",
        "# Source: somewhere\n\nLIMIT: Final = 110",
    ],
)
def test_numbers_without_formula_or_source_are_seen(snippet: str) -> None:
    """A number in code, a default or a constant without a source is recognised."""
    assert len(list(find_literals(ast.parse(snippet), snippet))) == 1


@pytest.mark.parametrize(
    "snippet",
    [
        "def f(x): return x[-1] + 2 - 0.5",
        "@formula('P = 3 x', 'W', 'common practice')\ndef f(x): return 3 * x",
        "@calc.formula('P = 3 x', 'W', 'common practice')\ndef f(x): return 3 * x",
        "# Source: ISO 4217\nDIGITS: Final = {'JPY': 0,\n 'KWD': 3}",
        "DIGITS: Final = 3\n'''Digits; common practice, no source.'''",
        "FLAG = True",
        "NAME = Decimal(text)",
    ],
)
def test_numbers_with_formula_or_source_are_left_alone(snippet: str) -> None:
    """The allowed few, formulas and cited constants pass."""
    assert list(find_literals(ast.parse(snippet), snippet)) == []


@pytest.mark.parametrize(
    "snippet",
    [
        "@formula('P', 'W')\ndef f(x): ...",
        "@formula('P', 'W', '')\ndef f(x): ...",
        "@formula(unit='', source='x')\ndef f(x): ...",
    ],
)
def test_incomplete_formulas_are_seen(snippet: str) -> None:
    """A formula without text or source is recognised."""
    assert len(list(find_formulas_without_source(ast.parse(snippet), snippet))) == 1


def test_a_complete_formula_is_left_alone() -> None:
    """Text, unit and source by position or keyword pass, with an empty unit for a count."""
    snippet = "@formula('n', '', source='common practice')\ndef f(x): ..."
    assert list(find_formulas_without_source(ast.parse(snippet), snippet)) == []
