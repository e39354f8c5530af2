"""Proposals that are broken, empty or oddly named, and paths that open nothing."""

from pathlib import Path

import msgspec
import pytest

from bomtui.model.proposal import Proposal
from bomtui.model.variant import Acceptance, Module, Placement, Variant
from bomtui.services.open import open_proposal
from bomtui.services.recent import recent_path
from bomtui.services.review import review
from bomtui.services.rollup import compute
from bomtui.storage.frozen_parts import parts_text
from bomtui.storage.proposal.write import proposal_text
from bomtui.tui.view import CheckedView
from tests.tui.from_services.real import SWEEPER, all_places, opened, refused, workplace

EMPTY = 'format = 1\n[proposal]\nname = "Bus"\n[vehicle]\nsupply = "12 V"\n'


def write(folder: Path, proposal: Proposal, *, with_parts: bool = True) -> Path:
    """Write a changed sweeper with its frozen parts."""
    (folder / "v.toml").write_text(proposal_text(proposal), encoding="utf-8")
    if with_parts:
        parts = open_proposal(SWEEPER).snapshot.parts
        (folder / "v.parts.toml").write_text(parts_text(parts), encoding="utf-8")
    return folder


def sweeper() -> Proposal:
    """The sweeper's proposal."""
    return open_proposal(SWEEPER).snapshot.proposal


def with_variant(proposal: Proposal, **changes: object) -> Proposal:
    """The proposal with its variant `zone` changed."""
    variant = msgspec.structs.replace(proposal.variants["zone"], **changes)
    return msgspec.structs.replace(proposal, variants={**proposal.variants, "zone": variant})


def zone_view(path: Path, settings_folder: Path) -> CheckedView:
    """The computed variant `zone`."""
    return opened(path, settings_folder).view("zone")


def broken(folder: Path) -> Path:
    """A sweeper with three faults, one of them in a line that the sheet shows."""
    text = (SWEEPER / "street_sweeper.toml").read_text(encoding="utf-8")
    text = text.replace('kind = "heater"', 'kind = "heatr"', 1).replace('zone = "Z5"', 'zone = "Z9"', 1)
    parts = (SWEEPER / "street_sweeper.parts.toml").read_text(encoding="utf-8")
    (folder / "v.toml").write_text(f'{text}\n[zones.Z1x]\nambient = "30 V"\n', encoding="utf-8")
    (folder / "v.parts.toml").write_text(parts, encoding="utf-8")
    return folder


def test_faults_of_the_file_come_first_with_line_and_field(tmp_path: Path) -> None:
    """A half-broken proposal is shown, its faults as findings that lead to their lines."""
    view = zone_view(broken(tmp_path), tmp_path / "settings")
    faults = [finding for finding in view.findings if finding.rule == "file"]
    assert view.findings[: len(faults)] == tuple(faults)
    assert len(faults) == 3
    assert all(finding.mark == "over" and finding.place.startswith("v.toml, line ") for finding in faults)
    heater = next(finding for finding in faults if "heatr" in finding.message)
    text = (tmp_path / "v.toml").read_text(encoding="utf-8").splitlines()
    line = next(number for number, content in enumerate(text, 1) if "heatr" in content)
    load_id = next(content for content in reversed(text[:line]) if content.startswith("[loads.")).strip("[]")
    assert heater.place == f"v.toml, line {line}, {load_id}.kind"
    assert heater.target == load_id.partition(".")[2]


def test_missing_parts_are_unknown_and_never_free(tmp_path: Path) -> None:
    """Without frozen parts every price is a question mark, the totals are bounds, and the signs say so."""
    view = zone_view(write(tmp_path, sweeper(), with_parts=False), tmp_path / "settings")
    parts = next(meter for meter in view.meters if meter.title == "Parts")
    assert (parts.value, parts.mark) == (">=0.0000 EUR", "unknown")
    assert parts.word.endswith(" unknown")
    devices = [place for module in view.modules for place in module.children if place.address.count(".") == 1]
    assert {place.cells.parts_cost for place in devices if place.cells.parts_cost} == {"?"}
    prices = [figure for figure in view.details("ZCEN.U1").figures if "price" in figure.title]
    assert {(figure.text, figure.mark) for figure in prices} == {("unknown", "unknown")}
    assert view.vehicle.cells.parts_cost == ">=0.0000"


