"""Edits of what belongs to the vehicle: loads, subsystems, zones, modes, pairs, and single fields."""

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bomtui.edit.edit import Edit, apply
from bomtui.edit.edits.field import SetField
from bomtui.edit.edits.load import AddLoad, RemoveLoad, RenameLoad
from bomtui.edit.edits.module import RenameModule
from bomtui.edit.edits.variant import RenameVariant
from bomtui.edit.edits.vehicle import (
    AddPair,
    AddZone,
    RemoveMode,
    RemovePair,
    RemoveSubsystem,
    RemoveZone,
    RenameMode,
    RenameSubsystem,
    RenameZone,
)
from bomtui.model.load import Load
from bomtui.model.proposal import Snapshot
from bomtui.model.settings import DRIVE_HABITS
from bomtui.model.vehicle import Pair
from bomtui.storage.proposal.write import proposal_text
from tests.edit.small import done, refused, small
from tests.samples.rollups import snapshot as sample
from tests.strategies import snapshots


def mentions(snapshot: Snapshot, name: str) -> int:
    """How often an id stands in the file as a word of its own."""
    return len(re.findall(rf"(?<![\w-]){re.escape(name)}(?![\w-])", proposal_text(snapshot.proposal)))


@pytest.mark.parametrize(
    ("edit", "old", "new"),
    [
        (RenameLoad(load_id="L1", new_id="LAMP-9"), "L1", "LAMP-9"),
        (RenameLoad(load_id="L3", new_id="LAMP-9"), "L3", "LAMP-9"),
        (RenameSubsystem(subsystem_id="LIGHT", new_id="EXT"), "LIGHT", "EXT"),
        (RenameZone(zone_id="Z1", new_id="ROOF"), "Z1", "ROOF"),
        (RenameZone(zone_id="Z2", new_id="ROOF"), "Z2", "ROOF"),
        (RenameMode(mode_id="PARK", new_id="NIGHT"), "PARK", "NIGHT"),
        (RenameModule(variant="one", module_id="REAR", new_id="TAIL"), "REAR", "TAIL"),
        (RenameVariant(variant="one", new_id="v1"), "one", "v1"),
    ],
)
def test_a_rename_follows_every_mention(edit: Edit, old: str, new: str) -> None:
    """After a rename the old id stands nowhere in the file, and the new one wherever the old one stood."""
    before = small()
    after = done(edit, before)
    assert mentions(before, old) > 1
    assert mentions(after, old) == 0
    assert mentions(after, new) == mentions(before, old)


@pytest.mark.parametrize("vehicle", ["van", "sweeper"])
def test_renames_follow_on_whole_samples(vehicle: str) -> None:
    """On a real vehicle, too, each load, zone and mode and each module can be renamed without a mention left behind."""
    start = sample(vehicle)
    variant = start.proposal.proposal.default_variant
    edits: list[tuple[Edit, str]] = [
        *((RenameLoad(load_id=key, new_id=f"{key}x9"), key) for key in list(start.proposal.loads)[::40]),
        *((RenameZone(zone_id=key, new_id=f"{key}x9"), key) for key in start.proposal.zones),
        *((RenameMode(mode_id=key, new_id=f"{key}x9"), key) for key in start.proposal.modes),
        *(
            (RenameModule(variant=variant, module_id=key, new_id=f"{key}x9"), key)
            for key in start.proposal.variants[variant].modules
        ),
    ]
    for edit, key in edits:
        after = done(edit, start)
        # Names and notes are the person's own words, and modules of other variants keep their ids.
        left = mentions(after, key)
        assert mentions(after, f"{key}x9") == mentions(start, key) - left
        addresses = [
            text
            for placement in after.proposal.variants[variant].placements.values()
            for text in (*placement.on, *placement.stage)
        ]
        assert not any(text.split(".")[0] == key for text in addresses)


