"""The parts of a proposal beside the catalog: what differs, what taking it would change, and taking it."""

import dataclasses
import shutil
from decimal import Decimal
from pathlib import Path

import msgspec
import pytest

from bomtui.edit.edit import Refusal
from bomtui.model.part import Part, PriceBreak
from bomtui.services.errors import UnknownNameError
from bomtui.services.open import open_proposal
from bomtui.services.refresh import Refresh, chosen, compare_with_catalog, field_changes, take_parts, taking
from bomtui.services.review import review
from bomtui.services.rollup import compute
from bomtui.services.session import open_session
from bomtui.storage.catalog import open_catalog
from tests.architecture.scan import REPO

DEARER = Decimal("0.5")


@pytest.fixture
def sweeper(tmp_path: Path) -> Path:
    """A copy of the sweeper."""
    return Path(shutil.copytree(REPO / "sample_projects" / "street_sweeper", tmp_path / "sweeper"))


@pytest.fixture
def place(tmp_path: Path) -> str:
    """A catalog in which one controller is dearer and leaves, and one driver sheds its heat worse."""
    place = str(tmp_path / "catalog.sqlite")
    with open_catalog(place) as catalog:
        mcu, switch = catalog.get("mcu-144"), catalog.get("hs24-8x220")
        assert mcu is not None
        assert switch is not None
        breaks = tuple(PriceBreak(quantity=own.quantity, price=own.price + DEARER) for own in mcu.breaks)
        catalog.build(
            {
                "mcu-144": msgspec.structs.replace(mcu, breaks=breaks, life_cycle="nrnd"),
                "hs24-8x220": msgspec.structs.replace(switch, theta_ja_k_per_w=60.0),
            },
            "edited",
        )
    return place


def compared(sweeper: Path, place: str) -> Refresh:
    """The variant zone beside that catalog."""
    return compare_with_catalog(review(compute(open_proposal(sweeper), "zone")), place)


def test_what_differs_and_what_it_changes(sweeper: Path, place: str) -> None:
    """Fields come in groups, prices first; 0.50 more for the one controller is 0.50 more a vehicle."""
    refresh = compared(sweeper, place)
    assert [own.key for own in refresh.changed] == ["hs24-8x220", "mcu-144"]
    switch, mcu = refresh.changed
    assert [(own.group, own.field) for own in mcu.changes] == [("price", "breaks"), ("life", "life_cycle")]
    assert [(own.field, own.before, own.now) for own in switch.changes] == [("theta_ja", "31 K/W", "60 K/W")]
    assert mcu.places == ("ZREA.U8",)
    assert switch.places == ("ZHMI.U2", "ZREA.U7", "ZUND.U4")
    assert not isinstance(mcu.effect, Refusal)
    assert not isinstance(switch.effect, Refusal)
    assert mcu.effect.cost_change == DEARER
    assert {own.rule for own in mcu.effect.added} == {"life.cycle"}
    assert switch.effect.cost_change == 0
    assert {(own.rule, own.place, own.severity) for own in switch.effect.added} == {
        ("heat.junction", "ZUND.U4", "error")
    }
    assert refresh.missing == ()
    assert len(refresh.same) + len(refresh.changed) == len(open_proposal(sweeper).snapshot.parts)


@pytest.mark.slow
def test_the_effect_that_was_told_is_the_one_that_comes(sweeper: Path, place: str, tmp_path: Path) -> None:
    """What was taken gives the very findings and costs that were told, as one step; the rest stays as it was quoted."""
    refresh = compared(sweeper, place)
    before = open_proposal(sweeper).snapshot
    assert not isinstance(refresh.together, Refusal)
    assert refresh.together is not None
    take_parts(sweeper, refresh.changed, folder=tmp_path / "journals")
    after = compute(open_proposal(sweeper), "zone")
    assert after.rollup.cost.total == refresh.together.cost_after
    old = {(own.rule, own.place, own.message) for own in refresh.basis.review.findings}
    new = {(own.rule, own.place, own.message) for own in review(after).review.findings}
    told = {(own.rule, own.place, own.message) for own in (*refresh.together.added, *refresh.together.stirred)}
    assert new - old == told
    untouched = before.parts.keys() - {own.key for own in refresh.changed}
    assert {key: after.opened.snapshot.parts[key] for key in untouched} == {key: before.parts[key] for key in untouched}
    assert after.opened.snapshot.proposal == before.proposal
    assert compared(sweeper, place).changed == ()


def test_parts_are_taken_one_by_one_or_refused(sweeper: Path, place: str, tmp_path: Path) -> None:
    """A part that is not taken stays as it is, and a key that nothing is to be taken of is told why."""
    refresh = compared(sweeper, place)
    take_parts(sweeper, chosen(refresh, ["mcu-144"]), folder=tmp_path / "journals")
    assert [own.key for own in compared(sweeper, place).changed] == ["hs24-8x220"]
    for key, sentence in (("can-1", "says nothing else"), ("nobody", "the proposal has no part")):
        with pytest.raises(UnknownNameError, match=sentence):
            chosen(refresh, [key])


def test_one_step_in_the_app(sweeper: Path, place: str, tmp_path: Path) -> None:
    """Several parts are one step, which undo takes back to the very same snapshot."""
    refresh = compared(sweeper, place)
    session = open_session(sweeper, tmp_path / "journals")
    before = session.snapshot
    assert session.do(taking(refresh.changed)) is None
    assert session.labels == ("refresh 2 parts",)
    session.undo()
    assert session.snapshot is before
    session.close()


def test_a_part_that_the_catalog_lacks_stays(sweeper: Path, place: str) -> None:
    """A part that the catalog does not have any more is named and kept."""
    opened = open_proposal(sweeper)
    parts = {**opened.snapshot.parts, "own-1": Part(kind="fet", mpn="OWN-1")}
    snapshot = msgspec.structs.replace(opened.snapshot, parts=parts)
    computed = compute(dataclasses.replace(opened, snapshot=snapshot), "zone")
    refresh = compare_with_catalog(review(computed), place)
    assert refresh.missing == ("own-1",)
    with pytest.raises(UnknownNameError, match="the proposal keeps what it has of it"):
        chosen(refresh, ["own-1"])


def test_fields_that_come_and_go() -> None:
    """A field that says something only before, or only now, is told with what it said."""
    before, now = Part(kind="fet", note="old", ways=3), Part(kind="fet", package="SO8", ways=3)
    assert [(own.field, own.before, own.now) for own in field_changes(before, now)] == [
        ("package", "", "SO8"),
        ("note", "old", ""),
    ]