def test_a_variant_without_modules_is_shown(tmp_path: Path) -> None:
    """Nothing is in it yet, and the checks that were possible are counted."""
    (tmp_path / "v.toml").write_text(EMPTY + '[variants.A]\nname = "first"\n', encoding="utf-8")
    source = opened(tmp_path, tmp_path / "settings")
    view = source.view(source.variants()[0].id)
    assert (view.modules, view.subsystems()[:-2]) == ((), ())
    assert (view.mode, view.heading.notice) == ("", "")
    assert view.vehicle.cells.load_current == ""


def test_a_proposal_without_variant_shows_its_loads(tmp_path: Path) -> None:
    """Nothing is computed, and that nothing was checked is said."""
    text = EMPTY + '[subsystems.EXT]\nname = "light"\n[loads.L1]\nsubsystem = "EXT"\nname = "lamp"\n'
    (tmp_path / "v.toml").write_text(text, encoding="utf-8")
    source = opened(tmp_path, tmp_path / "settings")
    assert source.variants() == ()
    overwrite = False
    view = source.view("")
    assert view.checks == "nothing was checked: the proposal has no variant"
    assert [load.title for load in view.subsystems()[0].children] == ["L1 lamp"]
    assert view.details("L1").title == "L1 lamp"
    assert view.details("EXT").title == "EXT light"
    assert view.details(view.vehicle.address).title == "Bus"
    assert view.write_parts_list(str(tmp_path / "x.csv"), overwrite).state == "refused"
    assert not (tmp_path / "x.csv").exists()


def test_equal_ids_of_different_sorts_stay_apart(tmp_path: Path) -> None:
    """A module, a load and a subsystem of one id have each its own line and its own details."""
    proposal = sweeper()
    loads = {**proposal.loads, "ZCEN": msgspec.structs.replace(proposal.loads["L24"], name="odd", subsystem="ZCEN")}
    odd = msgspec.structs.replace(
        proposal, loads=loads, subsystems={**proposal.subsystems, "ZCEN": proposal.subsystems["EXT"]}
    )
    view = zone_view(write(tmp_path, odd), tmp_path / "settings")
    titles = {place.address: view.details(place.address).title for place in all_places(view)}
    assert titles["ZCEN"].startswith("ZCEN cab and front")
    assert titles["load ZCEN"] == "ZCEN odd"
    assert titles["subsystem ZCEN"] == "ZCEN exterior lighting"


def test_loads_that_no_module_serves_have_a_line_of_their_own(tmp_path: Path) -> None:
    """What is not placed is shown behind the modules, with a state, and its details say so."""
    proposal = sweeper()
    placements = {key: placement for key, placement in proposal.variants["zone"].placements.items() if key != "L24"}
    view = zone_view(write(tmp_path, with_variant(proposal, placements=placements)), tmp_path / "settings")
    loose = view.modules[-1]
    assert loose.title == "served by no module: 1 load"
    assert [place.address for place in loose.children] == ["L24"]
    assert loose.mark in {"check", "over"}
    placed = next(figure for figure in view.details("L24").figures if figure.title == "placed on")
    assert (placed.text, placed.mark) == ("nothing yet", "check")
    assert "1 load" in view.details(loose.address).title


@pytest.mark.slow
def test_an_accepted_finding_keeps_its_place_and_leaves_the_counts(tmp_path: Path) -> None:
    """Who accepted it, when and why stands in the list; the sheet no longer counts it."""
    before = zone_view(write(tmp_path, sweeper()), tmp_path / "settings")
    finding = next(finding for finding in before.findings if finding.rule == "safety.capability")
    judged = review(compute(open_proposal(SWEEPER), "zone")).review.findings
    same = next(own for own in judged if own.rule == finding.rule and own.place == finding.place)
    acceptance = Acceptance(
        rule=finding.rule, place=finding.place, reason="prototype measured", by="J. Doe",
        measured=str(same.measured), limit=str(same.limit),
    )  # fmt: skip
    after = zone_view(write(tmp_path, with_variant(sweeper(), accepted={"A1": acceptance})), tmp_path / "settings")
    accepted = next(own for own in after.findings if (own.rule, own.place) == (finding.rule, finding.place))
    assert accepted.status == "accepted by J. Doe: prototype measured"
    assert len(after.findings) == len(before.findings)
    assert int(after.vehicle.cells.findings) == int(before.vehicle.cells.findings) - 1


