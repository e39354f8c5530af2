"""The verbs that keep the catalog, from the command line."""

from pathlib import Path

import pytest

from bomtui.services.catalog import PLACE_VARIABLE
from bomtui.storage.catalog import open_catalog
from tests.cli.running import Command


@pytest.fixture(autouse=True)
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    """A catalog of these tests' own."""
    place = str(tmp_path / "catalog.sqlite")
    open_catalog(place).close()
    monkeypatch.setenv(PLACE_VARIABLE, place)
    return place


def test_a_part_from_first_to_last(bomtui: Command, tmp_path: Path) -> None:
    """Added, found as a double, changed, told, exported, retired, taken out, brought back."""
    added = bomtui("catalog", "set", "own-1", "mpn=62-E03", "maker=Somebody", "--new", "fet")
    assert added.out.splitlines()[0] == "own-1: 2 fields changed"
    assert "fet40-1 (62E03), own-1 (62-E03)" in bomtui("catalog", "doubles").out
    changed = bomtui("catalog", "set", "own-1", "rds_on.max=9 mohm", "--format", "json")
    assert [own["field"] for own in changed.json["parts"][0]["changes"]] == ["rds_on.max"]
    assert bomtui("catalog", "export", tmp_path / "own.toml", "--origin", "edited").out.startswith("wrote 1 part to")
    assert bomtui("catalog", "retire", "own-1").code == 0
    assert "    life_cycle: unknown -> obsolete" in bomtui("catalog", "history", "own-1").out.splitlines()
    assert bomtui("catalog", "remove", "own-1").code == 0
    assert bomtui("catalog", "show", "own-1").code == 2
    assert bomtui("catalog", "undo").out == "taken back: take out own-1\n"
    assert bomtui("catalog", "show", "own-1").code == 0
    history = bomtui("catalog", "history", "--format", "json").json["steps"]
    assert [own["undone"] for own in history] == [True, False, False, False]


def test_several_parts_at_once(bomtui: Command) -> None:
    """Keys before fields: one step for all of them."""
    changed = bomtui("catalog", "set", "fet40-1", "can-1", "lead_weeks=30", "--format", "json").json
    assert [own["part"] for own in changed["parts"]] == ["fet40-1", "can-1"]
    assert bomtui("catalog", "retire", "fet40-1", "can-1").out.count("-> obsolete") == 2
    assert len(bomtui("catalog", "history", "--format", "json").json["steps"]) == 2


def test_what_is_refused(bomtui: Command) -> None:
    """Faults of fields stand one a line, and what is no field is a fault of the command line."""
    faulty = bomtui("catalog", "set", "fet40-1", "rds_on.typ=3 mV", "ways=some")
    assert faulty.code == 3
    assert [line.partition(": expected")[0] for line in faulty.err[:2]] == [
        "catalog: fet40-1.rds_on.typ",
        "catalog: fet40-1.ways",
    ]
    for words in (
        ("fet40-1", "rds_on"),
        ("rds_on=1 ohm",),
        ("fet40-1", "rds_on=1 ohm", "can-1"),
        ("a", "b", "mpn=X", "--new", "fet"),
        ("fet40-1", "=1"),
    ):
        refused = bomtui("catalog", "set", *words)
        assert refused.code == 2
        assert refused.err[0].startswith("bomtui catalog: expected ")
    assert bomtui("catalog", "find", "--limit", "9" * 20).code == 2
    for words in (("find", "\udcff"), ("find", "--where", "maker = \udcff"), ("set", "fet40-1", "mpn=\udcff")):
        said = bomtui("catalog", *words)
        assert (said.code, len(said.err)) == (2, 1)
        assert "expected words in UTF-8" in said.err[0]
    assert bomtui("catalog", "find", "--where", f"price <= {10**20} EUR").err[0].startswith("bomtui: expected a price")
