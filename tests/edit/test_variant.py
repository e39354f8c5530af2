"""Edits of a variant: modules, devices, items, rails, placements, acceptances, and its frozen parts."""

import datetime
from decimal import Decimal

import msgspec
import pytest

from bomtui.edit.edit import apply
from bomtui.edit.edits.device import AddDevice, RemoveDevice, RenameDevice, SwapDevice
from bomtui.edit.edits.field import SetField
from bomtui.edit.edits.finding import AcceptFinding, WithdrawAcceptance
from bomtui.edit.edits.group import Group
from bomtui.edit.edits.item import AddItem, AddRail, RemoveItem, RemoveRail, RenameRail, SetQuantity
from bomtui.edit.edits.module import AddModule, CopyModule, MoveModule, RemoveModule
from bomtui.edit.edits.part import DropUnusedParts, FreezePart, RefreshPart
from bomtui.edit.edits.placement import Join, Pin, Place, TakeOff
from bomtui.edit.edits.variant import CopyVariant, DeleteVariant
from bomtui.model.feed import Feed
from bomtui.model.network import Network
from bomtui.model.part import Part
from bomtui.model.proposal import Snapshot
from bomtui.model.variant import Amount, Device, Module, Placement, Rail
from tests.edit.small import MODULE, PARTS, done, refused, small

TODAY = datetime.date(2026, 3, 2)


def module(snapshot: Snapshot, module_id: str = "REAR") -> Module:
    """A module of the first variant."""
    return snapshot.proposal.variants["one"].modules[module_id]


def placements(snapshot: Snapshot) -> dict[str, Placement]:
    """Placements of the first variant."""
    return snapshot.proposal.variants["one"].placements


def test_a_new_device_is_wired_where_only_one_answer_is_possible() -> None:
    """It takes the lowest free reference, the battery or the one rail of its voltage, and the one controller."""
    after = done(AddDevice(variant="one", module_id="REAR", part="hs4"), small())
    assert module(after).devices["U5"] == Device(part="hs4", supply={"vbat": "battery", "vio": "V5"}, commanded_by="U1")
    fets = done(AddDevice(variant="one", module_id="REAR", part="fet"), after)
    assert module(fets).devices["Q2"] == Device(part="fet")


def test_a_new_device_is_not_wired_by_a_guess() -> None:
    """With two rails of its voltage, or two controllers, the choice is left to a person."""
    start = done(AddDevice(variant="one", module_id="REAR", part="mcu"), small())
    start = done(AddRail(variant="one", module_id="REAR", rail_id="V5B", rail=Rail(voltage_v=5.0, source="U2")), start)
    after = done(AddDevice(variant="one", module_id="REAR", part="hs4", ref="U9"), start)
    assert module(after).devices["U9"] == Device(part="hs4", supply={"vbat": "battery"})


def test_a_part_is_used_only_when_frozen() -> None:
    """Nothing enters a figure that the proposal has no data of its own for."""
    for edit in (
        AddDevice(variant="one", module_id="REAR", part="none"),
        SwapDevice(variant="one", module_id="REAR", ref="U3", part="none"),
        AddItem(variant="one", module_id="REAR", part="none", quantity=Amount(quantity=Decimal(1))),
    ):
        assert refused(edit, small()).sentence == "there is no part 'none' in the frozen parts"


def test_a_swap_keeps_loads_where_channels_exist() -> None:
    """Loads on channels that the new part lacks are named; they are taken off only when they are agreed to."""
    start = small()
    edit = SwapDevice(variant="one", module_id="REAR", ref="U3", part="hs2")
    refusal = refused(edit, start)
    assert refusal.sentence == "hs2 has 2 channels: L2 of REAR.U3 would be taken off"
    assert refusal.takes == ("variants.one.placements.L2",)
    assert refusal.retry == msgspec.structs.replace(edit, taking_off=("L2",))
    after = done(refusal.retry, start)
    assert placements(after).keys() == {"L1", "L4"}
    assert placements(after)["L1"] is placements(start)["L1"]
    assert module(after).devices["U3"] == Device(part="hs2", supply={"vbat": "battery"}, commanded_by="U1")