@given(snapshots(), st.data())
@settings(max_examples=12)
def test_a_rename_there_and_back_changes_nothing(start: Snapshot, data: st.DataObject) -> None:
    """Renaming to a fresh id and back gives the same proposal again, so nothing was lost on the way."""
    proposal = start.proposal
    variant = next(iter(proposal.variants))
    pairs: list[tuple[Edit, Edit]] = [
        *((RenameLoad(load_id=k, new_id="Q-1"), RenameLoad(load_id="Q-1", new_id=k)) for k in proposal.loads),
        *((RenameZone(zone_id=k, new_id="Q-1"), RenameZone(zone_id="Q-1", new_id=k)) for k in proposal.zones),
        *((RenameMode(mode_id=k, new_id="Q-1"), RenameMode(mode_id="Q-1", new_id=k)) for k in proposal.modes),
        *(
            (
                RenameModule(variant=variant, module_id=k, new_id="Q-1"),
                RenameModule(variant=variant, module_id="Q-1", new_id=k),
            )
            for k in proposal.variants[variant].modules
        ),
    ]
    there, back = data.draw(st.sampled_from(pairs))
    renamed = done(there, start)
    assert renamed.proposal != proposal
    assert done(back, renamed).proposal == proposal


def test_an_acceptance_never_passes_to_something_else() -> None:
    """Where a load and a module have the same id, a rename leaves the acceptance behind instead of guessing."""
    start = done(RenameModule(variant="one", module_id="REAR", new_id="L3"), small())
    after = done(RenameLoad(load_id="L3", new_id="L9"), start)
    assert after.proposal.variants["one"].accepted["A01"].place == "L3.U3.1"
    renamed = done(RenameModule(variant="one", module_id="L3", new_id="TAIL"), start)
    assert renamed.proposal.variants["one"].accepted["A01"].place == "L3.U3.1"
    assert renamed.proposal.variants["one"].placements["L1"].on == ("TAIL.U3.1",)


def test_a_load_goes_with_what_names_it_only_when_agreed() -> None:
    """Removing a load names its placement, its pair and what was accepted for both, and takes them when asked again."""
    start = small()
    refusal = refused(RemoveLoad(load_id="L1"), start)
    assert refusal.takes == (
        "pairs.P1",
        "variants.one.placements.L1",
        "variants.one.accepted.A02",
        "variants.one.accepted.A03",
    )
    assert refusal.retry is not None
    after = done(refusal.retry, start).proposal
    assert "L1" not in after.loads
    assert after.pairs == {}
    assert set(after.variants["one"].placements) == {"L2", "L4"}
    assert set(after.variants["one"].accepted) == {"A01", "A04"}
    assert refused(RemoveLoad(load_id="L3"), start).takes == ("variants.one.modules.REAR.devices.U2.counted_in_load",)


def test_a_zone_goes_with_what_names_it_only_when_agreed() -> None:
    """Removing a zone leaves no load, module, distance or bus in it, and drops what was accepted for it."""
    start = small()
    refusal = refused(RemoveZone(zone_id="Z1"), start)
    assert set(refusal.takes) == {
        "vehicle.battery_zone",
        "loads.L1.zone",
        "variants.one.modules.REAR.zone",
        "variants.one.accepted.A04",
    }
    assert refusal.retry is not None
    after = done(refusal.retry, start).proposal
    assert list(after.zones) == ["Z2"]
    assert after.loads["L1"].zone == after.vehicle.battery_zone == after.variants["one"].modules["REAR"].zone == ""
    assert done(RemoveZone(zone_id="Z2", take_along=True), start).proposal.zones["Z1"].distance_m == {}


def test_a_mode_goes_with_the_shares_in_it() -> None:
    """Removing a mode drops the shares and duties of the loads in it, and leaves those of other modes."""
    start = small()
    assert set(refused(RemoveMode(mode_id="RUN"), start).takes) == {
        "loads.L1.time_share.RUN",
        "loads.L2.pwm_duty.RUN",
    }
    after = done(RemoveMode(mode_id="PARK", take_along=True), start).proposal
    assert after.loads["L1"].time_share_ratio == {"RUN": 0.5}
    assert after.vehicle.parked_mode == ""


def test_a_subsystem_that_owns_loads_stays() -> None:
    """A load must not vanish from the sums: its subsystem cannot go before it; one without loads can."""
    start = small()
    refusal = refused(RemoveSubsystem(subsystem_id="LIGHT"), start)
    assert refusal.sentence == ("the subsystem LIGHT owns 4 loads (L1, L2, L3 and L4); give them to another one first")
    assert refusal.retry is None
    assert list(done(RemoveSubsystem(subsystem_id="FREE"), start).proposal.subsystems) == ["LIGHT"]


