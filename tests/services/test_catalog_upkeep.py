"""Keeping the catalog: editing with validation, history and undo, doubles, export and taking it back."""

from pathlib import Path

import pytest

from bomtui.model.part import Part
from bomtui.services.catalog import show
from bomtui.services.catalog_import import import_parts
from bomtui.services.catalog_upkeep import (
    add_part,
    doubles,
    edit_parts,
    export_parts,
    history,
    part_history,
    retire_parts,
    take_out,
    undo,
)
from bomtui.services.errors import BomtuiError, UnknownNameError
from bomtui.storage.catalog import Catalog, open_catalog
from bomtui.storage.tabular.answers import Answers


@pytest.fixture
def place(tmp_path: Path) -> str:
    """A catalog of the shipped parts."""
    place = str(tmp_path / "catalog.sqlite")
    open_catalog(place).close()
    return place


def test_fields_are_read_as_in_a_file(place: str) -> None:
    """Texts with units change fields, one side of a parameter alone too; an empty text takes a field away."""
    changes = edit_parts(("fet40-1",), {"rds_on.max": "1.5 mohm", "junction_max": "150 °C", "package": ""}, place)[
        "fet40-1"
    ]
    assert [(own.field, own.before, own.now) for own in changes] == [
        ("junction_max", "175 degC", "150 degC"),
        ("rds_on.max", "1.29 mohm", "1.5 mohm"),
        ("invented", "price_date, rds_on.max", "price_date"),
        ("package", "PDFN5x6", ""),
    ]
    shown = show("fet40-1", place)
    assert shown.origin == "edited"
    assert shown.part.rds_on_ohm.max == pytest.approx(0.0015)
    assert shown.part.rds_on_ohm.typ == pytest.approx(0.001)


def test_all_faults_at_once_and_nothing_written(place: str) -> None:
    """Every field that cannot be read is named with what is expected, and the part stays as it was."""
    before = show("fet40-1", place).part
    with pytest.raises(BomtuiError, match="part fet40-1 cannot be kept") as caught:
        edit_parts(("fet40-1",), {"rds_on.typ": "3 mV", "ways": "some", "life_cycle": "lively", "wayz": "3"}, place)
    assert {problem.field for problem in caught.value.problems} == {
        "fet40-1.rds_on.typ", "fet40-1.ways", "fet40-1.life_cycle", "fet40-1.wayz"
    }  # fmt: skip
    assert show("fet40-1", place).part == before
    assert history(10, place) == ()


def test_adding_and_names(place: str) -> None:
    """A new part needs its kind, and a key that nobody has; one that is there needs none."""
    add_part("own-1", "connector", {"mpn": "OWN 1", "ways": "3"}, place)
    assert show("own-1", place).part == Part(kind="connector", mpn="OWN 1", ways=3)
    for key, kind, sentence in (
        ("own-1", "connector", "has a part 'own-1' already"),
        ("own-2", "gadget", "there is no kind 'gadget'"),
    ):
        with pytest.raises(UnknownNameError, match=sentence):
            add_part(key, kind, {"mpn": "X"}, place)
    with pytest.raises(UnknownNameError, match="no part 'own-2'; a new one needs its kind"):
        edit_parts(("own-1", "own-2"), {"mpn": "X"}, place)
    with pytest.raises(BomtuiError, match="differs only in capital letters"):
        add_part("OWN-1", "connector", {"mpn": "X"}, place)


def test_several_parts_at_once(place: str) -> None:
    """The same fields of several parts are one step; where one cannot take them, none does."""
    changed = edit_parts(("fet40-1", "fet60-2", "can-1"), {"lead_weeks": "30", "note": ""}, place)
    assert {key: [own.field for own in changes] for key, changes in changed.items()} == {
        "fet40-1": ["lead_weeks"], "fet60-2": ["lead_weeks"], "can-1": ["lead_weeks"]
    }  # fmt: skip
    (step,) = history(10, place)
    assert (step.parts, step.label) == (3, "edit fet40-1, fet60-2, can-1")
    with pytest.raises(BomtuiError, match="cannot be kept"):
        edit_parts(("fet40-1", "can-1"), {"lead_weeks": "soon"}, place)
    undo(place)
    assert [show(key, place).origin for key in ("fet40-1", "fet60-2", "can-1")] == ["shipped"] * 3


def test_history_and_undo(place: str) -> None:
    """Steps are told newest first with their time; undo takes them back one by one, to the parts that were there."""
    with open_catalog(place) as catalog:
        before = catalog.get_many([row.key for row in catalog.find(limit=1000).rows])
    edit_parts(("mcu-144",), {"breaks": "60: 13; 100: 9.5"}, place)
    retire_parts(("mcu-144",), place)
    add_part("own-1", "fet", {"mpn": "OWN"}, place)
    assert [own.label for own in history(10, place)] == ["edit own-1", "edit mcu-144", "edit mcu-144"]
    past = part_history("mcu-144", place)
    assert [[change.field for change in own.changes] for own in past] == [["life_cycle"], ["breaks", "price_date"]]
    assert past[1].changes[0].now == "60: 13, 100: 9.5"
    assert all(own.made_at.endswith("+00:00") for own in past)
    assert part_history("own-1", place)[0].is_new
    assert [undo(place) for _ in range(4)] == ["edit own-1", "edit mcu-144", "edit mcu-144", ""]
    with open_catalog(place) as catalog:
        assert catalog.get_many([row.key for row in catalog.find(limit=1000).rows]) == before
        assert catalog.origin_of("mcu-144") == "shipped"
    assert [own.undone for own in history(10, place)] == [True] * 3


