"""`bomtui compare`: two variants or two revisions as text, JSON and Markdown."""

import shutil
from decimal import Decimal
from pathlib import Path

import jsonschema
import msgspec
import pytest

from bomtui.export.schema import published_schema
from tests.cli.running import SWEEPER, VAN, Command

BOTH = ("compare", SWEEPER, "--variant", "distributed", "--with", "zone")


def test_the_sweeper_by_cause(bomtui: Command) -> None:
    """761.7432 and 641.1634 differ by -120.5798; causes, elements and subsystems each add to it (demo check values)."""
    found = bomtui(*BOTH, "--format", "json").json
    jsonschema.validate(found, msgspec.json.decode(published_schema("compare")))
    difference = found["difference"]
    assert difference["total"] == "-120.5798"
    for split in (difference["by_cause"], difference["by_element"]):
        assert sum(map(Decimal, split.values())) == Decimal("-120.5798")
    assert sum(Decimal(own["difference"]) for own in difference["by_subsystem"]) == Decimal("-120.5798")
    assert sum(Decimal(own["amount"]) for own in difference["shares"]) == Decimal("-120.5798")
    assert found["scope"] == {"same": True, "only_first": [], "only_second": [], "changed": [], "both": 108}
    # 395.3 to 227.8 m at 0.31: -51.925; parts 476.5482 to 439.2334: -37.3148.
    assert Decimal(difference["by_element"]["wire"]) == Decimal("-51.925")
    assert Decimal(difference["by_element"]["parts"]) == Decimal("-37.3148")
    measures = {own["id"]: own for own in found["measures"]}
    assert measures["wire_length"]["better"] == measures["cost"]["better"] == "second"
    assert (measures["cost"]["first"]["value"], measures["cost"]["second"]["value"]) == ("761.7432", "641.1634")


@pytest.mark.slow
@pytest.mark.parametrize(("sample", "first", "second"), [(VAN, "central", "distributed")])
def test_the_other_way_round_turns_every_sign(bomtui: Command, sample: Path, first: str, second: str) -> None:
    """Each cause, element, share and measure of the exchanged sides is the negative, to the last digit."""
    forth = bomtui("compare", sample, "--variant", first, "--with", second, "--format", "json").json
    back = bomtui("compare", sample, "--variant", second, "--with", first, "--format", "json").json
    for split in ("by_cause", "by_element"):
        turned = {key: -Decimal(amount) for key, amount in back["difference"][split].items()}
        assert {key: Decimal(amount) for key, amount in forth["difference"][split].items()} == turned
    steps = [
        (own["id"], None if own["difference"] is None else Decimal(own["difference"])) for own in forth["measures"]
    ]
    assert steps == [
        (own["id"], None if own["difference"] is None else -Decimal(own["difference"])) for own in back["measures"]
    ]


def test_a_variant_against_itself_is_zero(bomtui: Command) -> None:
    """Nothing differs, in no cause and no measure, and the verdict says so."""
    found = bomtui("compare", SWEEPER, "--variant", "zone", "--with", "zone", "--format", "json").json
    assert (found["difference"]["total"], found["difference"]["shares"], found["parts"]) == ("0.0000", [], [])
    assert found["verdict"] == "both cost the same"
    assert {own["difference"] for own in found["measures"]} <= {"0", "0.0000", None}


def test_another_scope_refuses_a_verdict_and_names_the_loads(bomtui: Command, tmp_path: Path) -> None:
    """A revision without two of the loads: they are named, no measure says better, and the cost of them is scope."""
    other = _revision(tmp_path, drop=("B01", "B02"))
    found = bomtui("compare", SWEEPER, other, "--variant", "zone", "--format", "json").json
    assert found["verdict"] == (
        "no verdict: the two do not serve the same loads; only zone (A) serves 2 loads (B01, B02)"
    )
    assert found["scope"]["only_first"] == ["B01", "B02"]
    assert {own["better"] for own in found["measures"]} == {""}
    assert {cause for cause, amount in found["difference"]["by_cause"].items() if Decimal(amount)} == {"scope"}


def _revision(folder: Path, drop: tuple[str, ...]) -> Path:
    """A revision B of the sweeper whose zone variant does not serve some loads."""
    place = folder / "later"
    shutil.copytree(SWEEPER, place, ignore=shutil.ignore_patterns("expected"))
    path = place / "street_sweeper.toml"
    tables = path.read_text(encoding="utf-8").replace('revision = "A"', 'revision = "B"').split("\n\n")
    gone = [f"[variants.zone.placements.{load}]" for load in drop]
    kept = [table for table in tables if table.partition("\n")[0] not in gone]
    assert len(tables) - len(kept) == len(drop)
    path.write_text("\n\n".join(kept), encoding="utf-8", newline="\n")
    return place


