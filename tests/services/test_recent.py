"""The proposals opened last."""

import datetime
import os
from pathlib import Path

from bomtui.services.recent import KEPT, recent_files, recent_path, remember

DAY = datetime.date(2026, 10, 1)


def _proposal(folder: Path, name: str) -> Path:
    path = folder / name
    path.write_text("format = 1", encoding="utf-8")
    return path


def test_the_newest_comes_first_and_once(tmp_path: Path) -> None:
    """Opening again moves a proposal to the front with its new title and day; one that is gone is left out."""
    config = tmp_path / "config"
    first, second, gone = (_proposal(tmp_path, name) for name in ("a.toml", "b.toml", "c.toml"))
    assert recent_files(config) == ()
    for path, title, day in ((first, "A", 1), (gone, "C", 2), (second, "B", 3), (first, "A again", 4)):
        assert remember(path, title, DAY.replace(day=day), config) == ""
    gone.unlink()
    assert [(entry.title, entry.day.day) for entry in recent_files(config)] == [("A again", 4), ("B", 3)]
    assert recent_files(config)[0].path == str(first.resolve())


def test_only_so_many_are_kept(tmp_path: Path) -> None:
    """The list does not grow without end."""
    config = tmp_path / "config"
    for number in range(KEPT + 3):
        remember(_proposal(tmp_path, f"{number}.toml"), str(number), DAY, config)
    assert recent_files(config)[0].title == str(KEPT + 2)
    assert len(recent_files(config)) == KEPT


def test_a_damaged_list_is_begun_anew(tmp_path: Path) -> None:
    """What another program wrote into the file offers nothing and keeps nobody from working."""
    recent_path(tmp_path).write_bytes(b'[{"path": 1}')
    assert recent_files(tmp_path) == ()
    assert remember(_proposal(tmp_path, "a.toml"), "A", DAY, tmp_path) == ""
    assert [entry.title for entry in recent_files(tmp_path)] == ["A"]


def test_a_folder_that_cannot_be_made_is_said(tmp_path: Path) -> None:
    """Where nothing can be written the opening goes on, with one sentence."""
    blocked = _proposal(tmp_path, "file")
    sentence = remember(_proposal(tmp_path, "a.toml"), "A", DAY, blocked / "config")
    assert sentence.startswith(str(blocked / "config"))
    assert "nothing is remembered" in sentence


def test_a_name_that_is_no_text_is_said(tmp_path: Path) -> None:
    """It cannot be written down; what was remembered stays."""
    path = tmp_path / os.fsdecode(b"caf\xe9.toml")
    other = tmp_path / "other.toml"
    for own in (path, other):
        own.touch()
    remember(other, "Other", DAY, tmp_path)
    assert "bytes that are no text" in remember(path, "Van", DAY, tmp_path)
    assert [entry.path for entry in recent_files(tmp_path)] == [str(other)]


def test_the_usual_place_is_the_persons_own() -> None:
    """Without a folder the list lies in the person's configuration folder."""
    assert recent_path().parent.name == "bomtui"
    assert recent_path().name == "recent.json"