def test_a_swap_takes_nothing_off_by_a_guess() -> None:
    """A driver whose channels nobody knows keeps all loads; a part without channels keeps none."""
    start = small()
    unknown = done(SwapDevice(variant="one", module_id="REAR", ref="U3", part="hs-unknown"), start)
    assert placements(unknown) is placements(start)
    refusal = refused(SwapDevice(variant="one", module_id="REAR", ref="U3", part="mcu"), start)
    assert refusal.sentence == "mcu has no channel: L1 and L2 of REAR.U3 would be taken off"


def test_a_removed_device_takes_along_what_hangs_on_it() -> None:
    """Its loads, stages, rails with their consumers, commands and acceptances are named, and go when agreed to."""
    start = small()
    assert set(refused(RemoveDevice(variant="one", module_id="REAR", ref="U3"), start).takes) == {
        "variants.one.placements.L1",
        "variants.one.placements.L2",
        "variants.one.accepted.A01",
        "variants.one.feeds.F2.switch",
    }
    supply = RemoveDevice(variant="one", module_id="REAR", ref="U2")
    assert set(refused(supply, start).takes) == {
        "variants.one.modules.REAR.rails.V5",
        "variants.one.modules.REAR.devices.U1.supply.vdd",
        "variants.one.modules.REAR.devices.U3.supply.vio",
    }
    after = module(done(msgspec.structs.replace(supply, take_along=True), start))
    assert after.rails == {}
    assert after.devices["U3"].supply == {"vbat": "battery"}
    controller = done(RemoveDevice(variant="one", module_id="REAR", ref="U1", take_along=True), start)
    assert {device.commanded_by for device in module(controller).devices.values()} == {""}
    fet = done(RemoveDevice(variant="one", module_id="REAR", ref="Q1", take_along=True), start)
    assert placements(fet)["L4"] == Placement(on=("REAR.U4.1",))


def test_a_renamed_device_keeps_its_rails_its_commands_its_loads_and_what_was_accepted() -> None:
    """Everything that names the reference follows, and renaming back gives an equal proposal."""
    start = small()
    after = start
    for ref, new_ref in (("U1", "U10"), ("U2", "U20"), ("U3", "U30"), ("Q1", "Q10")):
        after = done(RenameDevice(variant="one", module_id="REAR", ref=ref, new_ref=new_ref), after)
    assert list(module(after).devices) == ["U10", "U20", "U30", "U4", "Q10"]
    assert module(after).rails["V5"].source == "U20"
    assert {device.commanded_by for device in module(after).devices.values()} == {"", "U10"}
    assert placements(after)["L1"].on == ("REAR.U30.1",)
    assert placements(after)["L2"].on == ("REAR.U30.3", "REAR.U30.4")
    assert placements(after)["L4"].stage == ("REAR.Q10",)
    assert after.proposal.variants["one"].accepted["A01"].place == "REAR.U30.1"
    for ref in ("U10", "U20", "U30", "Q10"):
        after = done(RenameDevice(variant="one", module_id="REAR", ref=ref, new_ref=ref[:-1]), after)
    assert after.proposal == start.proposal


def test_a_fail_safe_output_follows_its_device() -> None:
    """It is renamed with device and module, goes with the device, and stays behind when its load moves away."""
    start = small(placements={"L1": Placement(on=("REAR.U3.1",), fail_safe="REAR.U2")})
    renamed = done(RenameDevice(variant="one", module_id="REAR", ref="U2", new_ref="U9"), start)
    assert placements(renamed)["L1"].fail_safe == "REAR.U9"
    removal = RemoveDevice(variant="one", module_id="REAR", ref="U2")
    assert "variants.one.placements.L1.fail_safe" in refused(removal, start).takes
    after = done(msgspec.structs.replace(removal, take_along=True), start)
    assert placements(after)["L1"] == Placement(on=("REAR.U3.1",))
    field = "variants.one.placements.L1.fail_safe"
    for wrong in ("REAR", "REAR.U2.1", "REAR.U8", "x y"):
        assert "takes a device MODULE.REF" in refused(SetField(place=field, value=wrong), start).sentence
    assert placements(done(SetField(place=field, value="REAR.U4"), start))["L1"].fail_safe == "REAR.U4"


