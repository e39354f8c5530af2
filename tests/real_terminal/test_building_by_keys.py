"""Whole proposals built and changed by keys alone in a terminal of their own: what the files hold at the end counts."""

import shutil
from pathlib import Path

import pytest

from bomtui.services.open import open_proposal
from tests.real_terminal.hands import DOWN, RIGHT, Hands, cursor_row, files_in, meters, row_with, start
from tests.samples.load_list import write_load_list

# Whole jobs of a person: some ten seconds each.
pytestmark = pytest.mark.slow

SAMPLES = Path(__file__).parents[2] / "sample_projects"
SIZES = pytest.mark.parametrize(("columns", "rows"), [(80, 24), (120, 40)])
REAR_LAMPS = [f"L{number}" for number in range(13, 23)]
FANS = {"C01": "ZENG.U1", "C02": "ZENG.U2", "C03": "ZREA.U2"}
"""Fans of the sweeper, and the driver of each."""
TITLES = {"ZENG": "ZENG engine", "ZREA": "ZREA rear"}
"""How the lines of their modules begin; lines of network nodes name the modules too."""
OTHER_DRIVER = "hs24-4x22"
TAKEN = {"C01": "ZENG.U1", "C02": "ZENG.U2", "C03": "ZCEN.U20"}
"""Where each fan costs least without a new error: on the other driver C03 would be too hot in the air of ZREA."""


def begin(folder: Path) -> Path:
    """Begin a proposal with the van's load list; return its folder."""
    loads = write_load_list("van", folder / "loads.csv")
    with start(folder, "new", "van", "--loads", "loads.csv", "--supply", "12 V") as terminal:
        assert terminal.wait_for_end() == 0
        assert f"written with {loads} loads" in terminal.text
    return folder / "van"


def describe_vehicle(hands: Hands) -> None:
    """Give volume, test voltage and two zones; a temperature with the unit of a voltage is refused and mended."""
    hands.do("i/volume\re20000\r/test volt\re13.5 V\r", "set volume per year.", "set test voltage.")
    hands.do(f"/zones\raZR\r{RIGHT}eroof\r", "add zone ZR.", "set name of ZR.")
    hands.press("/ambient\re70 V\r", "ambient of ZR: expected a temperature (degC), found a voltage (V)")
    hands.wait_for(lambda text: cursor_row(text).split() == ["ambient", "unknown"])
    hands.do("\x7fdegC\r", "set ambient of ZR.")
    hands.do(f"/ZR\raZF\r{RIGHT}efloor\r/ambient\re85 degC\r", "add zone", "set name of ZF.", "set ambient of ZF.")
    hands.press("i", lambda text: bool(meters(text)))


def build_module(hands: Hands) -> None:
    """Add a module with a controller; that it has no supply is an error until a regulator feeds it."""
    hands.press("a\rZREA\r", "In which zone is ZREA mounted?")
    hands.point("ZR roof")
    hands.do("\rrear box\r", "add module ZREA.")
    hands.at("ZREA rear box")
    controller = hands.add_device("ZREA", "controller", "32-bit")
    hands.at(f"U1 {controller}")
    hands.wait_for(lambda text: "✗ 1 error" in row_with(text, "ZREA rear box"))
    hands.at(f"U2 {hands.add_device('ZREA', 'reverse-battery protection')}")
    regulator = hands.add_device("ZREA", "linear regulator")
    hands.at(f"U3 {regulator}")
    hands.press("a", "Add what at ZREA.U3?")
    hands.point("rail")
    hands.press("\rV5\r5 V\r", "Which device makes V5?")
    hands.point(f"U3 {regulator}")
    hands.do("\r", "add rail V5 to ZREA.")
    hands.press("/U1 \ra", "Add what at ZREA.U1?")
    hands.point("supply")
    hands.press("\r\r", "What feeds main of ZREA.U1?")
    hands.point("rail V5")
    hands.do("\r", "set supply main of ZREA.U1.")
    hands.wait_for(lambda text: "ZREA" in text and "error" not in row_with(text, "ZREA rear box"))


