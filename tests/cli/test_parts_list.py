"""`bomtui parts-list`: the same list as text, CSV, JSON and Markdown."""

import csv
import io
from decimal import Decimal
from pathlib import Path

import pytest

from tests.cli.running import SWEEPER, VAN, Command

VARIANTS = [
    (SWEEPER, "zone", "439.2334"),
    (SWEEPER, "distributed", "476.5482"),
    (VAN, "central", "317.8890"),
    (VAN, "distributed", "386.8115"),
]


@pytest.mark.parametrize(("sample", "variant", "total"), VARIANTS)
def test_lines_add_to_the_printed_total(bomtui: Command, sample: Path, variant: str, total: str) -> None:
    """In CSV and JSON the lines add to the total, and the total is the parts cost of the rollup."""
    found = bomtui("parts-list", sample, "--variant", variant, "--format", "json").json
    table = bomtui("parts-list", sample, "--variant", variant, "--format", "csv").out
    rows = list(csv.DictReader(io.StringIO(table)))
    lines = [row for row in rows if row["line"].isdecimal()]
    (last,) = [row for row in rows if row["line"] == "total"]
    assert found["total"] == total == last["line_price [EUR]"]
    assert found["unknown"] == 0
    assert sum(Decimal(line["line_price"]) for line in found["lines"]) == Decimal(total)
    assert sum(Decimal(row["line_price [EUR]"]) for row in lines) == Decimal(total)
    excess = sum(Decimal(row["excess_per_year [EUR]"]) for row in lines)
    assert excess == Decimal(last["excess_per_year [EUR]"]) == Decimal(found["excess_per_year"])
    assert last["note"] == "line_price: exact; excess_per_year: exact"


@pytest.mark.slow
def test_file_and_stdout_hold_the_same_bytes(bomtui: Command, tmp_path: Path) -> None:
    """Each file format is chosen by the file name, equals what stdout shows, and repeats byte by byte."""
    for name in ("csv", "json", "md"):
        path = tmp_path / f"DEMO.{name}"
        written = bomtui("parts-list", SWEEPER, "-o", path)
        shown = bomtui("parts-list", SWEEPER, "--format", name)
        assert (written.code, written.stdout, written.err) == (0, b"", [])
        assert path.read_bytes() == shown.stdout
        assert b"\r" not in shown.stdout
        assert shown.stdout.endswith(b"\n")


@pytest.mark.parametrize("name", ["csv", "json", "md", "text"])
def test_every_format_says_that_the_data_are_invented(bomtui: Command, name: str) -> None:
    """Title and notice of a sample's list say DEMO DATA, and so does each format carry hash, version and cautions."""
    text = " ".join(bomtui("parts-list", SWEEPER, "--format", name).out.split())
    content_hash = bomtui("rollup", SWEEPER, "--format", "json").json["content_hash"]
    assert "DEMO DATA - Parts list: Street sweeper, depot series, variant zone" in text
    assert "invented parts" in text
    assert content_hash in text
    assert "2026-10-01" in text
    assert "qualified engineers decide what is built." in text


def test_a_file_name_that_hides_the_demo_is_noted(bomtui: Command, tmp_path: Path) -> None:
    """The name a person types is kept, and one sentence says that it does not show the data to be invented."""
    result = bomtui("parts-list", SWEEPER, "-o", tmp_path / "quote.csv")
    assert result.code == 0
    assert (tmp_path / "quote.csv").is_file()
    assert len(result.err) == 1
    assert "street_sweeper_zone_parts-list_DEMO-DATA.csv" in result.err[0]


def test_part_numbers_stay_letter_by_letter(bomtui: Command) -> None:
    """Leading zeros, an E between digits, sixteen digits and what looks like a date survive in every format."""
    traps = {"mcu-100": "0710111", "mcu-cluster": "4400120093300017", "hs24-1x4": "38E15", "conn-pw": "1-05-15"}
    rows = csv.DictReader(io.StringIO(bomtui("parts-list", SWEEPER, "--format", "csv").out))
    in_csv = {row["part"]: row["mpn"] for row in rows}
    in_json = {line["part"]: line["mpn"] for line in bomtui("parts-list", SWEEPER, "--format", "json").json["lines"]}
    text = bomtui("parts-list", SWEEPER).out
    page = bomtui("parts-list", SWEEPER, "--format", "md").out
    assert {key: in_csv[key] for key in traps} == traps == {key: in_json[key] for key in traps}
    for mpn in traps.values():
        assert f"| {mpn} |" in page
        assert mpn in text.split()


def test_a_part_without_frozen_data_is_unknown_and_counted(bomtui: Command, tmp_path: Path) -> None:
    """A missing part leaves empty cells and a count beside the total, never a zero, and is looked up nowhere."""
    proposal = (SWEEPER / "street_sweeper.toml").read_text(encoding="utf-8")
    parts = (SWEEPER / "street_sweeper.parts.toml").read_text(encoding="utf-8")
    kept = [block for block in parts.split("\n\n") if "[parts.mcu-100" not in block]
    (tmp_path / "v.toml").write_text(proposal, encoding="utf-8")
    (tmp_path / "v.parts.toml").write_text("\n\n".join(kept), encoding="utf-8")
    rows = list(csv.DictReader(io.StringIO(bomtui("parts-list", tmp_path, "--format", "csv").out)))
    line = next(row for row in rows if row["part"] == "mcu-100")
    total = next(row for row in rows if row["line"] == "total")
    rollup = bomtui("rollup", tmp_path, "--format", "json").json
    assert (line["unit_price [EUR]"], line["line_price [EUR]"], line["order [1/year]"], line["mpn"]) == ("",) * 4
    assert line["quantity"] == "1"
    assert total["note"] == "line_price: at least, 1 unknown; excess_per_year: at least, 1 unknown"
    assert Decimal(total["line_price [EUR]"]) == Decimal("439.2334") - Decimal("6.1640")
    assert rollup["totals"]["parts_cost_unknown"] == 1
    assert any(row["rule"] == "data.missing" and "mcu-100" in row["place"] for row in rollup["findings"])
    assert "1 lines have no price" in bomtui("parts-list", tmp_path).out


def test_text_fits_80_columns(bomtui: Command) -> None:
    """The text form keeps to 80 columns."""
    for sample, variant, _ in VARIANTS:
        lines = bomtui("parts-list", sample, "--variant", variant).out.splitlines()
        assert [line for line in lines if len(line) > 80] == []


@pytest.mark.parametrize(
    ("place", "code", "sentence"),
    [
        ("missing/x.csv", 3, "there is no folder "),
        (".", 3, "expected the name of a file, found a folder"),
        ("x.pdf", 2, "expected a FILE that ends in .txt, .json, .csv, .md"),
    ],
)
def test_an_output_that_cannot_be_written_is_one_sentence(
    bomtui: Command, tmp_path: Path, place: str, code: int, sentence: str
) -> None:
    """A missing folder, a folder in place of a file and an unknown ending are refused, and nothing is written."""
    result = bomtui("parts-list", SWEEPER, "-o", tmp_path / place)
    assert (result.code, result.stdout, len(result.err)) == (code, b"", 1)
    assert sentence in result.err[0]
    assert list(tmp_path.iterdir()) == []


def test_format_and_ending_must_not_differ(bomtui: Command, tmp_path: Path) -> None:
    """A file name that says another format than --format is refused."""
    result = bomtui("parts-list", SWEEPER, "--format", "csv", "-o", tmp_path / "x.json")
    assert result.code == 2
    assert "say two things" in result.err[0]
    assert list(tmp_path.iterdir()) == []