def test_feeds_and_networks_are_those_of_the_variant() -> None:
    """A command comes over a network of the variant, a device hangs on a feed of it; a rail is neither."""
    own = {"feeds": {"F1": Feed()}, "networks": {"LIN1": Network(kind="LIN")}}
    start = small(**own)
    over = "variants.one.placements.L1.commanded_over"
    assert placements(done(SetField(place=over, value="LIN1"), start))["L1"].commanded_over == "LIN1"
    wrong = "there is no 'V5' in this variant"
    assert f"names a network; {wrong}" in refused(SetField(place=over, value="V5"), start).sentence
    feed = "variants.one.modules.REAR.devices.U3.feed"
    assert module(done(SetField(place=feed, value="F1"), start)).devices["U3"].feed == "F1"
    assert f"names a feed; {wrong}" in refused(SetField(place=feed, value="V5"), start).sentence
    fed = done(SetField(place="variants.one.modules.REAR.feeds", value=("F1",)), start)
    for edit in (
        MoveModule(variant="one", module_id="REAR", zone="Z2"),
        CopyModule(variant="one", module_id="REAR", new_id="REAR2"),
    ):
        assert all(own.feeds == ("F1",) for own in done(edit, fed).proposal.variants["one"].modules.values())


def test_a_reference_is_given_once() -> None:
    """A reference that is taken, unlawful or absent is refused; the same one changes nothing."""
    start = small()
    taken = refused(RenameDevice(variant="one", module_id="REAR", ref="U1", new_ref="u2"), start)
    assert taken.sentence == "there is a device U2 already; ids differ in more than capital letters"
    assert refused(RenameDevice(variant="one", module_id="REAR", ref="U1", new_ref="U 1"), start).retry is None
    assert refused(RenameDevice(variant="one", module_id="REAR", ref="U99", new_ref="U5"), start).retry is None
    assert done(RenameDevice(variant="one", module_id="REAR", ref="U1", new_ref="U1"), start) is start


def test_a_removed_module_takes_its_loads_off() -> None:
    """Everything placed on it is named, and unplaced when agreed to; the loads stay with the vehicle."""
    start = small()
    refusal = refused(RemoveModule(variant="one", module_id="REAR"), start)
    assert refusal.sentence == "with the module REAR would go what stands on it: 5 places"
    assert refusal.retry is not None
    after = done(refusal.retry, start)
    assert after.proposal.variants["one"].modules == {}
    assert placements(after) == {}
    assert after.proposal.loads is start.proposal.loads


def test_a_module_is_added_copied_and_moved() -> None:
    """A copy shares its devices with the first, but a load's current holds the draw of one device only."""
    start = done(AddModule(variant="one", module_id="FRONT", zone="Z2", name="front"), small())
    assert module(start, "FRONT") == Module(name="front", zone="Z2")
    copied = done(CopyModule(variant="one", module_id="REAR", new_id="COPY", zone="Z2"), start)
    assert module(copied, "COPY").devices["U3"] is MODULE.devices["U3"]
    assert module(copied, "COPY").devices["U2"].counted_in_load == ""
    assert module(copied, "COPY").zone == "Z2"
    assert placements(copied) is placements(start)
    moved = done(MoveModule(variant="one", module_id="COPY", zone="Z1"), copied)
    assert module(moved, "COPY").zone == "Z1"
    assert module(moved) is module(start)
    assert "there is no 'Z9'" in refused(MoveModule(variant="one", module_id="REAR", zone="Z9"), start).sentence
    assert "found none" in refused(MoveModule(variant="one", module_id="REAR", zone=""), start).sentence


