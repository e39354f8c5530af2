"""The Python interface: what it gives is what the commands print, and loading it costs nothing."""

import subprocess
import sys
from decimal import Decimal
from pathlib import Path

import pytest

import bomtui
from bomtui.export.json import json_bytes
from bomtui.services.artefact import review_json, rollup_json
from bomtui.services.review import review
from bomtui.services.rollup import compute
from tests.architecture.scan import REPO
from tests.samples.rollups import sample_path


@pytest.fixture(scope="module")
def sweeper() -> bomtui.Proposal:
    """The sample of a street sweeper."""
    return bomtui.open(sample_path("sweeper"))


def test_importing_it_loads_nothing_else() -> None:
    """A fresh interpreter has no module of ours but the root after `import bomtui`, and no other library."""
    words = "import sys; known = set(sys.modules); import bomtui; print(sorted(set(sys.modules) - known))"
    run = subprocess.run([sys.executable, "-c", words], cwd=REPO, capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "['bomtui']"


def test_the_records_are_those_of_the_commands(sweeper: bomtui.Proposal) -> None:
    """Rollup and review are, byte for byte, what the commands write."""
    reviewed = review(compute(sweeper.opened, "zone"))
    assert json_bytes(sweeper.rollup("zone")) == rollup_json(reviewed)
    assert json_bytes(sweeper.review()) == review_json(reviewed)


def test_a_variant_is_computed_once(sweeper: bomtui.Proposal) -> None:
    """Asking again gives figures of the same computation."""
    assert sweeper.reviewed("zone") is sweeper.reviewed(None)
    assert sweeper.variants == ("zone", "distributed")
    assert sweeper.problems == ()
    assert sweeper.content_hash == sweeper.rollup().content_hash


def test_two_variants_are_compared(sweeper: bomtui.Proposal) -> None:
    """The other way round every difference turns its sign."""
    there, back = sweeper.compare("zone", "distributed"), sweeper.compare("distributed")
    assert there.difference is not None
    assert back.difference is not None
    assert Decimal(there.difference.total) == -Decimal(back.difference.total) == Decimal("120.5798")


def test_rows_are_plain(sweeper: bomtui.Proposal) -> None:
    """Rows hold counts, numbers, exact amounts and words; what is unknown is None, and the lines add to the total."""
    lines = sweeper.rows("parts-list")
    prices = [row["line_price [EUR]"] for row in lines]
    assert all(isinstance(price, Decimal) for price in prices)
    assert sum(price for price in prices if isinstance(price, Decimal)) == Decimal(sweeper.parts_list().total)
    assert lines[0]["mpn"] == "4400120093301030"
    assert isinstance(lines[0]["order [1/year]"], int)
    assert {row["state"] for row in sweeper.rows("thermal-sheet")} >= {"within", "over"}
    unknown = [row for row in sweeper.rows("thermal-sheet") if row["power_mean_bound"] != "exact"]
    assert {row["power_mean [W]"] for row in unknown} >= {None}
    assert len(sweeper.rows("channel-list", "zone", "pins")) == 39
    assert set(sweeper.artefacts()) >= {"summary", "thermal-sheet", "findings"}


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("nothing", "zone", ""), "there is no artefact 'nothing'; the artefacts are summary,"),
        (("thermal-sheet", "none", ""), "there is no variant 'none'"),
        (("channel-list", "zone", "none"), "it has further ones: pins"),
    ],
)
def test_what_is_not_there_is_said(sweeper: bomtui.Proposal, words: tuple[str, str, str], said: str) -> None:
    """A wrong name gives one sentence with the right ones."""
    with pytest.raises(bomtui.BomtuiError) as raised:
        sweeper.rows(*words)
    assert said in str(raised.value)


def test_a_package_is_exported(sweeper: bomtui.Proposal, tmp_path: Path) -> None:
    """The files are those that it names, and a wrong format, separator or full folder is refused."""
    names = sweeper.export(tmp_path / "out", formats=["md"], decimal_comma=True)
    assert {path.name for path in (tmp_path / "out").iterdir()} == set(names)
    with pytest.raises(bomtui.BomtuiError, match="nothing was written"):
        sweeper.export(tmp_path / "out", formats=["md"])
    with pytest.raises(bomtui.BomtuiError, match="there is no format 'pdf'"):
        sweeper.export(tmp_path / "other", formats=["pdf"])  # type: ignore[list-item]
    with pytest.raises(bomtui.BomtuiError, match="found 'bar'"):
        sweeper.export(tmp_path / "other", separator="bar")
    assert not (tmp_path / "other").exists()


def test_an_unknown_name_of_the_package_is_none() -> None:
    """The root package has the names it lists, and no others."""
    assert all(getattr(bomtui, name) is not None for name in bomtui.__all__)
    with pytest.raises(AttributeError, match="has no attribute 'shut'"):
        _ = bomtui.shut


def test_what_cannot_be_opened_is_one_sentence(tmp_path: Path) -> None:
    """A file that is not there is refused in words."""
    with pytest.raises(bomtui.BomtuiError, match="none"):
        bomtui.open(tmp_path / "none.toml")


@pytest.mark.slow
def test_the_script_of_the_readme_prints_a_data_frame() -> None:
    """The Python example of the README runs as it stands and prints the hot chips of a sample."""
    text = (REPO / "README.md").read_text(encoding="utf-8")
    script = text.partition("<!-- python example -->\n```python\n")[2].partition("\n```")[0]
    assert len([line for line in script.splitlines() if line.strip()]) <= 10
    run = subprocess.run([sys.executable, "-c", script], cwd=REPO, capture_output=True, text=True, check=False)
    assert run.returncode == 0, run.stderr
    assert "641.1634 EUR" in run.stdout
    assert "96 open errors" in run.stdout
    assert "120.5798 EUR dearer" in run.stdout
    frame = run.stdout.partition("junction_on [degC]")[2]
    over = [row for row in bomtui.open(sample_path("sweeper")).rows("thermal-sheet") if row["state"] == "over"]
    assert len(frame.strip().splitlines()) == len(over) + 1
