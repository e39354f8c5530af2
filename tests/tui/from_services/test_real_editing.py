"""Editing a copy of a sample by keys alone: what the proposal then holds, and that all of it can be undone."""

import shutil
from decimal import Decimal
from pathlib import Path

import pytest
from textual.pilot import Pilot
from textual.widgets import Input

from bomtui.model.money import Money
from bomtui.model.proposal import Proposal
from bomtui.model.settings import DRIVE_HABITS
from bomtui.tui.app import BomtuiApp
from bomtui.tui.glyphs import FULL
from bomtui.tui.screens.fields.screen import FieldsScreen
from bomtui.tui.screens.findings.screen import FindingsScreen
from bomtui.tui.screens.lists.screen import ListsScreen
from bomtui.tui.screens.rollup.screen import RollupScreen
from bomtui.tui.widgets.text_pane import TextPane
from tests.tui.driving import (
    LARGE,
    SMALL,
    check_comes_true,
    check_seen,
    check_sheet_up,
    cursor_name,
    screen_text,
    sheet_of,
)
from tests.tui.from_services.real import SWEEPER, workplace

# Whole screens driven key by key: together they take more than a minute.
pytestmark = pytest.mark.slow

LAMP = "L11"
"""A load of level B on ZREA.U6, whose part is capable of level A."""


@pytest.fixture
def app(tmp_path: Path) -> BomtuiApp:
    """The app over a copy of the sweeper."""
    shutil.copytree(SWEEPER, tmp_path / "sweeper", ignore=shutil.ignore_patterns("expected"))
    return BomtuiApp(workplace(tmp_path / "settings"), str(tmp_path / "sweeper"), FULL)


def proposal_of(app: BomtuiApp) -> Proposal:
    """The proposal as it is now."""
    screen = next(screen for screen in app.screen_stack if isinstance(screen, RollupScreen))
    return screen.source.snapshot.proposal


def is_saved(app: BomtuiApp) -> bool:
    """Whether the files hold all of it."""
    screen = next(screen for screen in app.screen_stack if isinstance(screen, RollupScreen))
    return not screen.source.is_unsaved


def find(word: str) -> tuple[str, ...]:
    """Keys that go to the next line with a word in its name."""
    return ("slash", *("space" if letter == " " else letter for letter in word), "enter")


def go(app: BomtuiApp, place: str) -> None:
    """Put the cursor on the row of a field or record, where the way to it is not what a test is about."""
    assert sheet_of(app).reveal(place)


async def undo_all(pilot: Pilot[None], app: BomtuiApp, steps: int) -> None:
    """Undo so many steps; then nothing is left."""
    await pilot.press(*["u"] * steps)
    assert is_saved(app)


async def test_the_power_of_a_load_by_keys(app: BomtuiApp) -> None:
    """A wrong unit is refused with the sentence and stays to be mended; undo brings the unknown back."""
    async with app.run_test(size=SMALL) as pilot:
        await check_sheet_up(pilot)
        before = proposal_of(app)
        assert before.loads["L24"].rated_power_w is None
        await pilot.press(*find("L24"), "e")
        go(app, "loads.L24.rated_power")
        await pilot.press("e", *"55", "space", "V", "enter")
        await check_seen(pilot, "expected a power (W)")
        assert isinstance(app.focused, Input)
        assert app.focused.value == "55 V"
        assert proposal_of(app) is before
        await pilot.press("backspace", "W", "enter")
        assert proposal_of(app).loads["L24"].rated_power_w == 55.0
        await check_seen(pilot, "Done: set rated power of L24.")
        assert "55 W" in screen_text(app)
        assert cursor_name(app) == "rated power"
        await pilot.press("down", "down", "u")
        assert proposal_of(app) is before
        assert cursor_name(app) == "rated power"
        await check_seen(pilot, "Undone: set rated power of L24.")
        await pilot.press("escape")
        await check_comes_true(pilot, lambda: isinstance(app.screen, RollupScreen), "the sheet is back")
        assert cursor_name(app).startswith("L24 ")