def test_a_device_without_data_is_shown_as_such(tmp_path: Path) -> None:
    """A part that nobody froze is no reason to hide its device."""
    proposal = sweeper()
    module = proposal.variants["zone"].modules["ZREA"]
    devices = {**module.devices, "U99": msgspec.structs.replace(module.devices["U1"], part="no-such-part")}
    changed = {
        **proposal.variants["zone"].modules,
        "ZREA": msgspec.structs.replace(module, devices=devices),
        "BARE": Module(),
    }
    view = zone_view(write(tmp_path, with_variant(proposal, modules=changed)), tmp_path / "settings")
    place = next(place for place in all_places(view) if place.address == "ZREA.U99")
    assert place.title == "U99 no-such-part, no data of this part"
    assert place.cells.parts_cost == "?"
    assert place.mark in {"unknown", "check", "over"}
    assert "hold no data" in view.details("ZREA.U99").notes[-1]
    assert view.details("BARE").title == "BARE"


def test_a_placement_beyond_the_variant_does_not_break_the_sheet(tmp_path: Path) -> None:
    """A load on a device that does not exist is a fault of the file, and stands with the loads that nobody serves."""
    proposal = sweeper()
    placements = {**proposal.variants["zone"].placements, "L24": Placement(on=("ZREA.U77.1",))}
    view = zone_view(write(tmp_path, with_variant(proposal, placements=placements)), tmp_path / "settings")
    assert [place.address for place in view.modules[-1].children] == ["L24"]
    fault = next(finding for finding in view.findings if finding.rule == "file")
    assert fault.target == "L24"


def test_only_the_variants_own_faults_are_led_to(tmp_path: Path) -> None:
    """A variant without anything in it shows the same loads and none of the other one's lines."""
    proposal = sweeper()
    bare = msgspec.structs.replace(proposal, variants={**proposal.variants, "bare": Variant()})
    view = opened(write(tmp_path, bare), tmp_path / "settings").view("bare")
    assert [module.title for module in view.modules] == [f"served by no module: {len(proposal.loads)} loads"]


def test_what_was_opened_is_remembered(tmp_path: Path) -> None:
    """The list of the next start begins with it, under its title."""
    settings = tmp_path / "settings"
    opened(SWEEPER, settings)
    entries = workplace(settings).recent()
    assert [(entry.title, Path(entry.path).name) for entry in entries] == [
        ("Street sweeper, depot series", "street_sweeper.toml")
    ]
    assert entries[0].note.startswith("opened 20")


def test_a_list_that_cannot_be_written_is_said_and_stops_nobody(tmp_path: Path) -> None:
    """The proposal opens; one sentence says that nothing is remembered."""
    blocked = tmp_path / "file"
    blocked.write_text("x", encoding="utf-8")
    source = opened(SWEEPER, blocked / "settings")
    assert "nothing is remembered" in source.remark
    assert source.view("zone").vehicle.cells.parts_cost == "439.2334"
    assert opened(SWEEPER, tmp_path / "settings").remark == ""


@pytest.mark.parametrize(
    ("content", "expected"),
    [
        (None, "there is no such file or folder"),
        (b"", "empty"),
        (b"\x00\xff\xfe", "binary data"),
        (b"format = 99\n", "format"),
        (b"format = 1\n[proposal\n", "v.toml:2:"),
    ],
    ids=["missing", "empty", "binary", "future", "broken"],
)  # fmt: skip
def test_what_cannot_be_opened_says_why(content: bytes | None, expected: str, tmp_path: Path) -> None:
    """A refusal has a title with the path and sentences without a traceback; nothing is remembered."""
    path = tmp_path / "v.toml"
    if content is not None:
        path.write_bytes(content)
    refusal = refused(str(path), tmp_path / "settings")
    assert refusal.title == f"Cannot open {path}"
    assert any(str(path) in line for line in refusal.lines)
    assert not any("Traceback" in line for line in refusal.lines)
    assert not recent_path(tmp_path / "settings").exists()
    assert expected in " ".join(refusal.lines)
