"""A program that is killed at any moment: on reopening, nothing that was acknowledged is lost."""

import subprocess
import sys
from pathlib import Path

import pytest

from bomtui.services.session import open_session
from bomtui.storage.frozen_parts import parts_path, parts_text
from bomtui.storage.proposal.write import proposal_text
from tests.architecture.scan import REPO
from tests.edit.small import small
from tests.services.killed_session import states_of

STEPS = 40
BUSY_SEED = 114
"""A run that saves often, both files at once among it."""
BUSY_CALLS = 98
"""Calls of that run that change what is on the disk."""


def small_proposal(folder: Path) -> Path:
    """Write the small proposal into a new folder."""
    folder.mkdir()
    path = folder / "small.toml"
    path.write_text(proposal_text(small().proposal), encoding="utf-8")
    parts_path(path).write_text(parts_text(small().parts), encoding="utf-8")
    return path


def check_killed(folder: Path, seed: int, steps: int, call: int = 0, when: str = "") -> int:
    """Kill a run, reopen, and hold the found state against those of an undisturbed run; return the actions done."""
    states = states_of(seed, STEPS, small_proposal(folder / "undisturbed"), folder / "other_state")
    path, journals, log = small_proposal(folder / "killed"), folder / "state", folder / "log"
    arguments = [str(path), str(journals), str(log), str(seed), str(steps), str(call), when]
    run = subprocess.run(
        [sys.executable, "-m", "tests.services.killed_session", *arguments],
        cwd=REPO,
        capture_output=True,
        text=True,
        check=False,
    )
    assert run.returncode == -9, run.stderr
    acknowledged = len(log.read_text(encoding="utf-8").splitlines())
    session = open_session(path, journals)
    assert session.offer is None, session.offer
    assert session.notices == []
    assert session.problems == ()
    found = session.snapshot.proposal, session.snapshot.parts
    # The action under way when it was killed may be on the disk, or not; whatever was acknowledged must be.
    allowed = [(state.proposal, state.parts) for state in states[acknowledged : acknowledged + 2]]
    assert found in allowed, f"{acknowledged} actions were acknowledged, and another state was found"
    # It can be worked on: everything that came back is undone, and saved.
    while session.undo():
        pass
    session.save()
    session.close()
    assert sorted(entry.name for entry in path.parent.glob("*.toml")) == ["small.parts.toml", "small.toml"]
    assert list(journals.glob("*")) == []
    return acknowledged


@pytest.mark.parametrize("seed", [1, 2])
def test_a_kill_after_an_acknowledged_step(tmp_path: Path, seed: int) -> None:
    """After the n-th acknowledged action the process is killed, and its state is there on reopening."""
    steps = 5 + 9 * seed
    assert check_killed(tmp_path, seed, steps) == steps


@pytest.mark.parametrize(("call", "when"), [(23, "before"), (58, "half"), (97, "after")])
def test_a_kill_at_a_call(tmp_path: Path, call: int, when: str) -> None:
    """Killed before, half through or after some write, flush, rename or deletion, nothing is lost."""
    assert check_killed(tmp_path, BUSY_SEED, STEPS, call, when) < STEPS


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(30))
def test_thirty_kills_after_acknowledged_steps(tmp_path: Path, seed: int) -> None:
    """For thirty seeds, each killed after another acknowledged action, nothing acknowledged is lost."""
    steps = 1 + seed * 13 % STEPS
    assert check_killed(tmp_path, 100 + seed, steps) == steps


@pytest.mark.slow
@pytest.mark.parametrize("when", ["before", "half", "after"])
@pytest.mark.parametrize("call", range(1, BUSY_CALLS + 1))
def test_a_kill_at_every_call(tmp_path: Path, call: int, when: str) -> None:
    """For one run with several saves, killed at each of its calls of the system in turn, nothing is lost."""
    assert check_killed(tmp_path, BUSY_SEED, STEPS, call, when) < STEPS
