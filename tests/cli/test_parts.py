"""`bomtui parts refresh` from the command line."""

import shutil
from pathlib import Path

import msgspec
import pytest

from bomtui.services.catalog import PLACE_VARIABLE
from bomtui.storage.catalog import open_catalog
from tests.cli.running import SWEEPER, Command


@pytest.fixture
def sweeper(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A copy of the sweeper, and a catalog in which a controller leaves."""
    place = str(tmp_path / "catalog.sqlite")
    with open_catalog(place) as catalog:
        mcu = catalog.get("mcu-144")
        assert mcu is not None
        catalog.build({"mcu-144": msgspec.structs.replace(mcu, life_cycle="nrnd")}, "edited")
    monkeypatch.setenv(PLACE_VARIABLE, place)
    return Path(shutil.copytree(SWEEPER, tmp_path / "sweeper"))


@pytest.mark.slow
def test_report_take_and_report_again(bomtui: Command, sweeper: Path) -> None:
    """Without a key nothing is written; with one the part is taken, and then nothing differs any more."""
    files = {path: path.read_bytes() for path in sweeper.iterdir() if path.is_file()}
    said = bomtui("parts", "refresh", sweeper, "--variant", "zone")
    assert said.code == 0
    assert "    life_cycle: active -> nrnd" in said.out.splitlines()
    assert "  no cost, current, time or count of the variant changes" in said.out.splitlines()
    assert "  new: warning  life.cycle  mcu-144 at ZREA.U8 is not for new designs" in said.out
    assert [line for line in said.out.splitlines() if len(line) > 80] == []
    assert {path: path.read_bytes() for path in files} == files
    taken = bomtui("parts", "refresh", sweeper, "--variant", "zone", "--take", "mcu-144", "--format", "json")
    assert taken.json["taken"] == ["mcu-144"]
    assert taken.json["changed"][0]["effect"]["added"][0]["rule"] == "life.cycle"
    again = bomtui("parts", "refresh", sweeper, "--variant", "zone")
    assert "says something else of 0 parts" in again.out
    changed = {path.name for path, content in files.items() if path.read_bytes() != content}
    assert changed == {"street_sweeper.parts.toml"}


def test_what_cannot_be_taken(bomtui: Command, sweeper: Path) -> None:
    """A key that does not differ, and two ways of taking at once, are refused in one sentence."""
    refused = bomtui("parts", "refresh", sweeper, "--take", "can-1")
    assert (refused.code, len(refused.err)) == (2, 1)
    both = bomtui("parts", "refresh", sweeper, "--take", "mcu-144", "--take-all")
    assert both.code == 2
    assert both.err[0].startswith("bomtui parts: expected --take KEY or --take-all, found both")


@pytest.mark.slow
def test_parts_that_would_help(bomtui: Command, sweeper: Path) -> None:
    """Without a finding the list of them; with one the parts, judged; with --take one step, after which it is gone."""
    arguments = ("parts", "remedies", sweeper, "--variant", "zone")
    listed = bomtui(*arguments)
    assert "clamp.energy       E05       error     low-side switch, with freewheel" in listed.out.splitlines()
    found = bomtui(*arguments, "--finding", "clamp.energy", "E05")
    assert "ls-4x180 at ZENG.U9, 1.1800 EUR from 1000: the finding is gone" in found.out.splitlines()
    assert [line for line in found.out.splitlines() if len(line) > 80] == []
    taken = bomtui(*arguments, "--finding", "clamp.energy", "E05", "--take", "ls-4x180", "--format", "json").json
    assert taken["taken"] == {"part": "ls-4x180", "place": "ZENG.U9"}
    assert taken["remedies"][0]["effect"]["cost_change"] == "0.4000"
    gone = bomtui(*arguments, "--finding", "clamp.energy", "E05")
    assert (gone.code, gone.err[-1:]) == (2, ["bomtui: clamp.energy finds nothing at 'E05' in the variant zone"])


def test_remedies_that_nobody_can_mean(bomtui: Command, sweeper: Path) -> None:
    """A rule without its place, and a part without a finding, are refused."""
    for words in (("--take", "ls-4x180"), ("--finding", "clamp.energy", "E05", "--device", "ZENG.U9")):
        refused = bomtui("parts", "remedies", sweeper, *words)
        assert refused.code == 2
        assert refused.err[0].startswith("bomtui parts: expected --")
    assert bomtui("parts", "remedies", sweeper, "--finding", "clamp.energy").code == 2
