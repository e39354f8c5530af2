"""Writing files whole: a write that fails at any step leaves the old file and nothing else."""

import os
import stat
from collections.abc import Callable
from pathlib import Path

import pytest

from bomtui.storage import atomic


def names(folder: Path) -> list[str]:
    """Names of everything in a folder, hidden files too."""
    return sorted(entry.name for entry in folder.iterdir())


def test_a_new_file_is_made_and_its_hash_returned(tmp_path: Path) -> None:
    """The content is there, nothing else is, and the returned hash is that of the file."""
    path = tmp_path / "a.toml"
    written = atomic.write(path, b"one", expected_hash=atomic.NO_FILE)
    assert path.read_bytes() == b"one"
    assert names(tmp_path) == ["a.toml"]
    assert atomic.file_hash(path) == written


def test_a_file_is_replaced_only_if_it_is_the_expected_one(tmp_path: Path) -> None:
    """A file that was changed, made or deleted outside is not overwritten, and the error names it."""
    path = tmp_path / "a.toml"
    known = atomic.write(path, b"one")
    path.write_bytes(b"somebody else's")
    with pytest.raises(atomic.ChangedOutsideError, match=r"a\.toml: the file was changed by somebody else"):
        atomic.write(path, b"two", expected_hash=known)
    assert path.read_bytes() == b"somebody else's"
    with pytest.raises(atomic.ChangedOutsideError):
        atomic.write(path, b"two", expected_hash=atomic.NO_FILE)
    path.unlink()
    with pytest.raises(atomic.ChangedOutsideError):
        atomic.write(path, b"two", expected_hash=known)
    assert names(tmp_path) == []


def fail(*_: object, **__: object) -> None:
    """Fail as a full disk does."""
    raise OSError(28, "No space left on device")


def interrupt(*_: object, **__: object) -> None:
    """Fail as a person does who stops the program."""
    raise KeyboardInterrupt


@pytest.mark.parametrize("failure", [fail, interrupt])
@pytest.mark.parametrize("step", ["fsync", "fdopen", "fchmod", "replace"])
def test_nothing_half_written_remains(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, step: str, failure: Callable[..., None]
) -> None:
    """Whatever step fails, the old content stands whole and no temporary file is left."""
    path = tmp_path / "a.toml"
    atomic.write(path, b"old")
    monkeypatch.setattr(Path if step == "replace" else os, step, failure)
    with pytest.raises((OSError, KeyboardInterrupt)):
        atomic.write(path, b"new" * 1000)
    monkeypatch.undo()
    assert path.read_bytes() == b"old"
    assert names(tmp_path) == ["a.toml"]


def test_a_failed_write_of_a_new_file_leaves_no_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where there was no file there is none afterwards."""
    monkeypatch.setattr(os, "fsync", fail)
    with pytest.raises(OSError, match="No space left"):
        atomic.write(tmp_path / "a.toml", b"new")
    monkeypatch.undo()
    assert names(tmp_path) == []


def test_the_order_of_the_steps(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The data are flushed to the disk before the rename, and the folder after it."""
    steps: list[str] = []
    sync, replace = os.fsync, Path.replace

    def noted_sync(descriptor: int) -> None:
        steps.append("folder" if stat.S_ISDIR(os.fstat(descriptor).st_mode) else "file")
        sync(descriptor)

    def noted_replace(path: Path, target: Path) -> Path:
        steps.append("rename")
        assert path.read_bytes() == b"new"
        return replace(path, target)

    monkeypatch.setattr(os, "fsync", noted_sync)
    monkeypatch.setattr(Path, "replace", noted_replace)
    atomic.write(tmp_path / "a.toml", b"new")
    assert steps == ["file", "rename", "folder"]


def test_links_and_permissions_are_kept(tmp_path: Path) -> None:
    """Saving through a link writes the file it leads to, and the file keeps its permissions."""
    (tmp_path / "real").mkdir()
    real, link = tmp_path / "real" / "a.toml", tmp_path / "link.toml"
    real.write_bytes(b"old")
    real.chmod(0o640)
    link.symlink_to(real)
    atomic.write(link, b"new")
    assert link.is_symlink()
    assert real.read_bytes() == b"new"
    assert stat.S_IMODE(real.stat().st_mode) == 0o640
    assert names(tmp_path / "real") == ["a.toml"]


def test_a_locked_file_is_not_replaced(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file that may not be written is left alone although its folder would allow the rename."""
    path = tmp_path / "a.toml"
    path.write_bytes(b"old")
    monkeypatch.setattr(os, "access", lambda *_: False)
    with pytest.raises(PermissionError):
        atomic.write(path, b"new")
    assert path.read_bytes() == b"old"


def test_a_missing_folder_is_an_error_of_the_system(tmp_path: Path) -> None:
    """No folder is made in passing."""
    with pytest.raises(FileNotFoundError):
        atomic.write(tmp_path / "none" / "a.toml", b"new")
    assert names(tmp_path) == []