def test_a_step_that_others_built_on_is_not_taken_back(place: str) -> None:
    """Where a part has changed again by another way, one sentence says so, and nothing is taken back."""
    add_part("own-1", "fet", {"mpn": "OWN"}, place)
    with Catalog(place) as catalog, catalog._database.writing() as connection:
        connection.exec_driver_sql("UPDATE part SET origin_version = 'elsewhere' WHERE key = 'own-1'")
    with pytest.raises(BomtuiError, match="the step 'edit own-1' cannot be taken back: own-1 changed again since"):
        undo(place)
    assert show("own-1", place).part.mpn == "OWN"


def test_taking_out(place: str) -> None:
    """Imported and edited parts can be taken out, all or none, and brought back; shipped ones stay."""
    add_part("own-1", "fet", {"mpn": "OWN"}, place)
    with pytest.raises(BomtuiError, match="comes with the program"):
        take_out(["own-1", "can-1"], place)
    with pytest.raises(UnknownNameError, match="no part 'nobody'"):
        take_out(["own-1", "nobody"], place)
    take_out(["own-1"], place)
    with pytest.raises(UnknownNameError):
        show("own-1", place)
    assert undo(place) == "take out own-1"
    assert show("own-1", place).part.mpn == "OWN"


def test_an_import_is_a_step(place: str, tmp_path: Path) -> None:
    """An import of a list is one step, named with its file."""
    path = tmp_path / "prices.csv"
    path.write_text("key,kind,ways\nn-1,connector,2\nn-2,connector,3\n", encoding="utf-8")
    import_parts(path, place=place)
    assert [(own.label, own.parts) for own in history(5, place)] == [("import n-1, n-2 from prices.csv", 2)]
    assert undo(place) == "import n-1, n-2 from prices.csv"
    with open_catalog(place) as catalog:
        assert catalog.get("n-1") is None


def test_doubles(place: str) -> None:
    """Numbers that differ in separators, capitals, or letters written for digits are one."""
    assert doubles(place) == ()
    add_part("own-1", "fet", {"mpn": "62e-O3", "maker": "A"}, place)
    (found,) = doubles(place)
    assert (found.keys, found.mpns) == (("fet40-1", "own-1"), ("62E03", "62e-O3"))


def test_an_export_comes_back_equal(place: str, tmp_path: Path) -> None:
    """What was exported and is imported into another catalog is the same parts, edited ones among them."""
    add_part("own-1", "fet", {"mpn": "0012", "note": "two\nlines", "breaks": "1: 0.5; 10: 0.25"}, place)
    path = tmp_path / "parts.toml"
    assert export_parts(path, place=place) == 130
    other = str(tmp_path / "other.sqlite")
    Catalog(other).close()
    with open_catalog(place) as catalog:
        parts = catalog.get_many([row.key for row in catalog.find(limit=1000).rows])
    import_parts(path, Answers(existing="replace"), place=other)
    with Catalog(other) as catalog:
        assert catalog.get_many(parts) == parts
    assert export_parts(path, origin="edited", place=place) == 1
    fresh = str(tmp_path / "fresh.sqlite")
    plan = import_parts(path, place=fresh)
    assert [(row.name, row.state) for row in plan.sheet.rows] == [("own-1", "new")]
    assert show("own-1", fresh).part == show("own-1", place).part


def test_what_goes_with_an_edit(place: str) -> None:
    """A price that was typed has no older date, and what a person typed is not marked as invented any more."""
    edit_parts(("fet40-1",), {"breaks": "1: 2.5", "rds_on.max": "8 mohm"}, place)
    part = show("fet40-1", place).part
    assert part.price_date is None
    assert "rds_on.max" not in part.invented
    edit_parts(("fet40-1",), {"breaks": "1: 2.6", "price_date": "2026-11-01"}, place)
    assert str(show("fet40-1", place).part.price_date) == "2026-11-01"
    with pytest.raises(BomtuiError, match="the kind of a part does not change"):
        edit_parts(("fet40-1",), {"kind": "controller"}, place)


def test_an_edited_part_of_the_program_that_is_taken_out_is_the_program_s_again(place: str) -> None:
    """Taking out what somebody made of a shipped part leaves the shipped one, and undo reaches past it."""
    before = show("can-1", place)
    edit_parts(("can-1",), {"note": "mine"}, place)
    take_out(["can-1"], place)
    assert show("can-1", place) == before
    assert [own.is_new for own in part_history("can-1", place)] == [False, False]
    assert undo(place) == "take out can-1"
    assert show("can-1", place).part.note == "mine"
    assert undo(place) == "edit can-1"
    assert show("can-1", place) == before


def test_an_export_says_what_it_is(place: str, tmp_path: Path) -> None:
    """A name that says another form is refused: nobody could read the file back."""
    with pytest.raises(BomtuiError, match="expected a name that ends in"):
        export_parts(tmp_path / "parts.csv", place=place)