async def test_a_zone_with_its_distance_by_keys(app: BomtuiApp) -> None:
    """A zone is added, opened, and given a run to another one; undo leads back over the rows that change."""
    async with app.run_test(size=LARGE) as pilot:
        await check_sheet_up(pilot)
        before = proposal_of(app)
        await pilot.press("i")
        go(app, "zones")
        await pilot.press("a", *"Z9", "enter", "right")
        assert cursor_name(app) == "name"
        go(app, "zones.Z9.distance.Z2")
        await pilot.press("e", *"3.5", "space", "m", "enter")
        assert proposal_of(app).zones["Z9"].distance_m == {"Z2": 3.5}
        await pilot.press("home", "u")
        assert cursor_name(app) == "Z2"
        await undo_all(pilot, app, 1)
        assert proposal_of(app) is before


async def test_a_mode_and_a_rate_by_keys(app: BomtuiApp) -> None:
    """What names a mode follows its new id, and a rate is typed as money."""
    async with app.run_test(size=LARGE) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("i")
        go(app, "modes.PARK")
        await pilot.press("r", *"ED", "enter")
        after = proposal_of(app)
        assert cursor_name(app) == "PARKED"
        assert after.vehicle.parked_mode == "PARKED"
        assert not any("PARK" in load.time_share_ratio for load in after.loads.values())
        go(app, "settings.rates.wire_end")
        await pilot.press("e", "ctrl+u", *"1", "space", *"EUR", "enter")
        assert proposal_of(app).settings.rates.wire_end == Money(amount=Decimal(1), currency="EUR")
        await undo_all(pilot, app, 2)


async def test_an_assumption_by_keys(app: BomtuiApp) -> None:
    """Its id and what is assumed are asked for, one after the other; an id that is taken stays to be mended."""
    async with app.run_test(size=SMALL) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("i")
        go(app, "assumptions")
        await pilot.press("a", *"A01", "enter")
        await check_seen(pilot, "there is an assumption A01 already")
        await pilot.press("backspace", "9", "enter", *"cold", "enter")
        assert proposal_of(app).assumptions["A09"].text == "cold"
        assert cursor_name(app) == "A09"
        await undo_all(pilot, app, 1)


async def test_a_run_between_two_zones_is_one_whichever_shows_it(app: BomtuiApp) -> None:
    """A distance stands at both of its zones, and clearing it at the other one clears it."""
    async with app.run_test(size=LARGE) as pilot:
        await check_sheet_up(pilot)
        zones = proposal_of(app).zones
        one, other = next((key, far) for key, zone in zones.items() for far in zone.distance_m if far != key)
        assert one not in zones[other].distance_m
        await pilot.press("i")
        go(app, f"zones.{other}.distance.{one}")
        row = sheet_of(app).cursor_row
        assert row is not None
        assert (row.key, row.cells[1]) == (f"zones.{other}.distance.{one}", f"{zones[one].distance_m[other]:g} m")
        await pilot.press("delete")
        assert other not in proposal_of(app).zones[one].distance_m
        await undo_all(pilot, app, 1)


async def test_a_pair_is_removed_and_named_anew_by_keys(app: BomtuiApp) -> None:
    """A pair goes by delete, comes back by undo, and a new one asks for its id and both loads."""
    async with app.run_test(size=LARGE) as pilot:
        await check_sheet_up(pilot)
        pairs = list(proposal_of(app).pairs)
        await pilot.press("i")
        go(app, f"pairs.{pairs[0]}")
        await pilot.press("delete")
        assert list(proposal_of(app).pairs) == pairs[1:]
        await pilot.press("u")
        assert list(proposal_of(app).pairs) == pairs
        assert cursor_name(app) == pairs[0]
        await pilot.press("a", *"NEW", "enter", "enter", "down", "enter")
        loads = list(proposal_of(app).loads)
        await check_comes_true(pilot, lambda: "NEW" in proposal_of(app).pairs, "the pair is there")
        pair = proposal_of(app).pairs["NEW"]
        assert (pair.primary, pair.stand_in) == (loads[0], loads[2])