def place(hands: Hands, load: str) -> None:
    """Place a load where it costs least."""
    hands.terminal.send(f"/{load} \rp")
    hands.see_candidates(f"Where is {load} served?")
    hands.do("\r", f"place {load} on ")


def swap(hands: Hands, address: str, part: str) -> None:
    """Put another part in the place of a device."""
    module, _, ref = address.partition(".")
    hands.go(TITLES[module])
    hands.terminal.send(f"/{ref} \rs")
    hands.see_candidates(f"Which part for {address}?")
    hands.press(f"/{part}\r", lambda text: cursor_row(text).startswith(part))
    hands.do("\r", f"swap {address} ")


@SIZES
def test_a_van_is_built_from_its_load_list_undone_and_done_again(columns: int, rows: int, tmp_path: Path) -> None:
    """Zones, a module, devices, ten loads, another driver; undone it is the first file, done again the built one."""
    folder = begin(tmp_path)
    begun = files_in(folder)
    with start(tmp_path, "van", columns=columns, rows=rows) as terminal:
        hands = Hands(terminal)
        empty = meters(hands.wait_for(lambda text: bool(meters(text))))
        describe_vehicle(hands)
        build_module(hands)
        for load in REAR_LAMPS:
            place(hands, load)
        hands.go("U4 ")
        driver = cursor_row(terminal.text)
        hands.terminal.send("s")
        hands.see_candidates("Which part for ZREA.U4?")
        first = cursor_row(terminal.text)
        hands.press(DOWN, lambda text: cursor_row(text) not in {"", first})
        part = cursor_row(terminal.text).partition(",")[0]
        assert part not in driver
        hands.do("\r", "swap ZREA.U4 ")
        hands.at(f"U4 {part}")
        hands.save()
        built, built_figures = files_in(folder), meters(terminal.text)
        hands.undo_all()
        hands.wait_for(lambda text: meters(text) == empty)
        hands.save()
        undone = files_in(folder)
        assert undone["van.toml"] == begun["van.toml"]
        assert b"[" not in undone["van.parts.toml"]
        hands.redo_all()
        hands.wait_for(lambda text: meters(text) == built_figures)
        hands.save()
        assert files_in(folder) == built
        hands.quit()
    snapshot = open_proposal(folder).snapshot
    variant = snapshot.proposal.variants["V1"]
    assert set(variant.placements) == set(REAR_LAMPS)
    assert variant.modules["ZREA"].devices["U4"].part == part
    assert {device.part for device in variant.modules["ZREA"].devices.values()} <= set(snapshot.parts)
    with start(tmp_path, "van", columns=columns, rows=rows) as terminal:
        hands = Hands(terminal)
        hands.wait_for(lambda text: meters(text) == built_figures and text.splitlines()[0].endswith("   saved"))
        hands.quit()
    assert files_in(folder) == built


@SIZES
def test_all_fans_off_swapped_placed_again_and_undone_is_the_very_same_file(
    columns: int, rows: int, tmp_path: Path
) -> None:
    """On the sweeper: fans off, their drivers swapped, placed again, saved; undone and saved it is the sample again."""
    folder = Path(shutil.copytree(SAMPLES / "street_sweeper", tmp_path / "sweeper"))
    original = files_in(folder)
    with start(tmp_path, "sweeper", columns=columns, rows=rows) as terminal:
        hands = Hands(terminal)
        figures = meters(hands.wait_for(lambda text: bool(meters(text))))
        for fan in FANS:
            hands.do(f"/{fan} \rk", f"take off {fan}.")
        for driver in FANS.values():
            swap(hands, driver, OTHER_DRIVER)
        for fan in FANS:
            place(hands, fan)
        hands.save()
        changed = open_proposal(folder).snapshot.proposal.variants["zone"]
        for fan, driver in FANS.items():
            module, _, ref = driver.partition(".")
            assert changed.modules[module].devices[ref].part == OTHER_DRIVER
            assert changed.placements[fan].on[0].startswith(f"{TAKEN[fan]}.")
        hands.undo_all()
        hands.wait_for(lambda text: meters(text) == figures)
        hands.save()
        assert files_in(folder) == original
        hands.quit()
    assert files_in(folder) == original