def test_items_and_rails() -> None:
    """Items are counted exactly; a rail has a source in its module and takes its consumers along."""
    start = small()
    more = done(
        SetQuantity(variant="one", module_id="REAR", part="board", quantity=Amount(quantity=Decimal("2.10"))), start
    )
    assert str(module(more).items["board"].quantity.quantity) == "2.10"
    assert module(done(RemoveItem(variant="one", module_id="REAR", part="board"), start)).items == {}
    again = AddItem(variant="one", module_id="REAR", part="board", quantity=Amount(quantity=Decimal(1)))
    assert "already" in refused(again, start).sentence
    for rail_id, source, words in (("V3", "U9", "'U9'"), ("Battery", "U2", "already"), ("v5", "U2", "already")):
        rail = AddRail(variant="one", module_id="REAR", rail_id=rail_id, rail=Rail(voltage_v=3.3, source=source))
        assert words in refused(rail, start).sentence
    refusal = refused(RemoveRail(variant="one", module_id="REAR", rail_id="V5"), start)
    assert refusal.sentence == "2 supply inputs or loads of REAR would be left without the rail V5"
    assert refusal.retry is not None
    assert module(done(refusal.retry, start)).devices["U1"].supply == {}


def test_a_renamed_rail_is_followed_by_what_draws_from_it() -> None:
    """Supply inputs and loads of its module name it by its new id; the battery's word and a taken id are refused."""
    start = small()
    load_id = next(key for key, own in placements(start).items() if own.on[0].startswith("REAR"))
    fed = done(SetField(place=f"variants.one.placements.{load_id}.rail", value="V5"), start)
    wired = {ref: dict(device.supply) for ref, device in module(fed).devices.items()}
    assert sum("V5" in supply.values() for supply in wired.values()) > 0
    rename = RenameRail(variant="one", module_id="REAR", rail_id="V5", new_id="VCC")
    after = done(rename, fed)
    assert rename.label == "rename rail V5 of REAR to VCC"
    assert list(module(after).rails) == ["VCC"]
    assert module(after).rails["VCC"] is module(fed).rails["V5"]
    assert placements(after)[load_id].rail == "VCC"
    for ref, supply in wired.items():
        expected = {name: "VCC" if rail == "V5" else rail for name, rail in supply.items()}
        assert module(after).devices[ref].supply == expected
    assert done(RenameRail(variant="one", module_id="REAR", rail_id="VCC", new_id="V5"), after).proposal == fed.proposal
    for new_id, words in (("battery", "already"), ("V 5", "id")):
        refusal = refused(RenameRail(variant="one", module_id="REAR", rail_id="V5", new_id=new_id), fed)
        assert words in refusal.sentence
    assert "'V9'" in refused(RenameRail(variant="one", module_id="REAR", rail_id="V9", new_id="V8"), fed).sentence


def test_a_load_is_fed_from_a_rail_of_its_module() -> None:
    """It names one that its module has, loses it with the rail, and leaves it behind when it moves elsewhere."""
    start = done(AddModule(variant="one", module_id="FRONT", zone="Z2", name="front"), small())
    load_id, placement = next((key, own) for key, own in placements(start).items() if own.on[0].startswith("REAR"))
    field = f"variants.one.placements.{load_id}.rail"
    assert "'V9'" in refused(SetField(place=field, value="V9"), start).sentence
    fed = done(SetField(place=field, value="V5"), start)
    assert placements(fed)[load_id].rail == "V5"
    refusal = refused(RemoveRail(variant="one", module_id="REAR", rail_id="V5"), fed)
    assert refusal.sentence == "3 supply inputs or loads of REAR would be left without the rail V5"
    assert field in refusal.takes
    assert refusal.retry is not None
    assert placements(done(refusal.retry, fed))[load_id] == placement
    moved = done(Place(variant="one", load_id=load_id, on=("FRONT",)), fed)
    assert placements(moved)[load_id].rail == ""
    stayed = done(Place(variant="one", load_id=load_id, on=("REAR",)), fed)
    assert placements(stayed)[load_id].rail == "V5"


