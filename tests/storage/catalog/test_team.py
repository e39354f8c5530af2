"""Several programs at one catalog, in a file and on a server: every write that was acknowledged is there."""

import random
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from bomtui.model.part import Part
from bomtui.storage.catalog import Catalog, ConflictError, migrations, open_catalog
from tests.storage.catalog.killed_step import NEXT
from tests.storage.catalog.two_writers import SHARED

REPOSITORY = Path(__file__).parents[3]
WRITES = 25
KILLS = 20

pytestmark = pytest.mark.slow


@pytest.fixture(params=["file", "server"])
def place(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """A catalog that nobody has used yet, in a file and on a server."""
    if request.param == "file":
        return str(tmp_path / "catalog.db")
    address: str = request.getfixturevalue("address")
    return address


def started(module: str, *words: str) -> subprocess.Popen[str]:
    """A program of its own."""
    command = [sys.executable, "-m", f"tests.storage.catalog.{module}", *words]
    return subprocess.Popen(command, cwd=REPOSITORY, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)


def test_two_programs_lose_no_write(place: str) -> None:
    """Two programs write a counted number of times each: all of it is there, and neither sees a word of locks."""
    with Catalog(place) as catalog:
        catalog.build({SHARED: Part(kind="high_side", channels=0)}, "imported")
    programs = [started("two_writers", place, name, str(WRITES)) for name in ("a", "b")]
    said = [program.communicate() for program in programs]
    assert [(out.split(), err) for out, err in said] == [([str(number) for number in range(WRITES)], "")] * 2
    with Catalog(place) as catalog:
        shared = catalog.get(SHARED)
        assert shared is not None
        assert shared.channels == 2 * WRITES
        assert catalog.count() == 2 * WRITES + 1


def test_the_later_writer_is_told(place: str) -> None:
    """Who writes over what somebody else has changed since is refused in one sentence, and nothing of it is kept."""
    first, second = Part(kind="fet", mpn="A-1"), Part(kind="fet", mpn="A-2")
    with Catalog(place) as mine, Catalog(place) as theirs:
        mine.build({"a": first}, "imported")
        seen = {"a": mine.get("a"), "new": None}
        theirs.build({"a": second}, "edited", seen={"a": first})
        with pytest.raises(ConflictError) as caught:
            mine.build({"a": Part(kind="fet", mpn="A-3"), "new": first}, "edited", seen=seen)
        assert str(caught.value) == (
            "nothing was written: somebody else has changed a part that was looked at (a); look again, then decide"
        )
        assert mine.get_many(["a", "new"]) == {"a": second}


@pytest.mark.parametrize("kill", random.Random(7).sample(range(1, 24), KILLS))
def test_killed_on_the_way_to_a_newer_version(place: str, kill: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """A program killed at any statement of a step leaves the catalog at one of both versions, with all its parts."""
    with open_catalog(place) as catalog:
        before = catalog.count()
    program = started("killed_step", place, str(kill))
    out, err = program.communicate()
    assert (program.returncode, out, err) in {(-signal.SIGKILL, "", ""), (0, "done\n", "")}
    if program.returncode:
        with open_catalog(place) as catalog:
            assert catalog.count() == before
            catalog.build({"after": Part(kind="fet")}, "imported")
        before += 1
    monkeypatch.setattr(migrations, "MIGRATIONS", (*migrations.MIGRATIONS, NEXT))
    with Catalog(place, team_agrees=True) as catalog:
        assert catalog.count() == before
        assert catalog.find("can").rows
