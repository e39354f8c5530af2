"""What a line of the sheet is, and what a key would do there."""

import pytest

from bomtui.edit.edits.device import RenameDevice
from bomtui.edit.edits.field import SetField
from bomtui.edit.edits.placement import Place
from bomtui.model.variant import Module, Placement
from bomtui.tui.from_services.joining import joinings
from bomtui.tui.from_services.lines import Line, line_of, loads_in
from bomtui.tui.from_services.names import COMMON, RESERVE, UNPLACED, VEHICLE
from bomtui.tui.from_services.shape import (
    devices,
    drives,
    feeds,
    new_id_problem,
    quantity_of,
    rails,
    supply_inputs,
    voltage_of,
    zones,
)
from tests.edit.small import MODULE, done, small


@pytest.mark.parametrize(
    ("address", "line"),
    [
        (None, Line("vehicle", "one")),
        (VEHICLE, Line("vehicle", "one")),
        (COMMON, Line("vehicle", "one")),
        (RESERVE, Line("vehicle", "one")),
        (UNPLACED, Line("unplaced", "one")),
        ("REAR", Line("module", "one", "REAR")),
        ("REAR.U3", Line("device", "one", "REAR", "U3", "hs4")),
        ("REAR.rail V5", Line("rail", "one", "REAR", rail="V5")),
        ("REAR.rail V9", Line("module", "one", "REAR")),
        ("REAR.item board", Line("item", "one", "REAR", part="board")),
        ("L1", Line("load", "one", load="L1", subsystem="LIGHT")),
        ("load L1", Line("load", "one", load="L1", subsystem="LIGHT")),
        ("LIGHT", Line("subsystem", "one", subsystem="LIGHT")),
        ("subsystem LIGHT", Line("subsystem", "one", subsystem="LIGHT")),
        ("REAR.U99", Line("module", "one", "REAR")),
        ("GONE", Line("vehicle", "one")),
    ],
)
def test_each_address_is_a_line(address: str | None, line: Line) -> None:
    """Modules, devices, items, loads and subsystems are told apart; what is gone is what stood around it."""
    assert line_of(small(), "one", address) == line


def test_a_module_with_the_id_of_a_load_is_the_module() -> None:
    """The bare id is the module's; the load has its word in front, as the sheet writes it."""
    snapshot = small(modules={"L1": Module(), "LIGHT": Module()})
    assert line_of(snapshot, "one", "L1").kind == "module"
    assert line_of(snapshot, "one", "load L1").kind == "load"
    assert line_of(snapshot, "one", "LIGHT").kind == "module"
    assert line_of(snapshot, "one", "subsystem LIGHT").kind == "subsystem"


def test_without_a_variant_there_are_no_modules() -> None:
    """Loads and subsystems are lines all the same, in no variant."""
    assert line_of(small(), "none", "REAR") == Line("vehicle")
    assert line_of(small(), "none", "L1") == Line("load", load="L1", subsystem="LIGHT")


@pytest.mark.parametrize(
    ("address", "loads"),
    [
        ("REAR", ("L1", "L2", "L4")),
        ("REAR.U3", ("L1", "L2")),
        ("REAR.Q1", ("L4",)),
        ("REAR.U1", ()),
        ("LIGHT", ("L1", "L2", "L4")),
        ("FREE", ()),
        ("L2", ("L2",)),
        ("L3", ()),
        (VEHICLE, ()),
    ],
)
def test_the_placed_loads_in_a_line(address: str, loads: tuple[str, ...]) -> None:
    """A device has those on its channels and stages, a module all in it, a subsystem its own; the vehicle none."""
    assert loads_in(small(), line_of(small(), "one", address)) == loads


def test_a_load_is_joined_in_parallel_with_a_free_channel_of_its_device() -> None:
    """U3 has four channels, three of them taken: L1 on 1, L2 on 3 and 4; the free one is offered, and taken again.

    One that switches a feed is not free.
    """
    switched = small()
    assert "parallel REAR.U3.2" not in {named[0] for named, _ in joinings(switched, "one", "L1")}
    start = done(SetField(place="variants.one.feeds.F2.switch", value=""), switched)
    found = {named[0]: edit for named, edit in joinings(start, "one", "L1")}
    assert "parallel REAR.U3.2" in found
    after = done(found["parallel REAR.U3.2"], start)
    placement = after.proposal.variants["one"].placements["L1"]
    assert (placement.on, placement.joined) == (("REAR.U3.1", "REAR.U3.2"), "parallel")
    assert placement.note == "kept"
    alone = next(edit for named, edit in joinings(after, "one", "L1") if named[0] == "alone")
    assert done(alone, after).proposal == start.proposal


