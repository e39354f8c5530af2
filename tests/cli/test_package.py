"""`bomtui package`: one folder, whole or not at all, and never over anybody's own work."""

import hashlib
import json
from pathlib import Path

import pytest

from bomtui.storage.frozen_parts import parts_path, parts_text
from bomtui.storage.proposal.write import proposal_text
from tests.cli.running import Command
from tests.edit.small import small


@pytest.fixture
def offer(tmp_path: Path) -> Path:
    """A small proposal with its frozen parts."""
    file = tmp_path / "offer.toml"
    file.write_text(proposal_text(small().proposal), encoding="utf-8")
    parts_path(file).write_text(parts_text(small().parts), encoding="utf-8")
    return file


def _content(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def test_a_package_is_written_and_listed(bomtui: Command, offer: Path, tmp_path: Path) -> None:
    """Every artefact stands in every format, the list of files holds the hash of each, and open errors give exit 1."""
    outcome = bomtui("package", offer, "-o", tmp_path / "out")
    files = _content(tmp_path / "out")
    assert outcome.code == 1
    assert "NOT SENDABLE" in outcome.out
    (listing,) = [name for name in files if name.endswith("_package.json")]
    listed = json.loads(files[listing])["files"]
    assert {entry["name"] for entry in listed} == files.keys() - {listing}
    for entry in listed:
        assert hashlib.sha256(files[entry["name"]]).hexdigest() == entry["sha256"]
    kinds = {(entry["artefact"], entry["format"]) for entry in listed}
    for artefact in ("summary", "parts-list", "channel-list", "load-list", "power-budget", "thermal-sheet"):
        assert {(artefact, form) for form in ("csv", "json", "md", "xlsx")} <= kinds
    for artefact in ("standby-budget", "network-list", "failures", "findings", "assumptions", "diagrams"):
        assert {(artefact, form) for form in ("csv", "json", "md", "xlsx")} <= kinds
    assert ("package", "html") in kinds


def test_a_former_package_is_replaced_only_when_nobody_touched_it(bomtui: Command, offer: Path, tmp_path: Path) -> None:
    """A second package needs --overwrite, and not even that takes away a changed file or one of somebody else."""
    out = tmp_path / "out"
    words = ("package", offer, "-o", out, "--formats", "csv")
    assert bomtui(*words).code == 1
    before = _content(out)
    refused = bomtui(*words)
    assert refused.code == 3
    assert "nothing was written" in refused.err[-1]
    assert bomtui(*words, "--overwrite").code == 1
    assert _content(out) == before
    table = next(path for path in out.iterdir() if "thermal" in path.name)
    table.write_text("mine", encoding="utf-8")
    refused = bomtui(*words, "--overwrite")
    assert refused.code == 3
    assert table.name in refused.err[-1]
    assert table.read_text(encoding="utf-8") == "mine"
    table.write_bytes(before[table.name])
    (out / "notes.txt").write_text("mine", encoding="utf-8")
    assert bomtui(*words, "--overwrite").code == 3
    assert (out / "notes.txt").exists()
    assert [path.name for path in tmp_path.iterdir() if path.name.startswith(".")] == []


def test_nothing_half_written_remains(
    bomtui: Command, offer: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where the disk refuses in the middle, the folder is as it was and nothing lies beside it."""
    out = tmp_path / "out"
    words = ("package", offer, "-o", out, "--formats", "csv")
    bomtui(*words)
    before = _content(out)
    calls: list[int] = []

    def full(_: int) -> None:
        calls.append(1)
        if len(calls) == 5:
            raise OSError(28, "No space left on device")

    monkeypatch.setattr("bomtui.storage.folder.os.fsync", full)
    refused = bomtui(*words, "--overwrite")
    assert refused.code == 3
    assert "No space left on device" in refused.err[-1]
    assert _content(out) == before
    assert [path.name for path in tmp_path.iterdir() if path.name.startswith(".")] == []


def test_the_way_back_is_taken_when_the_new_folder_cannot_get_its_name(
    bomtui: Command, offer: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where the last step fails, the former package stands in its place again."""
    out = tmp_path / "out"
    words = ("package", offer, "-o", out, "--formats", "md")
    bomtui(*words)
    before = _content(out)
    rename = Path.rename

    def failing(path: Path, target: Path) -> Path:
        if path.name == "new":
            raise OSError(5, "Input/output error")
        return rename(path, target)

    monkeypatch.setattr(Path, "rename", failing)
    assert bomtui(*words, "--overwrite").code == 3
    assert _content(out) == before


def test_force_says_so_everywhere(bomtui: Command, offer: Path, tmp_path: Path) -> None:
    """A forced package ends well, and each of its files says that it was forced."""
    outcome = bomtui("package", offer, "-o", tmp_path / "out", "--force", "--formats", "csv,md,html,json,cyclonedx")
    assert outcome.code == 0
    assert "FORCED although not sendable" in outcome.out
    for name, data in _content(tmp_path / "out").items():
        assert b"FORCED although not sendable" in data or b'"forced": true' in data, name


def test_numbers_are_written_as_asked(bomtui: Command, offer: Path, tmp_path: Path) -> None:
    """A decimal comma brings the semicolon with it, and a comma between cells beside it is refused."""
    words = ("package", offer, "--decimal-comma", "--formats", "csv")
    bomtui(*words, "-o", tmp_path / "out")
    (loads,) = (tmp_path / "out").glob("*load-list*.csv")
    assert loads.read_text(encoding="utf-8").startswith('"id";"subsystem"')
    refused = bomtui(*words, "-o", tmp_path / "other", "--separator", "comma")
    assert refused.code == 2
    assert "a decimal comma needs another separator" in refused.err[-1]
    assert not (tmp_path / "other").exists()


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("--formats", "pdf"), 2, "expected some of html,xlsx,csv,md,json,cyclonedx, found pdf"),
        (("--formats", ","), 2, "found none"),
        (("--variant", "none"), 2, "there is no variant 'none'"),
        (("--with", "none"), 2, "there is no variant 'none'"),
    ],
)
def test_what_cannot_be_meant_is_refused(
    bomtui: Command, offer: Path, tmp_path: Path, words: tuple[str, ...], code: int, said: str
) -> None:
    """A wrong word gives one sentence, and nothing is written."""
    outcome = bomtui("package", offer, "-o", tmp_path / "out", *words)
    assert outcome.code == code
    assert said in outcome.err[-1]
    assert not (tmp_path / "out").exists()


def test_a_place_that_is_no_folder_is_refused(bomtui: Command, offer: Path, tmp_path: Path) -> None:
    """A file, or a folder in a folder that does not exist, is refused before anything is computed."""
    assert "found a file" in bomtui("package", offer, "-o", offer).err[-1]
    assert "there is no folder" in bomtui("package", offer, "-o", tmp_path / "a" / "b").err[-1]
