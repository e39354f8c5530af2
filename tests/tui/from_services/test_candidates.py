"""Candidates over the real samples: what the services rank, worded for the screen, and what could not be asked."""

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from functools import partial
from pathlib import Path

import pytest

from bomtui.edit.edits.module import AddModule
from bomtui.edit.edits.placement import TakeOff
from bomtui.model.money import Total
from bomtui.services import catalog
from bomtui.services.catalog import PLACE_VARIABLE
from bomtui.services.effects import DeviceHeat, Effect, basis_of, effect_of
from bomtui.services.session import open_session
from bomtui.tui.candidates import Candidate, Candidates
from bomtui.tui.from_services.effects import cost_cell, junction_cell, standby_cell, state_of
from bomtui.tui.from_services.source import SessionSource
from tests.tui.from_services.real import SWEEPER, VAN, opened


@pytest.fixture(autouse=True)
def _own_catalog(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(PLACE_VARIABLE, str(tmp_path / "catalog.sqlite"))


@pytest.fixture(scope="module")
def effect(tmp_path_factory: pytest.TempPathFactory) -> Effect:
    """What taking one load off the sweeper does."""
    computed = open_session(SWEEPER, tmp_path_factory.mktemp("journals")).computed("zone")
    found = effect_of(basis_of(computed), TakeOff(variant="zone", loads=("L24",)), "ZREA.U3", "ZREA")
    assert isinstance(found, Effect)
    return replace(found, added=(), hottest=None, hottest_now=None)


def named(candidates: Candidates, start: str) -> Candidate:
    """The first candidate whose title begins so."""
    return next(own for own in candidates.listed if own.title.startswith(start))


@pytest.mark.slow
def test_the_places_of_a_load_have_their_figures(tmp_path: Path) -> None:
    """L24 stays where it is for nothing; a new hs24-4x50 beside costs what its parts, placement and test cost."""
    source = opened(SWEEPER, tmp_path)
    places = source.candidates.places("zone", "L24")
    assert places.snapshot_number == source.snapshot_number
    assert "driven HS, served now on ZREA.U3.1" in places.need[0]
    here = named(places, "ZREA.U3.1 ")
    assert here.word == "fits, here now"
    assert here.cells[0] == "0.0000"
    assert all(own.is_costed for own in places.listed if not own.is_rejected)
    new = named(places, "a new hs24-4x50 as ZREA.U12.1")
    assert new.cells[0] == "+1.8510"
    assert [change.name for change in new.changes][:3] == ["cost per vehicle", "standby", "parking days"]
    rejected = named(places, "ZCEN.U7.2 ")
    assert rejected.is_rejected
    assert rejected.reasons == ("1.723 A on a channel for 1.6 A",)
    assert len({own.key for own in places.listed}) == len(places.listed)


@pytest.mark.slow
def test_a_step_outdates_what_was_computed(tmp_path: Path) -> None:
    """The next list belongs to the next snapshot: the load is served by nothing then."""
    source = opened(SWEEPER, tmp_path)
    before = source.candidates.places("zone", "L24")
    assert source.do(TakeOff(variant="zone", loads=("L24",))).state == "done"
    after = source.candidates.places("zone", "L24")
    assert after.snapshot_number == before.snapshot_number + 1
    assert "served by nothing yet" in after.need[0]
    assert not any("here now" in own.word for own in after.listed)


def test_a_swap_says_its_need_and_what_it_takes_off(tmp_path: Path) -> None:
    """The need names the loads on the device; a part with fewer channels is rejected and names whom it takes off."""
    source = opened(SWEEPER, tmp_path)
    swaps = source.candidates.swaps("zone", "ZREA", "U3")
    assert any("L24" in line for line in swaps.need)
    current = next(own for own in swaps.listed if "here now" in own.word)
    assert current.key == "hs24-4x50"
    fewer = next(own for own in swaps.listed if own.key == "hs24-1x4")
    assert fewer.is_rejected
    assert any("would be taken off" in reason for reason in fewer.reasons)
    costed = swaps.cost(next(own.key for own in swaps.listed if own.word == "fits, not costed"))
    assert costed.is_costed
    assert costed.cells[1]


@pytest.mark.slow
@pytest.mark.parametrize(
    "ask",
    [
        lambda source: source.devices("zone", "ZREA", "high_side"),
        lambda source: source.items("zone", "ZREA", "board", "1.8"),
        lambda source: source.item_swaps("zone", "ZREA", "board-4"),
        lambda source: source.zones("zone", "ZREA"),
    ],
    ids=["devices", "items", "item swaps", "zones"],
)
def test_each_list_can_be_done_and_undone(tmp_path: Path, ask: Callable[..., Candidates]) -> None:
    """The first candidate that changes something is one step, and undone the proposal is the very same."""
    source = opened(SWEEPER, tmp_path)
    start = source.snapshot
    listed = ask(source.candidates).listed
    own = next(own for own in listed if not own.is_rejected and own.edit is not None and "here now" not in own.word)
    assert own.edit is not None
    assert source.do(own.edit).state == "done"
    assert source.undo().state == "done"
    assert source.snapshot.proposal is start.proposal
    assert source.snapshot.parts is start.parts


def test_an_item_is_swapped_for_as_much_of_another(tmp_path: Path) -> None:
    """The quantity stays, the former part goes, and it is not offered in its own place."""
    source = opened(SWEEPER, tmp_path)
    swaps = source.candidates.item_swaps("zone", "ZREA", "board-4")
    assert all(own.key != "board-4" for own in swaps.listed)
    own = swaps.listed[0]
    assert own.edit is not None
    former = source.snapshot.proposal.variants["zone"].modules["ZREA"].items["board-4"]
    outcome = source.do(own.edit)
    items = source.snapshot.proposal.variants["zone"].modules["ZREA"].items
    assert "board-4" not in items
    assert items[own.key].quantity == former.quantity
    assert outcome.address == f"ZREA.item {own.key}"


def test_what_is_left_to_wire_rejects_no_part(tmp_path: Path) -> None:
    """In a module without rails a controller brings an error, which is said; it can be taken all the same."""
    source = opened(VAN, tmp_path)
    assert source.do(AddModule(variant="central", module_id="NEW", zone="Z2")).state == "done"
    listed = source.candidates.devices("central", "NEW", "controller").listed
    assert listed
    for own in listed:
        assert not own.is_rejected
        assert own.word.endswith("new error")
        assert any("has no rail" in reason for reason in own.reasons)


def test_the_hottest_device_of_a_moved_module_is_said(tmp_path: Path) -> None:
    """ZREA has a device that is too hot where it is, and says so in every zone; no zone just fits."""
    zones = opened(SWEEPER, tmp_path).candidates.zones("zone", "ZREA")
    assert [own.key for own in zones.listed] == ["Z1", "Z2", "Z3", "Z4", "Z5", "Z6"]
    here = next(own for own in zones.listed if "here now" in own.word)
    assert here.key == "Z4"
    assert here.cells == ("75", "0.0000", "0.0")
    assert here.mark == "over"
    assert "still too hot" in here.word


def test_without_a_catalog_only_frozen_parts_are_offered(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What could not be asked is said in a sentence, and the frozen parts are there."""
    broken = tmp_path / "broken.sqlite"
    broken.write_bytes(b"this is no database" * 100)
    monkeypatch.setenv(PLACE_VARIABLE, str(broken))
    source = opened(SWEEPER, tmp_path)
    swaps = source.candidates.swaps("zone", "ZREA", "U3")
    assert swaps.text.startswith("The catalog cannot be asked, only frozen parts are offered: ")
    assert {own.key for own in swaps.listed} <= set(source.snapshot.parts)
    assert swaps.listed


def test_a_catalog_with_more_parts_than_are_offered_says_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What is not in the list is said below it."""
    asked = partial(catalog.parts_of_kinds, limit=2, place=str(tmp_path / "catalog.sqlite"))
    monkeypatch.setattr(catalog, "parts_of_kinds", asked)
    swaps = opened(SWEEPER, tmp_path).candidates.devices("zone", "ZREA", "fet")
    assert swaps.text == "Only the first 2 parts of a kind are offered: the catalog has more of FET."


def test_a_variant_without_modules_says_what_comes_first(tmp_path: Path) -> None:
    """Nothing can serve a load there, and the sentence says what to add."""
    source: SessionSource = opened(VAN, tmp_path)
    from bomtui.edit.edits.module import RemoveModule

    for module_id in list(source.snapshot.proposal.variants["central"].modules):
        edit = RemoveModule(variant="central", module_id=module_id, take_along=True)
        assert source.do(edit).state == "done"
    places = source.candidates.places("central", "L03")
    assert all(own.is_rejected for own in places.listed)
    assert places.empty.startswith("No module yet")


def test_a_change_of_cost_has_its_sign_and_says_what_is_unknown(effect: Effect) -> None:
    """A difference of what is known is called so; where only what is unknown changes, nothing is claimed."""

    def text(change: str, now: int, after: int) -> str:
        amount = Decimal(change)
        changed = replace(
            effect,
            cost_change=amount,
            cost_now=Total(amount=Decimal(10), unknown=now),
            cost_after=Total(amount=Decimal(10) + amount, unknown=after),
        )
        return cost_cell(changed)

    assert text("1.5", 0, 0) == "+1.5000"
    assert text("-1.5", 0, 0) == "-1.5000"
    assert text("0", 0, 0) == "0.0000"
    assert text("1.5", 2, 2) == "+1.5000 known"
    assert text("1.5", 2, 4) == "+1.5000 and ?"
    assert text("0", 2, 4) == "?"
    assert text("0", 4, 2) == "?"


def test_a_change_of_standby_has_its_sign_at_both_corners(effect: Effect) -> None:
    """Once where both are equal; what cannot be told is a question mark, never a zero."""
    assert standby_cell(replace(effect, standby_change_a=(1e-6, 2.5e-6))) == "+1.0/+2.5"
    assert standby_cell(replace(effect, standby_change_a=(-1e-6, -1e-6))) == "-1.0"
    assert standby_cell(replace(effect, standby_change_a=(0.0, 0.0))) == "0.0"
    assert standby_cell(replace(effect, standby_change_a=(None, None))) == "?"
    assert standby_cell(replace(effect, standby_change_a=(1e-6, None))) == "+1.0/?"


def test_the_state_is_the_worst_that_is_known(effect: Effect) -> None:
    """Too hot before unknown heat before fine; a device of the module that gets too hot is named."""

    def heat(warmth: str, device: str = "ZREA.U3") -> DeviceHeat:
        return DeviceHeat(device, None, warmth, "98 degC typ, 112 degC max")  # type: ignore[arg-type]

    assert state_of(replace(effect, heat=heat("within"))) == ("ok", "fits")
    assert state_of(replace(effect, heat=heat("unknown"))) == ("unknown", "heat unknown")
    assert state_of(replace(effect, heat=heat("over"))) == ("over", "too hot")
    other = heat("over", "ZREA.U9")
    assert state_of(replace(effect, heat=heat("within"), hottest=other)) == ("over", "ZREA.U9 too hot")
    assert state_of(replace(effect, heat=heat("within"), hottest=other, hottest_now=other)) == ("ok", "fits")
    assert state_of(replace(effect, heat=None, hottest=other, hottest_now=other)) == ("over", "ZREA.U9 still too hot")
    assert junction_cell(replace(effect, heat=heat("within"))) == "112"
    assert junction_cell(replace(effect, heat=heat("over"))) == "over"
    assert junction_cell(replace(effect, heat=None)) == ""
