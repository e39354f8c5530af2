"""A folder that is written whole or not at all."""

from pathlib import Path

import pytest

from bomtui.storage.folder import ForeignFileError, write_folder

NAMES = frozenset(("a", "b"))


def test_a_content_takes_the_place_of_the_former_one(tmp_path: Path) -> None:
    """Afterwards the folder holds the new files and nothing else, and nothing lies beside it."""
    folder = tmp_path / "package"
    write_folder(folder, {"a": b"1", "b": b"2"}, NAMES)
    write_folder(folder, {"a": b"3"}, NAMES)
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == {"a": b"3"}
    assert [path.name for path in tmp_path.iterdir()] == ["package"]


def test_what_a_killed_program_had_moved_aside_comes_back(tmp_path: Path) -> None:
    """A folder that was moved aside has its name again, and its files are asked for before they go."""
    folder, room = tmp_path / "package", tmp_path / ".package.x1"
    (room / "former").mkdir(parents=True)
    (room / "former" / "mine.txt").write_bytes(b"kept")
    with pytest.raises(ForeignFileError, match="mine"):
        write_folder(folder, {"a": b"1"}, NAMES)
    assert (folder / "mine.txt").read_bytes() == b"kept"
    assert not room.exists()