def test_a_load_is_placed_moved_and_taken_off() -> None:
    """A placement leads somewhere that exists; a moved load keeps its note and its pin."""
    start = small()
    after = done(Place(variant="one", load_id="L3", on=("REAR.U3.2",)), start)
    assert placements(after)["L3"] == Placement(on=("REAR.U3.2",))
    moved = done(Place(variant="one", load_id="L1", on=("REAR.U3.2",)), start)
    assert placements(moved)["L1"] == Placement(on=("REAR.U3.2",), pinned=True, note="kept")
    off = done(TakeOff(variant="one", loads=("L1", "L4")), start)
    assert placements(off).keys() == {"L2"}
    assert "there is no placement of load 'L3'" in refused(TakeOff(variant="one", loads=("L3",)), start).sentence


@pytest.mark.parametrize(
    ("on", "words"),
    [
        ((), "each named once"),
        (("REAR.U3.2", "REAR.U3.2"), "each named once"),
        (("REAR.U3.5",), "there is no channel REAR.U3.5: hs4 has 4 channels"),
        (("REAR.U1.1",), "there is no channel REAR.U1.1: mcu has no channel"),
        (("REAR.U9.1",), "there is no device 'U9' in REAR"),
        (("NONE.U3.1",), "there is no module 'NONE'"),
        (("REAR/U3",), "expected MODULE, MODULE.REF or MODULE.REF.CHANNEL"),
        (("REAR.U3.0",), "expected MODULE, MODULE.REF or MODULE.REF.CHANNEL"),
    ],
)
def test_a_place_that_is_not_there_is_refused(on: tuple[str, ...], words: str) -> None:
    """Each address that leads nowhere is refused with what is there."""
    assert words in refused(Place(variant="one", load_id="L3", on=on), small()).sentence


def test_stages_are_devices() -> None:
    """A power stage is a device that exists, not a module or a channel."""
    for stage in ("REAR", "REAR.Q1.1"):
        edit = Place(variant="one", load_id="L4", on=("REAR.U4.1",), stage=(stage,))
        assert "expected a power stage" in refused(edit, small()).sentence
    after = done(Place(variant="one", load_id="L4", on=("REAR.U4.2",), stage=("REAR.Q1",)), small())
    assert placements(after)["L4"] == Placement(on=("REAR.U4.2",), stage=("REAR.Q1",))


def test_a_taken_channel_is_freed_only_when_agreed() -> None:
    """Placing on a channel that carries a load names that load; agreeing takes it off in the same step."""
    start = small()
    refusal = refused(Place(variant="one", load_id="L3", on=("REAR.U3.1",)), start)
    assert refusal.sentence == "REAR.U3.1: L1 would be taken off to make room for L3"
    assert refusal.retry is not None
    after = done(refusal.retry, start)
    assert placements(after)["L3"].on == ("REAR.U3.1",)
    assert "L1" not in placements(after)
    assert after.number == start.number + 1


def test_a_channel_is_shared_by_loads_that_all_say_so() -> None:
    """Two loads hang on one channel only where both are marked as shared."""
    start = small()
    shared = Place(variant="one", load_id="L3", on=("REAR.U3.1",), joined="shared")
    assert "L1 would be taken off" in refused(shared, start).sentence
    agreed = done(Join(variant="one", loads=("L1",), joined="shared"), start)
    assert placements(done(shared, agreed))["L3"].joined == "shared"
    assert "found 'glued'" in refused(Join(variant="one", loads=("L1",), joined="glued"), start).sentence
    assert placements(done(Join(variant="one", loads=("L2",), joined=None), start))["L2"].joined is None


