"""Upkeep that is killed at any moment: what was acknowledged is there, and the step it was in happened or did not."""

import random
import subprocess
import sys
from itertools import pairwise
from pathlib import Path

import pytest

from bomtui.storage.catalog import open_catalog
from tests.storage.catalog.killed_upkeep import STEPS

REPOSITORY = Path(__file__).parents[3]
POINTS = 20
MOMENTS = 220
"""Moments of the whole program, on a file and on a server alike at least."""
State = tuple[dict[str, object], list[tuple[str, bool]]]

pytestmark = pytest.mark.slow


@pytest.fixture(params=["file", "server"])
def place(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """A catalog of the shipped parts, in a file and on a server."""
    place = str(tmp_path / "catalog.sqlite") if request.param == "file" else request.getfixturevalue("address")
    open_catalog(place).close()
    return str(place)


def state_of(place: str) -> State:
    """All parts with where they come from, and the steps."""
    with open_catalog(place) as catalog:
        rows = catalog.find(limit=1000).rows
        parts = catalog.get_many(row.key for row in rows)
        steps = [(step.label, bool(step.undone)) for step in catalog.history()]
        return {row.key: (row.origin, parts[row.key]) for row in rows}, steps


@pytest.fixture(scope="module")
def states(tmp_path_factory: pytest.TempPathFactory) -> list[State]:
    """What the catalog is before the first step and after each."""
    place = str(tmp_path_factory.mktemp("whole") / "catalog.sqlite")
    found = [state_of(place)]
    for step in STEPS:
        step(place)
        found.append(state_of(place))
    return found


def kept(place: str, last: int) -> subprocess.CompletedProcess[str]:
    """Run the program to the kill, or to its end."""
    command = [sys.executable, "-m", "tests.storage.catalog.killed_upkeep", place, str(last)]
    return subprocess.run(command, cwd=REPOSITORY, capture_output=True, text=True, check=False)


def test_the_steps_differ(states: list[State], place: str) -> None:
    """Each step leaves another state, the whole program the last of them, at the moments that are aimed at."""
    assert all(one != other for one, other in pairwise(states))
    whole = kept(place, 0)
    assert whole.returncode == 0
    assert int(whole.stderr) >= MOMENTS
    assert state_of(place) == states[-1]


@pytest.mark.parametrize("last", sorted(random.Random(5).sample(range(1, MOMENTS), POINTS)))
def test_killed_upkeep(states: list[State], place: str, last: int) -> None:
    """The catalog opens as it was after the last acknowledged step, or after the one in which it was killed."""
    killed = kept(place, last)
    assert killed.returncode == -9, killed.stderr
    done = len(killed.stdout.split())
    assert done < len(STEPS)
    assert state_of(place) in states[done : done + 2]
