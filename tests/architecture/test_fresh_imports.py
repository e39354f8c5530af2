"""What each door of the program loads, seen from a fresh interpreter: a slow library never comes in by accident."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

from tests.architecture.formulas import module_name
from tests.architecture.scan import REPO, python_files, relative

# Imports the named modules one by one and prints, for each, the top-level packages that are loaded after it.
LOADED = """
import importlib, json, sys
packages = lambda: sorted({name.partition(".")[0] for name in sys.modules})
loaded = {"": packages()}
for name in sys.argv[1:]:
    importlib.import_module(name)
    loaded[name] = packages()
print(json.dumps(loaded))
"""

SLOW = {"textual", "rich", "sqlalchemy", "psycopg", "pint", "numpy", "highspy", "python_calamine"}
# Each of these rooms alone holds a slow library, which its callers load when they need it.
ROOMS = (
    "bomtui/storage/catalog",
    "bomtui/packing/solver",
    "bomtui/services/solver/child.py",
    "bomtui/units/pint_units.py",
)
DOORS = ("services", "export", "storage", "units", "cli", "packing", "edit")
PURE = ("model", "engine", "rules", "edit", "packing")


def loaded_by(modules: list[str], path: Path = REPO) -> dict[str, set[str]]:
    """Packages loaded after each module in turn, without those that an empty interpreter loads."""
    command = [sys.executable, "-c", LOADED, *modules]
    run = subprocess.run(command, cwd=path, capture_output=True, text=True, check=False)
    assert run.returncode == 0, run.stderr
    after = {name: set(packages) for name, packages in json.loads(run.stdout).items()}
    return {name: after[name] - after[""] for name in modules}


def modules_of(layer: str) -> list[str]:
    """Modules of a layer without the rooms that hold a slow library."""
    files = [path for path in python_files(f"bomtui/{layer}") if not relative(path).startswith(ROOMS)]
    return [module_name(path) for path in files]


def existing(layers: tuple[str, ...]) -> list[str]:
    """The layers that have code by now."""
    return [layer for layer in layers if (REPO / "bomtui" / layer).is_dir()]


def loads_slow(loaded: dict[str, set[str]]) -> list[str]:
    """Sentences about modules after which a slow library is loaded."""
    return [f"{name} loads {', '.join(sorted(found & SLOW))}" for name, found in loaded.items() if found & SLOW]


def loads_foreign(loaded: dict[str, set[str]]) -> list[str]:
    """Sentences about modules after which anything but the standard library and msgspec is loaded."""
    # msgspec itself takes typing_extensions where it is installed.
    known = sys.stdlib_module_names | {"bomtui", "msgspec", "typing_extensions"}
    return [f"{name} loads {', '.join(sorted(found - known))}" for name, found in loaded.items() if found - known]


@pytest.mark.parametrize("layer", existing(DOORS))
def test_doors_load_no_slow_library(layer: str) -> None:
    """Importing use cases, exports, files or commands loads no screen, database, unit or solver library."""
    assert loads_slow(loaded_by(modules_of(layer))) == []


@pytest.mark.parametrize("layer", existing(PURE))
def test_pure_layers_load_msgspec_only(layer: str) -> None:
    """Model, engine, rules, edit and packing need no third party but msgspec."""
    assert loads_foreign(loaded_by(modules_of(layer))) == []


def test_loaded_libraries_are_seen(tmp_path: Path) -> None:
    """A module that loads a library, even through another one, is recognised, and only from there on."""
    package = tmp_path / "bomtui"
    package.mkdir()
    for name, text in {
        "__init__": "",
        "clean": "import json, msgspec",
        "inner": "import pint",
        "outer": "import bomtui.inner",
    }.items():
        (package / f"{name}.py").write_text(text, encoding="utf-8")
    loaded = loaded_by(["bomtui.clean", "bomtui.outer"], tmp_path)
    assert [sentence.partition(" ")[0] for sentence in loads_slow(loaded)] == ["bomtui.outer"]
    assert [sentence.partition(" ")[0] for sentence in loads_foreign(loaded)] == ["bomtui.outer"]
