"""Lines of fields, made from the field table alone, over whole samples."""

from collections.abc import Iterable, Iterator
from pathlib import Path

import pytest

from bomtui.edit.edits.field import SetField
from bomtui.edit.edits.vehicle import RemoveZone, RenameMode
from bomtui.model.fields import field_table
from bomtui.model.load import Load
from bomtui.model.proposal import Proposal
from bomtui.tui.field_view import FieldLine
from bomtui.tui.from_services.names import COMMON, VEHICLE
from bomtui.tui.from_services.source import SessionSource
from tests.tui.from_services.real import SWEEPER, VAN, all_places, opened

HOLDERS = {"fields", "table", "record"}


@pytest.fixture
def source(tmp_path: Path) -> Iterator[SessionSource]:
    """The sweeper, open; what a test does to it is given up."""
    source = opened(SWEEPER, tmp_path)
    yield source
    source.discard()


def every(lines: Iterable[FieldLine]) -> Iterator[FieldLine]:
    """All lines, those inside others too."""
    for line in lines:
        yield line
        yield from every(line.children)


def lines_at(source: SessionSource, place: str, variant: str = "zone") -> dict[str, FieldLine]:
    """All lines of a record by their places."""
    view = source.fields(variant, place)
    assert view is not None
    return {line.place: line for line in every(view.lines)}


@pytest.mark.parametrize(("path", "variant"), [(SWEEPER, "zone"), (VAN, "central")])
def test_every_line_of_the_sheet_leads_to_fields_that_can_be_typed_over_as_they_stand(
    path: Path, variant: str, tmp_path: Path
) -> None:
    """What a field shows for typing reads back to its value, for each field of each record of a whole proposal."""
    source = opened(path, tmp_path)
    records = {source.record_at(variant, place.address) for place in all_places(source.view(variant))}
    places = {place for place in records if place is not None}
    assert "" in places
    assert {place.split(".")[0] for place in places} == {"", "loads", "subsystems", "variants"}
    typed = 0
    for place in places:
        for line in lines_at(source, place, variant).values():
            if line.kind in HOLDERS or not line.text or source.field_help(line.place).fixed:
                continue
            assert source.set_text(line.place, line.text).state == "nothing", line.place
            typed += 1
    assert typed > 2000
    assert not source.is_unsaved
    source.discard()


def test_a_load_has_a_line_for_each_of_its_fields_and_how_it_is_placed(source: SessionSource) -> None:
    """The lines are those of the field table, an entry per mode of the vehicle below each field that has some."""
    lines = lines_at(source, "loads.L24")
    assert {f"loads.L24.{info.key}" for info in field_table(Load)} <= lines.keys()
    modes = source.snapshot.proposal.modes
    shares = lines["loads.L24.time_share"]
    assert [line.title for line in shares.children] == sorted(modes)
    assert shares.shown == f"{len(modes)} of {len(modes)} given"
    assert lines["loads.L24.rated_power"].shown == "unknown"
    assert lines["loads.L24.test_current"].shown == "1.6 A"
    assert (lines["loads.L24.drive"].shown, lines["loads.L24.drive"].remark) == ("HS", "default")
    assert lines["variants.zone.placements.L24.pinned"].kind == "flag"
    assert "variants.zone.placements.L24" not in lines_at(source, "loads.L24", "nowhere")


def test_the_vehicle_has_all_that_the_sheet_does_not_show(source: SessionSource) -> None:
    """Every table of the file stands there but loads and variants, each record of it with its fields."""
    lines = lines_at(source, "")
    shown = {info.key for info in field_table(Proposal)} - {"loads", "variants"}
    assert {place for place in lines if "." not in place} == shown
    assert {"constraints", "settings", "assumptions"} <= shown
    assert lines["pairs.T06-T07"].shown == "T06, T07"
    assert lines["zones.Z1"].shown == "engine bay"
    assert lines["settings.drives.LIN"].remark == ""
    assert lines["settings.drives.HB2"].remark == "own habit"
    assert lines["settings.heat.case_rise"].remark == "default"


def test_entries_without_any_are_not_called_unknown(source: SessionSource) -> None:
    """A load without PWM is fully on: its duties are not given, and only where some are is the rest unknown."""
    place = next(
        f"loads.{key}.pwm_duty" for key, load in source.snapshot.proposal.loads.items() if not load.pwm_duty_ratio
    )
    record = place.rpartition(".")[0]
    assert {line.shown for line in lines_at(source, record)[place].children} == {"not given"}
    assert source.set_text(f"{place}.PARK", "10 %").state == "done"
    assert {line.shown for line in lines_at(source, record)[place].children} == {"10 %", "unknown"}


def test_what_a_line_cannot_hold_is_shown_and_not_offered_for_typing(source: SessionSource) -> None:
    """A list with a ';' in an entry is read, and no single line could be read back to it."""
    assert source.do(SetField(place="constraints.approved_makers", value=("A; B", "C"))).state == "done"
    line = lines_at(source, "")["constraints.approved_makers"]
    assert (line.text, line.shown) == (None, "A; B, C")


def test_choices_are_what_the_field_may_name(source: SessionSource) -> None:
    """Ids come with their names; nothing is among them only where the field may be without."""
    zones = source.field_choices("loads.L24.zone")
    assert (zones[0].id, zones[0].title) == ("", "none")
    assert [choice.id for choice in zones[1:]] == sorted(source.snapshot.proposal.zones)
    assert zones[1].note == "engine bay"
    assert all(choice.id for choice in source.field_choices("loads.L24.drive"))
    assert source.field_choices("vehicle.supply")[0].title == "unknown"
    feeds = source.field_choices("variants.zone.modules.ZCEN.devices.U5.supply.main")
    assert "battery" in {choice.id for choice in feeds}
    parts = source.field_choices("variants.zone.modules.ZCEN.devices.U5.part")
    assert {choice.id for choice in parts if choice.id} == set(source.snapshot.parts)
    commanders = source.field_choices("variants.zone.modules.ZCEN.devices.U5.commanded_by")
    assert ("U11", "mcu-176") in {(choice.id, choice.note) for choice in commanders}


def test_lines_that_are_no_record_have_no_fields(source: SessionSource) -> None:
    """The vehicle leads to its lists, sums lead nowhere, and so does a record that is gone."""
    assert source.record_at("zone", VEHICLE) == ""
    assert source.record_at("zone", COMMON) is None
    assert source.record_at("nowhere", "ZCEN.U5") is None
    assert source.fields("zone", "loads.NONE") is None
    assert source.fields("zone", "variants.zone.modules.NONE.devices.U1") is None


def test_a_step_tells_which_record_it_was_about(source: SessionSource) -> None:
    """A screen can go to the row: the new id after a rename, the old one once it is undone."""
    edit = RenameMode(mode_id="PARK", new_id="OFF")
    assert source.do(edit).place == "modes.OFF"
    assert source.undo().place == "modes.PARK"
    assert source.redo().place == "modes.OFF"
    assert source.do(RemoveZone(zone_id="Z1", take_along=True)).place == "zones.Z1"
    assert source.set_text("loads.L24.rated_power", "5 W").place == "loads.L24.rated_power"
    item = "variants.zone.modules.ZCEN.items.board-6"
    outcome = source.set_text(f"{item}.quantity", "1 dm2")
    assert (outcome.place, outcome.address) == (f"{item}.quantity", "ZCEN.item board-6")
    assert source.set_text(f"{item}.note", "x").address == "ZCEN.item board-6"