def test_pairs_name_two_loads_that_exist() -> None:
    """A load cannot stand in for itself or for one that is not there; a removed pair takes its acceptance along."""
    start = small()
    assert (
        "stand in for itself" in refused(AddPair(pair_id="P2", pair=Pair(primary="L3", stand_in="L3")), start).sentence
    )
    assert "there is no 'L9'" in refused(AddPair(pair_id="P2", pair=Pair(primary="L3", stand_in="L9")), start).sentence
    assert refused(RemovePair(pair_id="P1"), start).takes == ("variants.one.accepted.A03",)
    assert done(RemovePair(pair_id="P1", take_along=True), start).proposal.pairs == {}


@pytest.mark.parametrize("new_id", ["l2", "L2", "two words", "L.1", "", "x" * 33, "\x1b[31m"])
def test_ids_are_lawful_and_differ_in_more_than_capitals(new_id: str) -> None:
    """An id that a file could not hold, or that is taken, is refused in one clean sentence, for new and renamed."""
    start = small()
    for edit in (
        AddLoad(load_id=new_id, load=Load(subsystem="LIGHT")),
        RenameLoad(load_id="L1", new_id=new_id),
    ):
        sentence = refused(edit, start).sentence
        assert "already" in sentence or "expected an id" in sentence
        assert sentence.isprintable()


def test_an_id_may_change_its_own_capitals() -> None:
    """Renaming L1 to l1 is no clash with itself."""
    assert "l1" in done(RenameLoad(load_id="L1", new_id="l1"), small()).proposal.loads


def test_a_load_names_what_exists() -> None:
    """A new load of a subsystem, zone or mode that is not there is refused with the field and the id."""
    start = small()
    wrong = {
        "subsystem of L9": Load(subsystem="NONE"),
        "zone of L9": Load(subsystem="LIGHT", zone="NONE"),
        "time share of L9": Load(subsystem="LIGHT", time_share_ratio={"NONE": 0.5}),
    }
    for words, load in wrong.items():
        sentence = refused(AddLoad(load_id="L9", load=load), start).sentence
        assert words in sentence
        assert "'NONE'" in sentence


@pytest.mark.parametrize(
    ("place", "value", "words"),
    [
        ("loads.L9.name", "x", "there is no 'loads.L9' in this proposal"),
        ("loads.L1.colour", "x", "there is no field 'loads.L1.colour' in a proposal"),
        ("loads", "x", "there is no field 'loads' in a proposal"),
        ("loads.L1", "x", "there is no field 'loads.L1' in a proposal"),
        ("loads.L1.rated_power.max", 1.0, "there is no field"),
        ("loads.L1.rated_power", float("nan"), "takes a finite number"),
        ("loads.L1.rated_power", 55, "takes a float, found a int"),
        ("loads.L1.contacts", True, "takes a int, found a bool"),
        ("loads.L1.drive", "XX", "takes one of HS, "),
        ("loads.L1.zone", "Z9", "names a zone; there is no 'Z9' in this proposal"),
        ("loads.L1.subsystem", None, "the subsystem of L1 cannot be left out"),
        ("loads.L1.subsystem", "", "names a subsystem"),
        ("loads.L1.name", "half \ud800", "takes whole characters"),
        ("loads.L1.time_share.NONE", 0.5, "names a mode"),
        ("loads.L1.time_share.a b", 0.5, "expected an id"),
        ("loads.L1.time_share", {"RUN": 2}, "takes a float"),
        ("variants.one.modules.REAR.devices.U3.part", "hs2", "by swapping it"),
        ("variants.one.placements.L1.on", ("REAR",), "by placing it"),
        ("variants.one.modules.REAR.devices.U3.commanded_by", "U9", "there is no 'U9' in this module"),
        ("variants.one.modules.REAR.devices.U3.supply.vio", "V9", "there is no 'V9' in this module"),
        ("variants.one.placements.L1.joined", "glued", "takes one of parallel, shared"),
        ("variants.one.placements.L3.note", "x", "there is no 'variants.one.placements.L3'"),
        ("settings.drives.XX.wires", 2, "there is no 'settings.drives.XX'"),
        ("zones.Z1.distance", {"Z2": 1.0}, "is set zone by zone"),
    ],
)
def test_a_field_refuses_what_it_cannot_take(place: str, value: object, words: str) -> None:
    """What a field cannot take is refused in one sentence that names the field as people call it."""
    assert words in refused(SetField(place=place, value=value), small()).sentence