def _with_owner(folder: Path) -> Path:
    """A revision B of the sweeper in which somebody confirms the last assumption."""
    place = _revision(folder, drop=())
    path = place / "street_sweeper.toml"
    before = 'effect = "cost per vehicle"\n'
    after = before + 'due = 2027-01-15\neffect_cost = "12.50 EUR"\nowner = "EE lead"\n'
    text = path.read_text(encoding="utf-8")
    assert text.count(before) == 1
    path.write_text(text.replace(before, after), encoding="utf-8", newline="\n")
    return place


def test_text_fits_eighty_columns_and_says_what_is_invented(bomtui: Command) -> None:
    """Scope and verdict come before any figure; every line fits, and assumptions and cautions end the page."""
    lines = bomtui(*BOTH).out.splitlines()
    assert max(map(len, lines)) <= 80
    text = " ".join(" ".join(lines).split())
    assert "DEMO DATA" in text
    assert text.index("Scope: both serve 108 loads") < text.index("Measures")
    assert "zone costs 120.5798 EUR a vehicle less than distributed" in text
    assert "A04 no attrition, freight, customs duty and one-off cost" in text
    assert text.endswith("qualified engineers decide what is built.")


@pytest.mark.slow
def test_files_hold_what_stdout_shows(bomtui: Command, tmp_path: Path) -> None:
    """The format is chosen by the file name, and the file holds the same bytes as stdout."""
    path = tmp_path / "DEMO.md"
    assert bomtui(*BOTH, "-o", path).code == 0
    assert path.read_bytes() == bomtui(*BOTH, "--format", "md").stdout
    assert path.read_bytes().startswith(
        b"# DEMO DATA - Comparison: Street sweeper, depot series, distributed and zone\n"
    )


def test_what_cannot_be_compared_is_one_sentence(bomtui: Command, tmp_path: Path) -> None:
    """An unknown variant, and a proposal with one variant only, are refused with what there is."""
    assert bomtui("compare", SWEEPER, "--with", "nowhere").code != 0
    only = tmp_path / "only"
    shutil.copytree(SWEEPER.parent / "subject_bench", only)
    result = bomtui("compare", only)
    assert (result.code, len(result.err)) == (3, 1)
    assert "no variant beside bench" in result.err[0]


def test_assumptions_say_whose_they_are(bomtui: Command, tmp_path: Path) -> None:
    """What the later revision assumes otherwise is marked with its side; what both assume stands once, without."""
    place = _with_owner(tmp_path)
    text = " ".join(bomtui("compare", SWEEPER, place, "--variant", "zone").out.split())
    assert "A04 (first side) no attrition, freight, customs duty and one-off cost; open; no owner" in text
    assert (
        "A04 (second side) no attrition, freight, customs duty and one-off cost; open; owner EE lead; due 2027-01-15; "
        "if wrong: cost per vehicle, 12.50 EUR a vehicle"
    ) in text
    assert text.count("A03") == text.count("A03 a part takes") == 1


def test_the_data_hold_the_assumptions_of_both_sides(bomtui: Command, tmp_path: Path) -> None:
    """Those of the second side, and beside them what the first has alone or otherwise."""
    place = _with_owner(tmp_path)
    found = bomtui("compare", SWEEPER, place, "--variant", "zone", "--format", "json").json
    assert [own["id"] for own in found["first_assumptions"]] == ["A04"]
    assert found["assumptions"][3]["effect_cost"] == "12.50 EUR"


def test_currencies_that_differ_give_no_difference(bomtui: Command, tmp_path: Path) -> None:
    """Amounts of two currencies are not held against each other; both are still shown."""
    place = _revision(tmp_path, drop=())
    path = place / "street_sweeper.toml"
    path.write_text(
        path.read_text(encoding="utf-8").replace("[proposal]\n", '[proposal]\ncurrency = "CHF"\n'), encoding="utf-8"
    )
    found = bomtui("compare", SWEEPER, place, "--variant", "zone", "--format", "json").json
    assert found["difference"] is None
    assert found["verdict"] == "no verdict: one is in EUR and the other in CHF"
    costs = [own for own in found["measures"] if own["unit"] == "EUR"]
    assert {own["difference"] for own in costs} == {None}
