"""An import that is killed at any moment has happened, or has not: never half of it."""

import random
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from bomtui.services.load_import import import_loads
from bomtui.services.session import open_session
from bomtui.storage.catalog import open_catalog
from bomtui.storage.proposal.write import proposal_text
from tests.architecture.scan import REPO
from tests.edit.small import small

POINTS = 20
KILLED = -9
PARTS = 40


def child(*words: object) -> int:
    """Run an import in a process of its own; return how it ended."""
    command = [sys.executable, "-m", "tests.services.killed_import", *map(str, words)]
    run = subprocess.run(command, cwd=REPO, capture_output=True, text=True, check=False)
    assert run.returncode in {0, KILLED}, run.stderr
    return run.returncode


def points(seed: int, last: int) -> list[tuple[int, str]]:
    """Calls and moments by a seed."""
    rng = random.Random(seed)
    return [(rng.randint(1, last), rng.choice(("before", "half", "after"))) for _ in range(POINTS)]


@pytest.mark.slow
@pytest.mark.parametrize(("call", "when"), points(1, 12))
def test_a_killed_import_of_loads(tmp_path: Path, call: int, when: str) -> None:
    """The proposal opens with all loads of the list or with none, and can be saved and imported into again."""
    path, journals, file = tmp_path / "small.toml", tmp_path / "state", tmp_path / "list.csv"
    path.write_text(proposal_text(small().proposal), encoding="utf-8")
    rows = "".join(f"N{number},EXT,lamp {number},1.5\n" for number in range(PARTS))
    file.write_text(f"id,subsystem,name,current [A]\n{rows}", encoding="utf-8")
    ended = child("loads", path, file, journals, call, when)
    session = open_session(path, journals)
    found = [key for key in session.snapshot.proposal.loads if key.startswith("N")]
    assert len(found) in {0, PARTS}
    assert ended == KILLED or len(found) == PARTS
    assert session.problems == ()
    session.save()
    session.close()
    plan = import_loads(path, file, folder=journals)
    assert plan.sheet.obstacle(without_refused=False) == ""
    assert len([key for key in open_session(path, journals).snapshot.proposal.loads if key[0] == "N"]) == PARTS


@pytest.fixture(scope="module")
def shipped(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A catalog of the shipped parts."""
    path = tmp_path_factory.mktemp("shipped") / "catalog.sqlite"
    with open_catalog(path) as catalog:
        assert catalog.count()
    return path


@pytest.mark.slow
@pytest.mark.parametrize(("call", "when"), points(2, 14))
def test_a_killed_import_of_parts(tmp_path: Path, shipped: Path, call: int, when: str) -> None:
    """The catalog opens with all parts of the list or with none, and the shipped ones stay."""
    place = Path(shutil.copy(shipped, tmp_path / "catalog.sqlite"))
    file = tmp_path / "list.csv"
    rows = "".join(f"ZK-{number},1.20\n" for number in range(PARTS))
    file.write_text(f"MPN,price\n{rows}", encoding="utf-8")
    with open_catalog(place) as catalog:
        before = catalog.count()
    ended = child("parts", place, file, tmp_path, call, when)
    with open_catalog(place) as catalog:
        assert catalog.count() - before in {0, PARTS}
        assert ended == KILLED or catalog.count() - before == PARTS
    assert child("parts", place, file, tmp_path, 0, "") == 0
    with open_catalog(place) as catalog:
        assert catalog.count() - before == PARTS