def test_fields_are_set_and_cleared() -> None:
    """A value stands where its place says; None makes it unknown, its default, or removes the entry."""
    start = small()
    after = done(SetField(place="loads.L1.rated_power", value=55.0), start)
    assert after.proposal.loads["L1"].rated_power_w == 55.0
    assert after.number == start.number + 1
    assert done(SetField(place="loads.L1.rated_power"), start).proposal.loads["L1"].rated_power_w is None
    assert done(SetField(place="loads.L4.drive"), start).proposal.loads["L4"].drive == "HS"
    assert done(SetField(place="loads.L1.time_share.RUN"), start).proposal.loads["L1"].time_share_ratio == {"PARK": 0.0}
    assert done(SetField(place="proposal.revision", value="B"), start).proposal.proposal.revision == "B"
    assert apply(SetField(place="loads.L1.rated_power", value=21.0), start) is start


def test_the_customers_constraints_are_fields() -> None:
    """Grade, makers, packages and parts are set and cleared at their places; a grade that there is not is refused."""
    start = small()
    for place, value in (
        ("minimum_grade", "G1"),
        ("approved_makers", ("Maker A",)),
        ("refused_packages", ("BGA",)),
        ("must_keep", ("mcu",)),
        ("forbidden", ("hs1", "of nobody")),
    ):
        step = SetField(place=f"constraints.{place}", value=value)
        after = done(step, start)
        assert getattr(after.proposal.constraints, place) == value
        assert step.label == f"set {place.replace('_', ' ')}"
        assert done(SetField(place=f"constraints.{place}"), after).proposal == start.proposal
    words = "takes one of G0, G1, G2, G3, found 'G4'"
    assert words in refused(SetField(place="constraints.minimum_grade", value="G4"), start).sentence


def test_a_habit_begins_as_that_of_the_trade() -> None:
    """Setting one count of a drive code that the proposal has no habit for keeps the trade's other counts."""
    habit = done(SetField(place="settings.drives.HB2.wires", value=5), small()).proposal.settings.drives["HB2"]
    assert habit.wires == 5
    assert habit.channels == DRIVE_HABITS["HB2"].channels


def test_two_zones_have_one_distance() -> None:
    """A distance is set and removed wherever it stands, whichever of the two zones is named first."""
    start = done(AddZone(zone_id="Z3"), small())
    after = done(SetField(place="zones.Z2.distance.Z1", value=4.0), start).proposal.zones
    assert (after["Z1"].distance_m, after["Z2"].distance_m) == ({"Z2": 4.0}, {})
    gone = done(SetField(place="zones.Z2.distance.Z1"), start).proposal.zones
    assert gone["Z1"].distance_m == gone["Z2"].distance_m == {}
    new = done(SetField(place="zones.Z3.distance.Z1", value=1.0), start).proposal.zones
    assert (new["Z1"].distance_m, new["Z3"].distance_m) == ({"Z2": 2.5}, {"Z1": 1.0})
    inside = done(SetField(place="zones.Z3.distance.Z3", value=0.5), start).proposal.zones
    assert inside["Z3"].distance_m == {"Z3": 0.5}


@pytest.mark.parametrize(
    ("place", "value", "label"),
    [
        ("loads.L11.rated_power", 1.0, "set rated power of L11"),
        ("loads.L11.rated_power", None, "clear rated power of L11"),
        ("loads.L11.time_share.PARK", 0.0, "set time share PARK of L11"),
        ("vehicle.volume_per_year", 600, "set volume per year"),
        ("settings.rates.placement", None, "clear placement"),
        ("variants.zone.name", "x", "set name of zone"),
        ("variants.zone.modules.ZREA.zone", "Z4", "set zone of ZREA"),
        ("variants.zone.modules.ZREA.devices.U6.note", "x", "set note of ZREA.U6"),
        ("zones.Z1.distance.Z2", 1.0, "set distance Z2 of Z1"),
    ],
)
def test_a_step_is_named_in_words(place: str, value: object, label: str) -> None:
    """The list of steps says what was set, of what, without file syntax."""
    assert SetField(place=place, value=value).label == label
