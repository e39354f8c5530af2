"""The helpers that find files and formulas find them."""

import ast

import pytest

from tests.architecture.formulas import formulas_of, names_of
from tests.architecture.scan import (
    UNIT_SUFFIXES,
    ignore_patterns,
    is_ignored,
    project_files,
    python_files,
    relative,
)


def test_files_of_a_folder_and_of_a_path_are_found() -> None:
    """A folder gives all its Python files, a path itself, and a folder that does not exist gives none."""
    assert "bomtui/model/quantity.py" in [relative(path) for path in python_files("bomtui")]
    assert [relative(path) for path in python_files("tests/conftest.py")] == ["tests/conftest.py"]
    assert python_files("no_such_folder") == []


def test_project_files_hold_sources_and_no_leftovers() -> None:
    """The list of files to commit holds this file and nothing that running the tests leaves behind."""
    names = project_files()
    assert "tests/architecture/test_scan.py" in names
    assert not [name for name in names if "__pycache__" in name or name.startswith(".venv/")]


@pytest.mark.parametrize(
    ("name", "ignored"),
    [
        ("bomtui/model/__pycache__/x.pyc", True),
        (".venv/bin/python", True),
        ("bomtui/.venv/x", False),
        ("x.egg-info/PKG-INFO", True),
        ("bomtui/model/x.py", False),
    ],
)
def test_ignore_patterns_know_the_top_and_any_depth(name: str, ignored: bool) -> None:
    """A pattern with a leading slash holds at the top only, one without holds at any depth."""
    assert is_ignored(name, ignore_patterns("# leftovers\n__pycache__/\n/.venv/\n*.egg-info/\n")) is ignored


def test_unit_suffixes_are_those_of_the_model() -> None:
    """The checks know the endings that the house uses most."""
    assert {"_a", "_v", "_w", "_ohm", "_degc", "_k", "_s", "_hz", "_h", "_f", "_j", "_m", "_ratio"} <= set(
        UNIT_SUFFIXES
    )


def test_formulas_are_found_under_every_import_form() -> None:
    """A formula is recognised by its own name, an alias, a module and a dotted module."""
    library: dict[str, dict[str, tuple[str, ...]]] = {"bomtui.engine.heat": {"loss_w": ("current_a", "rds_on_ohm")}}
    tree = ast.parse(
        "import bomtui.engine.heat\n"
        "from bomtui.engine import heat as h\n"
        "from bomtui.engine.heat import loss_w as loss\n"
        "@formula('I^2 R', 'W', 'Joule')\n"
        "def own_w(current_a, *, resistance_ohm): ...\n"
    )
    names = names_of(tree, library)
    assert formulas_of(tree) == {"own_w": ("current_a", "resistance_ohm")}
    found = {text: names.resolve(ast.parse(text, mode="eval").body) for text in ("own_w", "loss", "h.loss_w", "other")}
    assert found == {
        "own_w": ("current_a", "resistance_ohm"),
        "loss": ("current_a", "rds_on_ohm"),
        "h.loss_w": ("current_a", "rds_on_ohm"),
        "other": None,
    }
    dotted = ast.parse("bomtui.engine.heat.loss_w", mode="eval").body
    assert names.resolve(dotted) == ("current_a", "rds_on_ohm")