async def test_a_decomposition_is_added_by_keys(app: BomtuiApp) -> None:
    """A new one asks for its id and both loads, and is open for its levels and its assumption."""
    async with app.run_test(size=LARGE) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("i")
        go(app, "decompositions")
        await pilot.press("a", *"D1", "enter", "enter", "down", "enter")
        loads = list(proposal_of(app).loads)
        await check_comes_true(pilot, lambda: "D1" in proposal_of(app).decompositions, "the decomposition is there")
        own = proposal_of(app).decompositions["D1"]
        assert (own.one, own.other, own.independence) == (loads[0], loads[2], "")


async def test_what_hangs_on_a_mode_is_asked_before_it_goes(app: BomtuiApp) -> None:
    """Delete on a mode asks first; leaving it changes nothing, going ahead takes the shares along."""
    async with app.run_test(size=SMALL) as pilot:
        await check_sheet_up(pilot)
        before = proposal_of(app)
        await pilot.press("i")
        go(app, "modes.IDLE")
        await pilot.press("delete", "enter")
        assert proposal_of(app) is before
        await pilot.press("delete", "down", "enter")
        after = proposal_of(app)
        assert "IDLE" not in after.modes
        assert not any("IDLE" in load.time_share_ratio for load in after.loads.values())
        await undo_all(pilot, app, 1)


async def test_habits_of_a_drive_code_begin_as_the_trades_and_go_back_to_them(app: BomtuiApp) -> None:
    """A set field makes a habit of the proposal's own, a cleared one is the trade's again, delete drops it all."""
    async with app.run_test(size=LARGE) as pilot:
        await check_sheet_up(pilot)
        own = proposal_of(app).settings.drives
        assert "LIN" not in own
        await pilot.press("i")
        go(app, "settings.drives.LIN.plain_pins")
        await pilot.press("delete")
        assert proposal_of(app).settings.drives is own
        await pilot.press("e", "ctrl+u", "5", "enter")
        assert proposal_of(app).settings.drives["LIN"].plain_pins == 5
        await pilot.press("e", "ctrl+u", "enter")
        assert proposal_of(app).settings.drives["LIN"] == DRIVE_HABITS["LIN"]
        await pilot.press("left", "delete")
        assert proposal_of(app).settings.drives == own


async def test_variants_by_keys(app: BomtuiApp) -> None:
    """A copy of the variant on the screen is renamed, shown and deleted; what is shown follows its new id."""
    async with app.run_test(size=SMALL) as pilot:
        await check_sheet_up(pilot)
        variants = proposal_of(app).variants
        await pilot.press("v", "c", *"n", "enter", "r", "ctrl+u", *"dusk", "enter")
        assert proposal_of(app).variants["dusk"].modules is variants["zone"].modules
        assert proposal_of(app).variants["dusk"].placements is variants["zone"].placements
        await pilot.press("enter")
        await check_seen(pilot, "variant dusk")
        await pilot.press("v", "r", "x", "enter", "escape")
        await check_seen(pilot, "variant duskx")
        await pilot.press("v", "delete", "escape")
        await check_comes_true(pilot, lambda: isinstance(app.screen, RollupScreen), "the sheet is back")
        assert list(proposal_of(app).variants) == list(variants)
        await check_seen(pilot, "variant zone")


