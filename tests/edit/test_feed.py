"""Feeds of a variant: added, renamed, removed, and given to modules."""

import pytest

from bomtui.edit.edits.device import RemoveDevice, RenameDevice
from bomtui.edit.edits.feed import AddFeed, FeedModule, RemoveFeed, RenameFeed
from bomtui.edit.edits.field import SetField
from bomtui.edit.edits.module import CopyModule, MoveModule, RemoveModule, RenameModule
from bomtui.edit.edits.vehicle import RemoveZone
from bomtui.model.feed import Feed
from bomtui.model.proposal import Snapshot
from bomtui.model.variant import Acceptance, Variant
from tests.edit.small import done, refused, small


def one(snapshot: Snapshot) -> Variant:
    """The variant that has a module."""
    return snapshot.proposal.variants["one"]


def test_a_feed_is_added_and_given_to_a_module() -> None:
    """It supplies nothing until a module names it; ids are taken whatever their capital letters."""
    after = done(AddFeed(variant="one", feed_id="F3", feed=Feed(fuse_current_a=15.0)), small())
    assert one(after).feeds["F3"].fuse_current_a == 15
    assert one(after).modules["REAR"].feeds == ("F1",)
    fed = done(FeedModule(variant="one", module_id="REAR", feeds=("F1", "F3")), after)
    assert one(fed).modules["REAR"].feeds == ("F1", "F3")
    assert "F1 already" in refused(AddFeed(variant="one", feed_id="f1"), small()).sentence


def test_a_module_takes_known_feeds_once() -> None:
    """What no feed of the variant is called is refused, and so is one that is named twice."""
    assert "'F9'" in refused(FeedModule(variant="one", module_id="REAR", feeds=("F9",)), small()).sentence
    assert "once" in refused(FeedModule(variant="one", module_id="REAR", feeds=("F1", "F1")), small()).sentence


def test_devices_leave_a_feed_with_their_module() -> None:
    """A device that hung on a feed of its module hangs on none when the module has another one."""
    after = done(FeedModule(variant="one", module_id="REAR", feeds=("F2",)), small())
    assert one(after).modules["REAR"].devices["U2"].feed == ""


def test_what_names_a_feed_follows_its_id() -> None:
    """Module, device and accepted finding bear the new id, and the feed stays at its place."""
    accepted = {"A1": Acceptance(rule="fuse.load", place="feeds.F1", reason="measured")}
    after = done(RenameFeed(variant="one", feed_id="F1", new_id="MAIN"), small(accepted=accepted))
    variant = one(after)
    assert list(variant.feeds) == ["MAIN", "F2"]
    assert variant.modules["REAR"].feeds == ("MAIN",)
    assert variant.modules["REAR"].devices["U2"].feed == "MAIN"
    assert variant.accepted["A1"].place == "feeds.MAIN"


def test_a_feed_goes_with_all_that_names_it() -> None:
    """It is refused with the places that would lose it, and goes once that is agreed."""
    accepted = {"A1": Acceptance(rule="fuse.load", place="feeds.F1", reason="measured")}
    start = small(accepted=accepted)
    refusal = refused(RemoveFeed(variant="one", feed_id="F1"), start)
    assert refusal.takes == (
        "variants.one.modules.REAR.feeds",
        "variants.one.modules.REAR.devices.U2.feed",
        "variants.one.accepted.A1",
    )
    assert refusal.retry is not None
    variant = one(done(refusal.retry, start))
    assert list(variant.feeds) == ["F2"]
    assert variant.modules["REAR"].feeds == ()
    assert variant.modules["REAR"].devices["U2"].feed == ""
    assert variant.accepted == {}


def test_a_switch_follows_its_device_and_module() -> None:
    """The address of the channel in place of a fuse keeps leading to the very device."""
    renamed = done(RenameDevice(variant="one", module_id="REAR", ref="U3", new_ref="U9"), small())
    assert one(renamed).feeds["F2"].switch == "REAR.U9.2"
    moved = done(RenameModule(variant="one", module_id="REAR", new_id="BACK"), renamed)
    assert one(moved).feeds["F2"].switch == "BACK.U9.2"


@pytest.mark.parametrize(
    "edit",
    [
        RemoveDevice(variant="one", module_id="REAR", ref="U3"),
        RemoveModule(variant="one", module_id="REAR"),
    ],
)
def test_a_switch_goes_with_its_device(edit: RemoveDevice | RemoveModule) -> None:
    """It is named among what goes along, and the feed stays, without a switch."""
    refusal = refused(edit, small())
    assert "variants.one.feeds.F2.switch" in refusal.takes
    assert refusal.retry is not None
    assert one(done(refusal.retry, small())).feeds["F2"].switch == ""


@pytest.mark.parametrize("value", ["REAR.U3", "REAR", "FRONT.U3.1", "REAR.U8.1", "no address"])
def test_a_switch_is_a_channel(value: str) -> None:
    """What leads to no channel of a device of the variant is refused, in a new feed and in a field."""
    refusal = refused(SetField(place="variants.one.feeds.F1.switch", value=value), small())
    assert value in refusal.sentence
    assert value in refused(AddFeed(variant="one", feed_id="F3", feed=Feed(switch=value)), small()).sentence


def test_the_zone_of_a_fuse_goes_with_the_zone() -> None:
    """A feed whose fuse was in a zone that goes has it in the battery zone again."""
    refusal = refused(RemoveZone(zone_id="Z2"), small())
    assert "variants.one.feeds.F2.fuse_zone" in refusal.takes
    assert refusal.retry is not None
    assert one(done(refusal.retry, small())).feeds["F2"].fuse_zone == ""


def test_a_module_keeps_its_feeds_where_it_goes() -> None:
    """Moved or copied it hangs on the same feeds."""
    moved = done(MoveModule(variant="one", module_id="REAR", zone="Z2"), small())
    assert one(moved).modules["REAR"].feeds == ("F1",)
    copied = done(CopyModule(variant="one", module_id="REAR", new_id="SIDE"), small())
    assert one(copied).modules["SIDE"].feeds == ("F1",)
