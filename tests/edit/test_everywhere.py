"""Edits that reach through a variant: a part swapped wherever it is used, a subsystem served by another module."""

from decimal import Decimal

import msgspec

from bomtui.edit.edits.everywhere import MoveSubsystem, SwapPart, places_of
from bomtui.engine.rollup import rollup
from bomtui.model.proposal import Snapshot
from bomtui.model.variant import Amount, Device, Item, Module
from tests.edit.small import MODULE, PARTS, done, refused, small
from tests.samples.rollups import snapshot


def _with_two_boards() -> Snapshot:
    """The small proposal with a second module and another board among the parts."""
    other = Module(zone="Z1", devices={"U1": Device(part="hs4")}, items=MODULE.items)
    start = small(modules={"REAR": MODULE, "MID": other})
    return Snapshot(proposal=start.proposal, parts={**PARTS, "board-6": PARTS["board"], "hs4-b": PARTS["hs4"]})


def test_a_part_is_swapped_wherever_it_is_used() -> None:
    """Both modules get the other switch in the same places, wired and placed as before; nothing else changes."""
    start = _with_two_boards()
    variant = next(iter(start.proposal.variants))
    assert places_of(start, variant, "hs4") == "2 devices"
    assert places_of(start, variant, "board") == "counted in 2 modules"
    after = done(SwapPart(variant=variant, part="hs4", new_part="hs4-b"), start)
    modules = after.proposal.variants[variant].modules
    assert [modules["REAR"].devices["U3"].part, modules["MID"].devices["U1"].part] == ["hs4-b", "hs4-b"]
    assert modules["REAR"].devices["U3"].supply == MODULE.devices["U3"].supply
    assert after.proposal.variants[variant].placements == start.proposal.variants[variant].placements


def test_a_counted_part_keeps_its_quantity() -> None:
    """1.8 dm2 of one board become 1.8 dm2 of the other in both modules, added to what is there already."""
    start = _with_two_boards()
    variant = next(iter(start.proposal.variants))
    after = done(SwapPart(variant=variant, part="board", new_part="board-6"), start)
    for module in after.proposal.variants[variant].modules.values():
        assert module.items == {"board-6": Item(quantity=Amount(quantity=Decimal("1.8"), unit="dm2"))}


def test_loads_that_would_lose_their_channel_are_named_first() -> None:
    """Two channels instead of four take a load off; it goes only where that is agreed to."""
    start = small()
    variant = next(iter(start.proposal.variants))
    refusal = refused(SwapPart(variant=variant, part="hs4", new_part="hs2"), start)
    assert "L2" in refusal.sentence
    assert refusal.retry is not None
    after = done(refusal.retry, start)
    assert "L2" not in after.proposal.variants[variant].placements
    assert "L1" in after.proposal.variants[variant].placements


def test_a_part_that_nobody_uses_is_refused() -> None:
    """There is nothing to swap, and the sentence says so; the same part again changes nothing."""
    start = small()
    variant = next(iter(start.proposal.variants))
    assert "uses no hs-unknown" in refused(SwapPart(variant=variant, part="hs-unknown", new_part="hs2"), start).sentence
    assert done(SwapPart(variant=variant, part="hs4", new_part="hs4"), start) is start


def test_a_subsystem_moves_with_its_chips() -> None:
    """All loads of the subsystem are served by the module afterwards; every other load stays where it was."""
    sample = snapshot("sweeper")
    edit = MoveSubsystem(variant="distributed", subsystem="TIL", module_id="DCAB")
    after = done(edit, sample)
    before, serving = (rollup(own, "distributed").serving.module_of for own in (sample, after))
    loads = sample.proposal.loads
    assert {serving[key] for key, load in loads.items() if load.subsystem == "TIL" and key in before} == {"DCAB"}
    others = {key: module for key, module in before.items() if loads[key].subsystem != "TIL"}
    assert {key: serving[key] for key in others} == others
    # A second move has nothing left to do.
    assert done(edit, after) is after


def test_no_channel_carries_two_loads_after_a_move() -> None:
    """Whatever subsystem goes to whatever module, each channel of the target carries what it did, and no more."""
    sample = snapshot("sweeper")
    for subsystem in sample.proposal.subsystems:
        after = done(MoveSubsystem(variant="zone", subsystem=subsystem, module_id="ZCEN"), sample)
        placements = after.proposal.variants["zone"].placements
        on = [text for own in placements.values() if own.joined != "shared" for text in own.on if text.count(".") == 2]
        assert len(on) == len(set(on)), subsystem
        assert placements.keys() == sample.proposal.variants["zone"].placements.keys()


def test_a_chip_that_others_share_stays_and_a_second_one_comes() -> None:
    """L1 shares its switch with L2 of another subsystem: the module gets one of the same part for it."""
    start = small()
    variant = next(iter(start.proposal.variants))
    loads = {
        key: msgspec.structs.replace(load, subsystem="S2" if key == "L1" else load.subsystem)
        for key, load in start.proposal.loads.items()
    }
    subsystems = {**start.proposal.subsystems, "S2": next(iter(start.proposal.subsystems.values()))}
    modules = {**start.proposal.variants[variant].modules, "NEW": Module(zone="Z1")}
    variants = {variant: msgspec.structs.replace(start.proposal.variants[variant], modules=modules)}
    proposal = msgspec.structs.replace(start.proposal, loads=loads, subsystems=subsystems, variants=variants)
    after = done(
        MoveSubsystem(variant=variant, subsystem="S2", module_id="NEW"), Snapshot(proposal=proposal, parts=start.parts)
    )
    found = after.proposal.variants[variant]
    assert found.placements["L1"].on == ("NEW.U1.1",)
    assert found.modules["NEW"].devices["U1"].part == "hs4"
    assert found.modules["REAR"].devices["U3"].part == "hs4"
    assert found.placements["L2"].on == ("REAR.U3.3", "REAR.U3.4")
