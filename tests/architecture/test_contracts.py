"""The import contracts of pyproject.toml are kept, and each of them breaks when it should."""

import os
import re
import subprocess
import sys
import tomllib
from collections.abc import Iterable
from pathlib import Path

import pytest

from tests.architecture.scan import REPO

PYPROJECT = REPO / "pyproject.toml"
SUBJECTS = (
    "load_current", "channels", "pins", "supply", "standby", "heat", "price", "wiring", "allocation", "battery",
    "wire", "fuse",
)  # fmt: skip
"""Engine subjects that stand for themselves; modules that join them (fit, cost, rollup) are no subjects."""

LAYERS = ("cli", "tui", "services", "export", "storage", "packing", "units", "edit", "rules", "engine", "model")
SKELETON = [
    "__init__", "__main__", *(f"{layer}/__init__" for layer in LAYERS), "storage/catalog/__init__",
    "packing/solver/__init__", "packing/hints", "rules/first", "rules/second", "rules/registry", "rules/context",
    "units/pint_units", *(f"engine/{subject}" for subject in SUBJECTS), "services/solver/__init__",
    "services/solver/child",
]  # fmt: skip
ALLOWED = {
    "__main__": "from bomtui.cli import main",
    "cli/__init__": "main = None",
    "services/__init__": "import bomtui.storage, bomtui.units, bomtui.engine.heat",
    "services/solver/child": "import bomtui.packing.solver",
    "storage/catalog/__init__": "import sqlalchemy, sqlite3",
    "packing/solver/__init__": "import highspy, numpy",
    "units/pint_units": "import pint",
    "tui/__init__": "import textual, bomtui.services",
    "rules/registry": "import bomtui.rules.first, bomtui.rules.second",
    "rules/first": "import bomtui.rules.context",
}
# Contract -> module and the import that breaks it.
VIOLATIONS = {
    "layers": ("engine/__init__", "import bomtui.rules.first"),
    "front": ("tui/__init__", "import bomtui.storage"),
    "packing": ("packing/hints", "import bomtui.units"),
    "root": ("model/__init__", "from bomtui import __version__"),
    "root-empty": ("__init__", "import bomtui.model"),
    "pint": ("services/__init__", "import pint"),
    "documents": ("services/__init__", "import xlsxwriter"),
    "database": ("storage/__init__", "import sqlite3"),
    "screen": ("cli/__init__", "import textual"),
    "solver": ("packing/hints", "import numpy"),
    "solver-child": ("services/__init__", "import bomtui.packing.solver"),
    "rules": ("rules/first", "import bomtui.rules.second"),
    "subjects": ("engine/heat", "import bomtui.engine.price"),
    "cycles": ("rules/context", "import bomtui.rules.first"),
}


def contracts() -> list[dict[str, object]]:
    """The import contracts as they are written down."""
    found: list[dict[str, object]] = tomllib.loads(PYPROJECT.read_text(encoding="utf-8"))["tool"]["importlinter"][
        "contracts"
    ]
    return found


def lint(folder: Path, package_path: Path) -> subprocess.CompletedProcess[str]:
    """Check the contracts of a folder's pyproject.toml against the package found in another one."""
    command = [
        sys.executable,
        "-c",
        "from importlinter.cli import lint_imports_command as run; run()",
        "--no-cache",
        "--no-logo",
    ]
    environment = {**os.environ, "PYTHONPATH": str(package_path)}
    return subprocess.run(command, cwd=folder, env=environment, capture_output=True, text=True, check=False)


def broken(report: str) -> set[str]:
    """Names of the contracts that a report calls broken."""
    return set(re.findall(r"^(.+) BROKEN", report, re.MULTILINE))


def skeleton(folder: Path, extra: dict[str, str]) -> None:
    """Write a small package with every layer, the imports that are allowed, and some more."""
    for module in SKELETON:
        path = folder / "bomtui" / f"{module}.py"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(f"{ALLOWED.get(module, '')}\n{extra.get(module, '')}\n", encoding="utf-8")
    write_contracts(folder, SUBJECTS)


def write_contracts(folder: Path, subjects: Iterable[str]) -> None:
    """Write the project's pyproject.toml into a folder with these engine subjects held apart."""
    listed = ", ".join(f'"bomtui.engine.{subject}"' for subject in subjects)
    text = PYPROJECT.read_text(encoding="utf-8")
    text, count = re.subn(r'(id = "subjects"\n.*\n.*\nmodules = )\[[^\]]*\]', rf"\g<1>[{listed}]", text)
    assert count == 1
    (folder / "pyproject.toml").write_text(text, encoding="utf-8")


def test_contracts_are_kept() -> None:
    """The package as it stands keeps every contract."""
    run = lint(REPO, REPO)
    assert run.returncode == 0, run.stdout + run.stderr


def test_contracts_allow_the_house_as_planned(tmp_path: Path) -> None:
    """A package with every layer and the imports that the plan allows keeps every contract."""
    skeleton(tmp_path, {})
    run = lint(tmp_path, tmp_path)
    assert (broken(run.stdout), run.returncode) == (set(), 0), run.stdout + run.stderr


def test_every_contract_breaks_when_it_should(tmp_path: Path) -> None:
    """One forbidden import for each contract breaks each of them."""
    extra: dict[str, str] = {}
    for module, statement in VIOLATIONS.values():
        extra[module] = f"{extra.get(module, '')}\n{statement}"
    skeleton(tmp_path, extra)
    run = lint(tmp_path, tmp_path)
    assert broken(run.stdout) == {str(contract["name"]) for contract in contracts()}, run.stdout + run.stderr
    assert set(VIOLATIONS) == {contract["id"] for contract in contracts()}


def test_a_new_folder_is_refused_until_it_has_a_place(tmp_path: Path) -> None:
    """The layers are exhaustive: a package that no layer names breaks the contract."""
    skeleton(tmp_path, {})
    (tmp_path / "bomtui" / "helpers").mkdir()
    (tmp_path / "bomtui" / "helpers" / "__init__.py").write_text("", encoding="utf-8")
    run = lint(tmp_path, tmp_path)
    assert run.returncode != 0
    assert "bomtui.helpers" in run.stdout + run.stderr


def test_every_engine_subject_is_held_apart(tmp_path: Path) -> None:
    """Subjects of the engine do not know one another, those that the contract does not list yet included."""
    engine = REPO / "bomtui" / "engine"
    existing = [name for name in SUBJECTS if (engine / name).is_dir() or (engine / f"{name}.py").is_file()]
    write_contracts(tmp_path, existing)
    run = lint(tmp_path, REPO)
    assert "one engine subject knows no other subject KEPT" in run.stdout, run.stdout + run.stderr


@pytest.mark.parametrize("layer", LAYERS)
def test_every_layer_has_its_place(layer: str) -> None:
    """Each layer of the plan is named in the contract of the layers."""
    (contract,) = [contract for contract in contracts() if contract["id"] == "layers"]
    named = re.findall(r"\w+", " ".join(str(entry) for entry in contract["layers"]))  # type: ignore[attr-defined]
    assert layer in named