def test_pins_are_set_and_lifted() -> None:
    """Pinning what is pinned changes nothing, and is no step."""
    start = small()
    assert apply(Pin(variant="one", loads=("L1",)), start) is start
    assert placements(done(Pin(variant="one", loads=("L1",), pinned=False), start))["L1"].pinned is False


def test_variants_are_copied_and_deleted() -> None:
    """A copy shares all modules with the first; the last variant stays; a default that goes is cleared."""
    start = small()
    after = done(CopyVariant(variant="one", new_id="three", name="third"), start)
    assert after.proposal.variants["three"].modules is start.proposal.variants["one"].modules
    gone = done(DeleteVariant(variant="one"), start)
    assert gone.proposal.proposal.default_variant == ""
    assert "keeps at least one" in refused(DeleteVariant(variant="two"), gone).sentence


def test_a_finding_is_accepted_with_reason_and_name() -> None:
    """An acceptance says why and by whom, takes the next free id, and is not given twice at the same numbers."""
    start = small()
    edit = AcceptFinding(
        variant="one",
        rule="r.x",
        place="REAR.U3",
        reason="by design",
        by="M. Example",
        date=TODAY,
        measured="2",
        limit="1",
    )
    after = done(edit, start)
    assert after.proposal.variants["one"].accepted["A05"].reason == "by design"
    assert "accepted already (A05)" in refused(edit, after).sentence
    assert "A06" in done(msgspec.structs.replace(edit, measured="3"), after).proposal.variants["one"].accepted
    for field in ("reason", "by"):
        assert "is missing" in refused(msgspec.structs.replace(edit, **{field: "  "}), start).sentence
    withdrawn = done(WithdrawAcceptance(variant="one", accepted_id="A05"), after)
    assert withdrawn.proposal.variants["one"].accepted == start.proposal.variants["one"].accepted


def test_parts_are_frozen_once_and_refreshed_by_command() -> None:
    """The same data again change nothing, other data are refused, and only a refresh takes them."""
    start = small()
    other = Part(kind="fet", mpn="2")
    assert apply(FreezePart(key="fet", part=PARTS["fet"]), start) is start
    assert "refreshing it takes the new ones" in refused(FreezePart(key="fet", part=other), start).sentence
    assert done(RefreshPart(key="fet", part=other), start).parts["fet"] is other
    assert "there is no part 'new'" in refused(RefreshPart(key="new", part=other), start).sentence
    assert done(FreezePart(key="new", part=other), start).parts["mcu"] is PARTS["mcu"]
    assert "already" in refused(FreezePart(key="FET", part=other), start).sentence


def test_unused_parts_stay_until_they_are_dropped() -> None:
    """Swapping a device away keeps its part for undo; dropping keeps what any variant uses, items too."""
    start = small()
    swapped = done(SwapDevice(variant="one", module_id="REAR", ref="U3", part="hs2", taking_off=("L2",)), start)
    assert swapped.parts is start.parts
    assert done(DropUnusedParts(), swapped).parts.keys() == {"mcu", "ldo", "hs2", "predriver", "fet", "board"}


def test_a_group_is_done_as_a_whole_or_not_at_all() -> None:
    """One refused edit refuses the group; where it asks for consent, the group can be asked again as a whole."""
    start = small()
    first = SetField(place="loads.L1.name", value="x")
    assert refused(Group(edits=(first, SetField(place="loads.L9.name", value="x")), words="two"), start).retry is None
    swap = SwapDevice(variant="one", module_id="REAR", ref="U3", part="hs2")
    refusal = refused(Group(edits=(first, swap), words="two"), start)
    assert refusal.retry is not None
    after = done(refusal.retry, start)
    assert after.proposal.loads["L1"].name == "x"
    assert "L2" not in placements(after)
    assert after.number == start.number + 1
