"""A part field by field, and a change of it that is told before it is written."""

from pathlib import Path

import pytest

from bomtui.model.part import Part
from bomtui.services.catalog import show
from bomtui.services.catalog_upkeep import edit_parts, history, undo
from bomtui.services.errors import BomtuiError, UnknownNameError
from bomtui.services.part_draft import GROUPS, PartField, draft_of, fields_of_part, write_draft
from bomtui.storage.catalog import Catalog

# Invented, as every part of these tests.
PART = Part(kind="high_side", mpn="HX-1", life_cycle="active")


@pytest.fixture
def place(tmp_path: Path) -> str:
    """A catalog with one part of its own beside the shipped ones."""
    place = str(tmp_path / "catalog.sqlite")
    with Catalog(place) as catalog:
        catalog.build({"hx-1": PART}, "imported")
    return place


def field(part: Part, key: str) -> PartField:
    """One field of a part."""
    return next(own for own in fields_of_part(part) if own.key == key)


def test_every_field_stands_in_its_group_and_can_be_typed_back(place: str) -> None:
    """What stands in the fields of a shipped part, typed again, changes nothing; a price typed anew has no date yet."""
    part = show("hs24-4x50", place).part
    fields = fields_of_part(part)
    assert [own.group for own in fields] == sorted((own.group for own in fields), key=list(GROUPS).index)
    typed = {own.key: own.text for own in fields if own.text and not own.is_invented and own.group != "price"}
    assert draft_of("hs24-4x50", part, typed).changes == ()
    priced = draft_of("hs24-4x50", part, {"breaks": field(part, "breaks").text})
    assert [own.field for own in priced.changes] == ["price_date"]
    assert field(part, "rds_on.min").text == ""
    assert field(part, "freewheel").choices == ("true", "false")
    assert field(part, "kind").is_fixed
    assert {own.key for own in fields if own.is_invented} >= {"price_date"}


def test_a_draft_says_what_it_changes_and_writes_nothing(place: str) -> None:
    """Units are read, faults name their field, a kind stays, and the catalog holds what it held."""
    draft = draft_of("hx-1", PART, {"rds_on.max": "12 mΩ", "breaks": "1000: 2.5; 5000: 2"})
    assert [(own.field, own.before, own.now) for own in draft.changes] == [
        ("breaks", "", "1000: 2.5, 5000: 2"),
        ("rds_on.max", "", "12 mohm"),
    ]
    with pytest.raises(BomtuiError) as caught:
        draft_of("hx-1", PART, {"rds_on.max": "12 mV", "life_cycle": "lively"})
    assert len(caught.value.problems) == 2
    with pytest.raises(BomtuiError, match="does not change"):
        draft_of("hx-1", PART, {"kind": "fet"})
    with pytest.raises(UnknownNameError):
        draft_of("hx-2", None, {}, "lamp")
    assert show("hx-1", place).part == PART


def test_a_part_that_somebody_else_has_changed_is_not_written(place: str) -> None:
    """A draft of what was looked at is refused in one sentence once the part is another one."""
    draft = draft_of("hx-1", PART, {"rds_on.max": "12 mohm"})
    edit_parts(("hx-1",), {"package": "SO8"}, place)
    with pytest.raises(BomtuiError, match=r"somebody else has changed a part that was looked at \(hx-1\)"):
        write_draft(draft, place)
    write_draft(draft_of("hx-1", show("hx-1", place).part, {"rds_on.max": "12 mohm"}), place)
    assert show("hx-1", place).part.package == "SO8"


def test_a_new_part_takes_no_key_that_is_there(place: str) -> None:
    """Adding is a step of its own; a key that is taken is named."""
    write_draft(draft_of("hx-2", None, {"mpn": "HX-2"}, "fet"), place)
    assert show("hx-2", place).part.kind == "fet"
    with pytest.raises(UnknownNameError, match="has a part 'hx-2' already"):
        write_draft(draft_of("hx-2", None, {}, "fet"), place)


def test_only_the_step_that_was_told_is_taken_back(place: str) -> None:
    """Where another step is the last one by now, nothing is taken back."""
    edit_parts(("hx-1",), {"package": "SO8"}, place)
    told = history(1, place)[0]
    edit_parts(("hx-1",), {"maker": "Somebody"}, place)
    with pytest.raises(BomtuiError, match="another one by now"):
        undo(place, told.id)
    assert show("hx-1", place).part.maker == "Somebody"
    assert undo(place, history(1, place)[0].id) == "edit hx-1"
    assert show("hx-1", place).part.maker == ""