@pytest.mark.slow
async def test_a_finding_is_accepted_and_lapses_with_its_numbers(app: BomtuiApp) -> None:
    """Reason and name stand in the list; when the limit moves the finding is open again and says what was accepted."""
    async with app.run_test(size=LARGE) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("l")
        await check_comes_true(pilot, lambda: isinstance(app.screen, FindingsScreen), "the findings are up")
        key = next(row.key for row in sheet_of(app).rows if row.cells[0] == "ZREA.U6")
        go(app, key)
        await pilot.press("A", *"proven", "enter", *"M.E.", "enter")
        await check_seen(pilot, "error, accepted")
        (accepted,) = proposal_of(app).variants["zone"].accepted.values()
        assert (accepted.place, accepted.measured, accepted.limit) == ("ZREA.U6", "A", "B")
        assert accepted.date is not None
        await check_seen(pilot, f"accepted by M.E. {accepted.date.isoformat()}: proven")
        await pilot.press("escape", *find(LAMP), "e")
        go(app, f"loads.{LAMP}.safety")
        await pilot.press("e", "down", "enter", "escape", "l")
        assert proposal_of(app).loads[LAMP].safety == "C"
        await check_comes_true(
            pilot, lambda: any(row.word == "error, lapsed" for row in sheet_of(app).rows), "it is open again"
        )
        go(app, next(row.key for row in sheet_of(app).rows if row.word == "error, lapsed"))
        pane = app.screen.query_one("#finding", TextPane)
        await check_comes_true(
            pilot,
            lambda: "at other numbers (A against B): proven" in " ".join(pane.plain.split()),
            "what was accepted is told",
        )
        await pilot.press("u", "u")
        await check_comes_true(pilot, lambda: ", lapsed" not in screen_text(app), "nothing has lapsed")
        assert is_saved(app)


@pytest.mark.parametrize(
    ("word", "title"),
    [
        ("ZCEN", "Module ZCEN"),
        ("U5 ", "Device ZCEN.U5"),
        ("board-6", "Item ZCEN.board-6"),
        ("L24", "Load L24"),
    ],
)
async def test_every_kind_of_line_has_its_fields(app: BomtuiApp, word: str, title: str) -> None:
    """Modules, devices, items and loads open with e, and a note on each is set and undone."""
    async with app.run_test(size=SMALL) as pilot:
        await check_sheet_up(pilot)
        await pilot.press(*find(word), "e")
        await check_comes_true(pilot, lambda: isinstance(app.screen, FieldsScreen), "the fields are up")
        await check_seen(pilot, title)
        go(app, next(row.key for row in sheet_of(app).rows if row.cells[0] == "note"))
        await pilot.press("e", "ctrl+u", "x", "enter")
        await check_seen(pilot, "Done: set note of")
        await undo_all(pilot, app, 1)


async def test_an_item_is_counted_otherwise(app: BomtuiApp) -> None:
    """The quantity of an item is typed with its sale unit."""
    async with app.run_test(size=SMALL) as pilot:
        await check_sheet_up(pilot)
        await pilot.press(*find("board-6"), "e", "e", "ctrl+u", *"2.5", "space", *"dm2", "enter")
        item = proposal_of(app).variants["zone"].modules["ZCEN"].items["board-6"]
        assert (str(item.quantity.quantity), item.quantity.unit) == ("2.5", "dm2")
        await check_seen(pilot, "Done: set quantity of board-6 in ZCEN.")
        await undo_all(pilot, app, 1)


async def test_the_part_of_a_device_says_how_it_is_changed(app: BomtuiApp) -> None:
    """A field on which others hang is not edited by itself, and the sentence names the way."""
    async with app.run_test(size=LARGE) as pilot:
        await check_sheet_up(pilot)
        await pilot.press(*find("U5 "), "e", "e")
        await check_seen(pilot, "a device changes its part by swapping it")


async def test_work_on_the_lists_is_saved_there(app: BomtuiApp, tmp_path: Path) -> None:
    """Ctrl+s on the lists writes the file, and the title says so."""
    async with app.run_test(size=SMALL) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("i")
        go(app, "proposal.revision")
        await pilot.press("e", "ctrl+u", *"B7", "enter")
        await check_seen(pilot, "not saved")
        await pilot.press("ctrl+s")
        await check_seen(pilot, "Saved to")
        assert isinstance(app.screen, ListsScreen)
        assert "not saved" not in screen_text(app)
    text = "".join(path.read_text(encoding="utf-8") for path in (tmp_path / "sweeper").glob("*.toml"))
    assert 'revision = "B7"' in text
