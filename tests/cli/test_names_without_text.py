"""Files whose names hold bytes that are no text (PEP 383): every command takes them and writes what can be read."""

import os
import shutil
from pathlib import Path

import pytest

from bomtui.services.catalog import PLACE_VARIABLE
from tests.cli.running import REPO, Command

NAME = os.fsdecode(b"caf\xe9")
SHOWN = "caf\N{REPLACEMENT CHARACTER}"


@pytest.fixture
def proposal(tmp_path: Path) -> Path:
    """The smallest sample in files of such a name."""
    for end in (".toml", ".parts.toml"):
        shutil.copy(REPO / "sample_projects" / "subject_bench" / f"subject_bench{end}", tmp_path / f"{NAME}{end}")
    return tmp_path / f"{NAME}.toml"


@pytest.mark.slow
def test_a_package_is_named_by_what_is_text(proposal: Path, bomtui: Command, tmp_path: Path) -> None:
    """Its files carry names that every file system keeps."""
    told = bomtui("package", proposal, "-o", tmp_path / "out")
    assert "files in" in told.out, told.err
    names = sorted(path.name for path in (tmp_path / "out").iterdir())
    assert len(names) > 3
    assert all(name.startswith(SHOWN) for name in names), names


def test_a_catalog_list(tmp_path: Path, bomtui: Command, monkeypatch: pytest.MonkeyPatch) -> None:
    """It is read, told of in JSON, written down in the history and taken back."""
    monkeypatch.setenv(PLACE_VARIABLE, str(tmp_path / "catalog.sqlite"))
    path = tmp_path / f"{NAME}.csv"
    path.write_text("MPN,maker,kind,description\nQQ-1,Nobody,fet,x\n", encoding="utf-8")
    assert bomtui("catalog", "import", path, "--dry-run", "--format", "json").json["file"].endswith(f"{SHOWN}.csv")
    assert bomtui("catalog", "import", path).code == 0
    assert "import QQ-1 from caf .csv" in bomtui("catalog", "history").out
    assert bomtui("catalog", "undo").out == "taken back: import QQ-1 from caf .csv\n"


def test_a_load_list(proposal: Path, tmp_path: Path, bomtui: Command) -> None:
    """It is told of in JSON, and becomes loads of a proposal of such a name."""
    path = tmp_path / f"{NAME}.csv"
    path.write_text("load,subsystem,zone,kind,current [A]\nNEW_LAMP,BODY,Z1,lamp,1.5\n", encoding="utf-8")
    told = bomtui("loads", "import", proposal, path, "--dry-run", "--format", "json")
    assert told.json["file"].endswith(f"{SHOWN}.csv"), told.err
