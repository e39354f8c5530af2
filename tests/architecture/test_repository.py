"""What is committed: the agreed entries, no leftovers, nothing that only one machine knows, and a whole wheel."""

import os
import re
import zipfile
from collections.abc import Iterable
from pathlib import Path

import pytest
from hatchling.builders.wheel import WheelBuilder

from tests.architecture.scan import REPO, project_files

TOP_LEVEL = {
    "README.md", "DEVELOPERS.md", "pyproject.toml", "bomtui", "catalog", "tests", "sample_projects", "LICENSE",
    "CHANGELOG.md", "requirements.lock",
}  # fmt: skip
# Written in pieces, or this file would find itself.
UNFINISHED = re.compile(r"\b(?:" + "|".join(("TO" + "DO", "FIX" + "ME", "XX" + "X")) + r")\b")
MACHINE_PATH = re.compile(r"(?<![\w.*~-])/(?:home|root|Users|tmp|work|opt|mnt)/[\w.-]|\b[A-Z]:\\(?:Users|Temp)\b")
# In prose, not as the name of a file that a command or a test writes.
DOCUMENT = re.compile(r"(?<![\w\"'/.*-])[\w-]+\.md\b")
ADDRESS = re.compile(r"https?://|file:|--(?:extra-)?index-url|--find-links|--trusted-host")


def text_of(name: str) -> str:
    """Text of a committed file; empty for one that is no text."""
    data = (REPO / name).read_bytes()
    return "" if b"\0" in data else data.decode("utf-8", errors="replace")


def lines_with(pattern: re.Pattern[str], texts: Iterable[tuple[str, str]]) -> list[str]:
    """File, line and finding of every match."""
    return [
        f"{name}:{number}: {match.group()}"
        for name, text in texts
        for number, line in enumerate(text.splitlines(), 1)
        if (match := pattern.search(line))
    ]


def test_top_level_entries_are_the_agreed_ones() -> None:
    """The top of the repository holds the agreed entries and dotfiles only."""
    entries = {name.split("/")[0] for name in project_files()}
    assert sorted(entry for entry in entries - TOP_LEVEL if not entry.startswith(".")) == []


def test_no_file_knows_the_machine_it_was_written_on() -> None:
    """No committed file holds a path of somebody's machine."""
    assert lines_with(MACHINE_PATH, ((name, text_of(name)) for name in project_files())) == []


def test_no_file_promises_later_work() -> None:
    """No committed file holds a note that something is unfinished."""
    assert lines_with(UNFINISHED, ((name, text_of(name)) for name in project_files())) == []


def test_documents_that_are_cited_exist() -> None:
    """A reader finds every document of the project that a source file refers to."""
    names = project_files()
    existing = {name.rpartition("/")[2] for name in names}
    cited = lines_with(DOCUMENT, ((name, text_of(name)) for name in names if name.endswith((".py", ".toml", ".csv"))))
    assert [line for line in cited if line.rpartition(" ")[2] not in existing] == []


def test_lock_file_pins_everything_and_names_no_index() -> None:
    """Each line of the lock is a pinned package or its hash, and none says where it came from."""
    text = text_of("requirements.lock")
    assert lines_with(ADDRESS, [("requirements.lock", text)]) == []
    packages = [line for line in text.splitlines() if line and not line.startswith(("#", " "))]
    assert packages
    assert [line for line in packages if not re.match(r"[a-z0-9.-]+==[\w.]+ ", line)] == []
    assert text.count("--hash=sha256:") >= len(packages)


def test_the_decisive_run_is_a_program() -> None:
    """The script that decides can be started as it is."""
    assert os.access(REPO / ".ci" / "run", os.X_OK)


@pytest.mark.parametrize(
    "line",
    ["see /" + "home/me/x", "path = '/" + "tmp/x'", "C:" + "\\Users\\me", "(/" + "work/main)"],
)
def test_machine_paths_are_seen(line: str) -> None:
    """Paths of several systems are recognised."""
    assert len(lines_with(MACHINE_PATH, [("x", line)])) == 1


@pytest.mark.parametrize("line", ["K/" + "work/h", "https://example.org/home/x", "tests/data/x", "~/.config/bomtui"])
def test_other_slashes_are_left_alone(line: str) -> None:
    """Units, addresses and paths of the repository pass."""
    assert lines_with(MACHINE_PATH, [("x", line)]) == []


@pytest.mark.parametrize(
    ("line", "count"), [("see plan." + "md 3", 1), ("# plan." + "md", 1), ('"out.md"', 0), ("-o x/out.md", 0)]
)
def test_cited_documents_are_seen(line: str, count: int) -> None:
    """A document in prose is recognised; the name of an output is none."""
    assert len(lines_with(DOCUMENT, [("x", line)])) == count


def test_promises_and_addresses_are_seen() -> None:
    """Each forbidden word and each address is recognised."""
    words = ["TO" + "DO", "FIX" + "ME:", "(XX" + "X)"]
    assert len(lines_with(UNFINISHED, [("x", word) for word in words])) == len(words)
    assert lines_with(UNFINISHED, [("x", "autodoc XXXL")]) == []
    assert len(lines_with(ADDRESS, [("x", "a @ https://host/a.whl"), ("x", "--index-url y")])) == 2


@pytest.mark.slow
def test_the_wheel_holds_catalog_and_samples(tmp_path: Path) -> None:
    """An installed program has the whole package, the catalog and the samples, and nothing else."""
    (wheel,) = WheelBuilder(str(REPO)).build(directory=str(tmp_path), versions=["standard"])
    with zipfile.ZipFile(wheel) as archive:
        packed = {name for name in archive.namelist() if ".dist-info/" not in name}
    moved = ("catalog/", "sample_projects/")
    expected = {name for name in project_files() if name.startswith("bomtui/")}
    expected |= {f"bomtui/_data/{name}" for name in project_files() if name.startswith(moved)}
    assert packed == expected
