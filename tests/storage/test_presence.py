"""Which proposals are open in running programs."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from bomtui.storage.presence import arrive

HOLDER = (
    "import sys; from pathlib import Path; from bomtui.storage.presence import arrive;"
    "arrive(Path(sys.argv[1]), Path(sys.argv[1], 'p.toml')); print('there', flush=True); sys.stdin.read()"
)


@pytest.fixture
def proposal(tmp_path: Path) -> Path:
    """A proposal file."""
    return tmp_path / "p.toml"


def test_who_comes_later_is_not_alone(tmp_path: Path, proposal: Path) -> None:
    """As long as anybody is there, whoever comes sees it; the last one takes the file away."""
    first = arrive(tmp_path, proposal)
    second = arrive(tmp_path, proposal)
    assert (first.is_alone, second.is_alone) == (True, False)
    first.leave()
    third = arrive(tmp_path, proposal)
    assert not third.is_alone
    second.leave()
    third.leave()
    assert list(tmp_path.iterdir()) == []
    again = arrive(tmp_path, proposal)
    assert again.is_alone
    again.leave()


def test_other_proposals_do_not_count(tmp_path: Path, proposal: Path) -> None:
    """Each proposal has a mark of its own, whatever the name by which it is reached."""
    proposal.touch()
    link = tmp_path / "link.toml"
    link.symlink_to(proposal)
    first = arrive(tmp_path / "state", proposal)
    assert arrive(tmp_path / "state", tmp_path / "other.toml").is_alone
    assert not arrive(tmp_path / "state", link).is_alone
    first.leave()


def test_a_living_program_is_seen_and_a_killed_one_is_not(tmp_path: Path, proposal: Path) -> None:
    """The mark is the lock and not the file: the system drops it with the process, however that ends."""
    with subprocess.Popen(
        [sys.executable, "-c", HOLDER, str(tmp_path)], stdin=subprocess.PIPE, stdout=subprocess.PIPE
    ) as holder:
        assert holder.stdout is not None
        assert holder.stdout.readline() == b"there\n"
        own = arrive(tmp_path, proposal)
        assert not own.is_alone
        own.leave()
        holder.kill()
        holder.wait()
    assert list(tmp_path.glob("*.open")), "the killed program has left its file"
    assert arrive(tmp_path, proposal).is_alone


def test_a_file_deleted_by_the_last_one_to_leave_is_not_shared(
    tmp_path: Path, proposal: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Who has opened the file just before it was deleted begins again, so that the next one sees him."""
    last = arrive(tmp_path, proposal)
    opened = os.open

    def opened_late(*arguments: object) -> int:
        descriptor = opened(*arguments)  # type: ignore[arg-type]
        monkeypatch.undo()
        last.leave()
        return descriptor

    monkeypatch.setattr(os, "open", opened_late)
    own = arrive(tmp_path, proposal)
    assert own.is_alone
    assert not arrive(tmp_path, proposal).is_alone
