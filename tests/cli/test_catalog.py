"""`bomtui catalog`: built from the shipped parts on first use, searched, shown."""

from pathlib import Path

import pytest

from tests.cli.running import SWEEPER, Command


@pytest.fixture(autouse=True)
def catalog_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A catalog file of this test's own."""
    path = tmp_path / "data" / "catalog.sqlite"
    monkeypatch.setenv("BOMTUI_CATALOG", str(path))
    return path


def test_build_counts_what_it_did(bomtui: Command, catalog_file: Path) -> None:
    """The first build adds the shipped parts, the second finds them unchanged."""
    first = bomtui("catalog", "build", "--format", "json").json
    second = bomtui("catalog", "build", "--format", "json").json
    assert catalog_file.is_file()
    assert first["catalog"] == str(catalog_file)
    assert (first["parts"], first["added"], first["unchanged"]) == (129, 129, 0)
    assert (second["parts"], second["added"], second["unchanged"], second["replaced"]) == (129, 0, 129, 0)
    assert bomtui("catalog", "build").out.startswith(f"{catalog_file}: 129 parts\n")


def test_find_fills_the_catalog_on_first_use(bomtui: Command) -> None:
    """Words, a kind and a limit narrow the answer down, and a longer answer says that there is more."""
    found = bomtui("catalog", "find", "24", "V", "switch", "--kind", "high_side", "--format", "json").json
    some = bomtui("catalog", "find", "24", "V", "switch", "--kind", "high_side", "--limit", "2")
    assert {part["kind"] for part in found["parts"]} == {"high_side"}
    assert "hs24-1x4" in {part["key"] for part in found["parts"]}
    assert not found["more"]
    assert "there are more parts" in some.out
    assert "no part holds all of these words" in bomtui("catalog", "find", "zeppelin").out
    assert [line for line in some.out.splitlines() if len(line) > 80] == []


def test_page_after_page(bomtui: Command) -> None:
    """Each page begins after the key that the one before names, in any order, and the last one says so."""
    for order in ((), ("--sort", "price", "--descending")):
        keys: list[str] = []
        more = True
        while more:
            after = ("--after", keys[-1]) if keys else ()
            page = bomtui("catalog", "find", "--kind", "high_side", "--limit", "5", *order, *after, "--format", "json")
            keys += [part["key"] for part in page.json["parts"]]
            more = page.json["more"]
        whole = bomtui("catalog", "find", "--kind", "high_side", *order, "--format", "json").json
        assert keys == [part["key"] for part in whole["parts"]]
    refused = bomtui("catalog", "find", "--after", "zz")
    assert (refused.code, refused.err) == (2, ["bomtui: the catalog has no part 'zz' after which a page could begin"])


def test_replacements_and_uses(bomtui: Command) -> None:
    """A part is shown with the parts that can replace it; its uses name the devices, and what cannot be read."""
    shown = bomtui("catalog", "show", "can-1")
    known = bomtui("catalog", "show", "can-1", "--format", "json").json
    names = [own["key"] for own in known["replacements"]]
    assert names
    assert "parts that can replace it" in shown.out.splitlines()
    assert all(f"  {name}: " in shown.out for name in names)
    uses = bomtui("catalog", "uses", "mcu-144", SWEEPER, "no.toml")
    assert "  variant zone: ZREA.U8" in uses.out.splitlines()
    assert "no.toml" in uses.out
    record = bomtui("catalog", "uses", "mcu-144", SWEEPER, "--format", "json").json
    assert record["uses"][0]["variants"]["zone"] == ["ZREA.U8"]
    assert bomtui("catalog", "uses", "can-1").out == "name proposals: none was opened yet\n"


def test_show_prints_every_field_of_a_part(bomtui: Command) -> None:
    """A part is shown with its origin and every field that says something, uncut; an unknown key names near ones."""
    text = bomtui("catalog", "show", "hs24-1x4").out
    found = bomtui("catalog", "show", "hs24-1x4", "--format", "json").json
    refused = bomtui("catalog", "show", "hs24-1x")
    own, _, _ = text.partition("parts that can replace it")
    fields = dict(line.strip().split(maxsplit=1) for line in own.splitlines()[1:])
    assert text.startswith("hs24-1x4 (shipped)\n")
    assert fields["mpn"] == "38E15" == found["part"]["mpn"]
    assert fields["breaks"] == "1000: 2.4800, 10000: 2.0832, 100000: 1.8104"
    assert fields["theta_ja"] == "29 K/W"
    assert found["part"]["theta_ja_k_per_w"] == 29.0
    assert (refused.code, refused.err) == (2, ["bomtui: the catalog has no part 'hs24-1x'; near are hs24-1x4"])


def test_a_file_that_is_no_catalog_is_refused(bomtui: Command, catalog_file: Path) -> None:
    """Something else in the place of the catalog is left alone, in one sentence."""
    catalog_file.parent.mkdir()
    catalog_file.write_text("a letter to a friend, long enough to be no database" * 20, encoding="utf-8")
    before = catalog_file.read_bytes()
    result = bomtui("catalog", "find", "x")
    assert (result.code, len(result.err)) == (3, 1)
    assert str(catalog_file) in result.err[0]
    assert catalog_file.read_bytes() == before


def test_import_fills_the_catalog_or_says_why_not(bomtui: Command, tmp_path: Path) -> None:
    """A price list comes in with its answers; without them nothing is written and the exit code is not 0."""
    path = tmp_path / "prices.csv"
    path.write_text(
        "MPN;Hersteller;Preis;1000+\nZX-1;Varnholt;1,42;0,92\nZX-2;Varnholt;auf Anfrage;\n", encoding="utf-8"
    )
    asked = bomtui("catalog", "import", path)
    assert (asked.code, asked.err[-1]) == (1, "nothing was written: 2 questions are open")
    assert any("--currency" in line for line in asked.err)
    done = bomtui("catalog", "import", path, "--kind", "fet", "--currency", "EUR", "--format", "json")
    assert (done.code, done.json["written"]) == (0, True)
    assert any("auf Anfrage" in line and "stays unknown" in line for line in done.err)
    shown = bomtui("catalog", "show", "ZX-1", "--format", "json").json
    assert (shown["origin"], shown["part"]["breaks"][1]["price"]) == ("imported", "0.92")
    assert "breaks" not in bomtui("catalog", "show", "ZX-2").out