def test_a_load_shares_the_channel_of_another_of_its_drive_code() -> None:
    """Both say so in one step, as an edit asks of loads on one channel; L4 is driven otherwise and is not offered."""
    start = done(Place(variant="one", load_id="L3", on=("REAR.U3.2",)), small())
    found = {named[0]: edit for named, edit in joinings(start, "one", "L3")}
    assert [key for key in found if key.startswith("shared ")] == ["shared L1"]
    after = done(found["shared L1"], start)
    placements = after.proposal.variants["one"].placements
    assert placements["L3"].on == placements["L1"].on == ("REAR.U3.1",)
    assert placements["L3"].joined == placements["L1"].joined == "shared"
    both = {named[0]: edit for named, edit in joinings(after, "one", "L3")}
    parted = done(both["alone"], after).proposal.variants["one"].placements
    assert parted["L1"].joined is parted["L3"].joined is None


def test_a_load_on_no_channel_is_not_joined() -> None:
    """Where only the module is named there is nothing to join."""
    snapshot = small(placements={"L3": Placement(on=("REAR",))})
    assert joinings(snapshot, "one", "L3") == []


def test_what_is_offered_says_what_tells_it_apart() -> None:
    """Zones have their temperature or say that it is unknown, rails voltage and source, inputs what feeds them."""
    snapshot = small()
    assert zones(snapshot) == [("Z1", "Z1", "ambient 85 degC"), ("Z2", "Z2", "ambient unknown")]
    assert rails(MODULE) == [("V5", "rail V5", "5 V from U2")]
    assert devices(snapshot, MODULE)[0] == ("U2", "U2 ldo", "makes 5 V")
    assert ("vio", "supply input vio", "now from V5") in supply_inputs(snapshot, MODULE, "U3")
    assert feeds(MODULE)[0][0] == "battery"
    assert ("HSP", "HSP", "high-side switch with PWM") in drives()


@pytest.mark.parametrize(
    ("text", "quantity"),
    [
        *(("1", "1"), (" 1.8 ", "1.8"), ("1e2", "100"), ("0", ""), ("-1", "")),
        *(("nan", ""), ("inf", ""), ("1 dm2", ""), ("", "")),
    ],
)  # fmt: skip
def test_a_quantity_is_a_number_above_zero(text: str, quantity: str) -> None:
    """Anything else is no quantity and is asked again."""
    assert quantity_of(text) == quantity


@pytest.mark.parametrize(
    ("text", "voltage_v"), [("5", 5.0), ("3.3 V", 3.3), ("500 mV", 0.5), ("5 A", None), ("", None)]
)
def test_a_voltage_has_its_unit_or_is_in_volt(text: str, voltage_v: float | None) -> None:
    """A wrong dimension, or nothing, is no voltage."""
    assert voltage_of(text) == voltage_v


def test_an_id_that_cannot_be_given_is_said_why() -> None:
    """Taken, unlawful, or fine; the id that is renamed is not taken by itself."""
    assert new_id_problem(["U1"], "u1", "device") == (
        "there is a device U1 already; ids differ in more than capital letters."
    )
    assert new_id_problem(["U1"], "U 1", "device").startswith("expected an id of letters")
    assert new_id_problem(["U1"], "u1", "device", "U1") == ""


def test_a_renamed_device_is_found_under_its_new_name_and_back_under_the_old_one() -> None:
    """The cursor goes to where the step leads, undone to where it came from."""
    from bomtui.tui.from_services.address import address_of

    edit = RenameDevice(variant="one", module_id="REAR", ref="U1", new_ref="U9")
    assert address_of(edit) == "REAR.U9"
    assert address_of(edit, is_undone=True) == "REAR.U1"
