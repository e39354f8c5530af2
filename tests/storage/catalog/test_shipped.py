"""Shipped parts and samples are found in a clone and in an installed wheel, and faults in part tables are all named."""

import shutil
from pathlib import Path

import pytest

from bomtui.model.part import Part
from bomtui.storage import shipped
from tests.architecture.scan import REPO

HEADER = "key,kind,rds_on.typ [mohm],rds_on.max [mohm],breaks,sides,supplies.main.current.typ [mA],parallel_ok"


def read(folder: Path, text: str | bytes) -> tuple[dict[str, Part], list[str]]:
    """Parts and faults of one table."""
    path = folder / "fet.csv"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    parts, problems = shipped.read_part_tables([path])
    return parts, [str(problem) for problem in problems]


def test_a_clone_has_its_catalog_at_the_top() -> None:
    """In a clone the folders are those of the repository."""
    assert shipped.shipped_folder(shipped.CATALOG) == REPO / "catalog"
    assert len(shipped.shipped_catalog_hash()) == 64


def test_an_installed_wheel_has_its_own_copy(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Inside the package a copy comes first: a folder of that name beside it is somebody else's."""
    package = tmp_path / "site" / "bomtui"
    shutil.copytree(REPO / "catalog", package / "_data" / "catalog")
    (tmp_path / "site" / "catalog").mkdir()
    (package / "_data" / "sample_projects" / "van").mkdir(parents=True)
    (package / "_data" / "sample_projects" / "van" / "van.toml").write_text("", encoding="utf-8")
    (package / "_data" / "sample_projects" / "empty").mkdir()
    in_clone = shipped.shipped_catalog_hash()
    monkeypatch.setattr(shipped, "__file__", str(package / "storage" / "shipped.py"))
    assert shipped.shipped_folder(shipped.CATALOG) == package / "_data" / "catalog"
    assert list(shipped.sample_folders()) == ["van"]
    assert shipped.shipped_catalog_hash() == in_clone
    parts, problems = shipped.read_shipped_catalog()
    assert (len(parts), problems) == (129, ())


def test_the_hash_follows_the_content(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Another cell is another hash; another line ending is not."""
    package = tmp_path / "bomtui"
    folder = package / "_data" / "catalog"
    shutil.copytree(REPO / "catalog", folder)
    monkeypatch.setattr(shipped, "__file__", str(package / "storage" / "shipped.py"))
    before = shipped.shipped_catalog_hash()
    table = folder / "fet.csv"
    content = table.read_bytes()
    table.write_bytes(content.replace(b"\n", b"\r\n"))
    assert shipped.shipped_catalog_hash() == before
    table.write_bytes(content.replace(b"fet40-1,", b"fet40-9,", 1))
    assert shipped.shipped_catalog_hash() != before


def test_an_installation_without_them_is_a_problem_and_no_crash(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A damaged installation is said in one sentence."""
    monkeypatch.setattr(shipped, "__file__", str(tmp_path / "bomtui" / "storage" / "shipped.py"))
    parts, problems = shipped.read_shipped_catalog()
    assert parts == {}
    assert [str(problem) for problem in problems] == [
        "catalog: expected the folder of the shipped catalog, found none: the installation is damaged"
    ]
    assert shipped.sample_folders() == {}
    assert shipped.shipped_catalog_hash() == ""


def test_cells_are_read_in_the_unit_of_their_header(tmp_path: Path) -> None:
    """Numbers take the header's unit, lists are split at spaces, flags are words, an empty cell is unknown."""
    parts, problems = read(tmp_path, f"{HEADER}\nF1,fet,2.5,,500:1.2328 1000:0.9200,HS LS,4,yes\n\nF2,fet,,3,,,,\n")
    assert problems == []
    first, second = parts.values()
    assert (first.rds_on_ohm.typ, first.rds_on_ohm.max) == (0.0025, None)
    assert [str(rung.price) for rung in first.breaks] == ["1.2328", "0.9200"]
    assert first.sides == ("HS", "LS")
    assert first.supplies["main"].current_a.typ == 0.004
    assert first.parallel_ok is True
    assert (second.rds_on_ohm.typ, second.rds_on_ohm.max) == (None, 0.003)
    assert (second.parallel_ok, second.supplies) == (None, {})


def test_every_fault_is_named_with_line_and_column(tmp_path: Path) -> None:
    """All faults come at once, and a part keeps the fields that are sound."""
    text = (
        "key,kind,rds_on.typ [mohm],rds_onn.max [mohm],theta_ja [V],kind,channels,Bad Header\n"
        "F1,fet,abc,1,1,x,4,\n"
        "F2,no_kind,1,1,1,x,4,\n"
        "F3,fet,1,1\n"
        "F1,fet,1,1,1,x,4,\n"
        "f1,fet,1,1,,x,x4,\n"
    )
    parts, problems = read(tmp_path, text)
    assert list(parts) == ["F1"]
    assert parts["F1"].channels == 4
    assert [problem.split(": ")[0] + ": " + problem.split(": ")[1] for problem in problems] == [
        "fet.csv:1: rds_onn.max [mohm]",
        "fet.csv:1: kind",
        "fet.csv:1: Bad Header",
        "fet.csv:2: F1",
        "fet.csv:2: F1",
        "fet.csv:3: F2",
        "fet.csv:3: F2",
        "fet.csv:4: expected 8 cells, found 4",
        "fet.csv:5: key",
        "fet.csv:6: f1",
        "fet.csv:6: f1",
        "fet.csv:6: key",
    ]


def test_a_file_that_is_no_table_is_one_problem(tmp_path: Path) -> None:
    """Bytes that are no text, a quote that is never closed and a table without keys are named."""
    problem = "fet.csv: expected text in UTF-8, found bytes that are none"
    assert read(tmp_path, b"key,kind\nF1,\xff\n") == ({}, [problem])
    parts, problems = read(tmp_path, 'key,kind\nF1,fet\nF2,"fet\n')
    assert list(parts) == ["F1"]
    assert problems == ["fet.csv:3: expected a CSV table, found a row that is none (unexpected end of data)"]
    assert read(tmp_path, "kind,mpn\nfet,1\n")[1][0] == "fet.csv:1: kind: expected `key` as the first column"
    assert read(tmp_path, "") == ({}, [])
