"""A draft from bare loads: clean by the rules it keeps, and no dearer than the committed drivers of the same loads."""

from dataclasses import replace
from decimal import Decimal
from functools import cache

import pytest

from bomtui.edit.edit import apply
from bomtui.edit.edits.device import RemoveDevice
from bomtui.edit.edits.group import Group
from bomtui.edit.edits.placement import TakeOff
from bomtui.model.ids import parse_address
from bomtui.model.part import DRIVER_KINDS
from bomtui.model.proposal import Snapshot
from bomtui.packing.kept import counts_against
from bomtui.services.draft import Drafted, draft
from bomtui.services.review import Reviewed, review
from bomtui.services.rollup import compute
from tests.services.test_merge import reviewed

ZONES = ("ZCEN", "ZENG", "ZHMI", "ZREA", "ZUND")


@cache
def bare(module_id: str) -> tuple[Reviewed, tuple[str, ...]]:
    """A zone module of the sweeper without the loads of its drivers, power stages left aside, and these loads."""
    full = reviewed("sweeper", "zone")
    own = full.computed.opened.snapshot
    variant = own.proposal.variants["zone"]
    module = variant.modules[module_id]
    drivers = {ref for ref, device in module.devices.items() if own.parts[device.part].kind in DRIVER_KINDS}
    staged: set[str] = set()
    for placement in variant.placements.values():
        if placement.stage:
            staged |= {parse_address(text).device for text in placement.on if text.startswith(f"{module_id}.")}
    taken = tuple(
        load_id
        for load_id, placement in variant.placements.items()
        if any(
            parse_address(text).module == module_id and parse_address(text).device in drivers - staged
            for text in placement.on
        )
    )
    edits = (
        TakeOff(variant="zone", loads=taken),
        *(
            RemoveDevice(variant="zone", module_id=module_id, ref=ref, take_along=True)
            for ref in sorted(drivers - staged)
        ),
    )
    stripped = apply(Group(edits=edits, words="strip"), own)
    assert isinstance(stripped, Snapshot)
    return review(compute(replace(full.computed.opened, snapshot=stripped), "zone")), taken


@cache
def drafted(module_id: str) -> Drafted:
    """The draft of a bare module from frozen parts."""
    start, _ = bare(module_id)
    return draft(start, (module_id,))


def prices(side: Reviewed) -> dict[str, Decimal]:
    """Unit price of each part of a variant."""
    return {line.part: line.unit_price for line in side.computed.rollup.cost.lines if line.unit_price is not None}


@pytest.mark.slow
@pytest.mark.parametrize(
    "module_id", ["ZHMI", *(pytest.param(own, marks=pytest.mark.slow) for own in ZONES if own != "ZHMI")]
)
def test_a_bare_module_is_drafted(module_id: str) -> None:
    """Every load is placed or refused with a reason, and nothing that is placed has an error of a kept rule."""
    _, taken = bare(module_id)
    found = drafted(module_id)
    assert found.merged is not None
    lost = {own.what for own in found.not_placed}
    assert set(found.modules) | lost == set(taken)
    assert not set(found.modules) & lost
    assert all(own.why for own in found.not_placed)
    own_places = {f"{own.module}.{own.ref}" for own in found.merged.chips} | set(found.modules) | {module_id}
    assert [own for own in found.added if counts_against(own, "errors") and own.place in own_places] == []
    placed = found.after.proposal.variants["zone"].placements
    assert {load_id for load_id in taken if load_id in placed} == set(found.modules)


@pytest.mark.parametrize(
    "module_id", ["ZHMI", *(pytest.param(own, marks=pytest.mark.slow) for own in ZONES if own != "ZHMI")]
)
def test_a_draft_is_no_dearer_than_what_was_made_by_hand(module_id: str) -> None:
    """Its drivers cost at most the committed ones, and for each load with an error there a chip of its own."""
    start, taken = bare(module_id)
    full, found = reviewed("sweeper", "zone"), drafted(module_id)
    assert found.merged is not None
    committed = full.computed.opened.snapshot.proposal.variants["zone"]
    removed = committed.modules[module_id].devices.keys() - (
        start.computed.opened.snapshot.proposal.variants["zone"].modules[module_id].devices.keys()
    )
    before = prices(full)
    now = prices(review(compute(replace(start.computed.opened, snapshot=found.after), "zone")))
    wrong = {own.place for own in full.review.findings if counts_against(own, "errors")}
    forced = [
        load_id
        for load_id in found.modules
        if load_id in taken
        and ({load_id} | {text.rpartition(".")[0] for text in committed.placements[load_id].on}) & wrong
    ]
    chip_of = {load_id: own.part for own in found.merged.chips for load_id, _ in own.loads}
    by_hand = sum((before[committed.modules[module_id].devices[ref].part] for ref in removed), Decimal(0))
    extra = sum((now[chip_of[load_id]] for load_id in forced), Decimal(0))
    assert sum((now[own.part] for own in found.merged.chips), Decimal(0)) <= by_hand + extra


def test_a_draft_of_what_is_complete_is_nothing() -> None:
    """Where every load has a place there is nothing to draft."""
    found = draft(reviewed("sweeper", "zone"), ("ZHMI",))
    assert found.edit is None
    assert dict(found.modules) == {}
