"""The comparison and volume screens: pages, sides, files, places to go to."""

import pytest

from bomtui.tui.screens.compare.screen import CompareScreen
from bomtui.tui.screens.rollup.screen import RollupScreen
from bomtui.tui.screens.volumes.screen import VolumesScreen
from tests.tui.driving import (
    LARGE,
    SMALL,
    app_with,
    check_comes_true,
    check_seen,
    check_sheet_up,
    cursor_name,
    screen_text,
)
from tests.tui.fake import FakeProposal, fake_workplace

SIZES = pytest.mark.parametrize("size", [SMALL, LARGE])


@SIZES
async def test_scope_and_pages_are_in_sight(size: tuple[int, int]) -> None:
    """C compares at once with the only other variant; the scope stands above the first page, t turns to the next."""
    app = app_with(fake_workplace())
    async with app.run_test(size=size) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("C")
        await check_seen(pilot, "distributed (first) and zone (second)")
        text = screen_text(app)
        assert text.index("Scope: both serve 108 loads") < text.index("by cause")
        assert "[why]" in text
        assert "-9.8765" in text
        await pilot.press("t")
        await check_seen(pilot, "[measures]")
        await check_seen(pilot, "None.")
        await pilot.press("t", "escape")
        await check_comes_true(pilot, lambda: isinstance(app.screen, RollupScreen), "the sheet is up again")


async def test_sides_are_swapped_and_another_file_is_asked_for() -> None:
    """The key x lets first and second change places; a file that is not there is said, and the sides stay."""
    workplace = fake_workplace()
    app = app_with(workplace)
    async with app.run_test(size=LARGE) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("C")
        await check_seen(pilot, "distributed (first) and zone (second)")
        await pilot.press("x")
        await check_seen(pilot, "zone (first) and distributed (second)")
        screen = app.screen
        assert isinstance(screen, CompareScreen)
        await pilot.press("o", "ctrl+u", *"other.toml", "enter")
        await check_seen(pilot, "other.toml: there is no such file.")
        assert "zone (first) and distributed (second)" in screen_text(app)
        source = screen.source
        assert isinstance(source, FakeProposal)
        assert source.compared[-1] == ("distributed", "distributed", "other.toml")
        await pilot.press("x")
        await check_seen(pilot, "distributed (first) and zone (second)")


async def test_a_part_leads_to_its_place() -> None:
    """The key g on a line with a place goes there in the sheet; on one without it says so."""
    app = app_with(fake_workplace())
    async with app.run_test(size=LARGE) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("C")
        await check_seen(pilot, "by cause")
        await pilot.press("g")
        await check_seen(pilot, "This line has no place of its own in the sheet.")
        await pilot.press("end")
        await check_seen(pilot, "hs24-4x50: unit price 1.3200")
        await pilot.press("g")
        await check_comes_true(pilot, lambda: isinstance(app.screen, RollupScreen), "the sheet is up again")
        await check_comes_true(pilot, lambda: cursor_name(app).startswith("U1 "), "the cursor is on the part")


async def test_a_comparison_is_written_out() -> None:
    """The key w asks for a path and writes there; never over a file without asking."""
    workplace = fake_workplace()
    app = app_with(workplace)
    async with app.run_test(size=LARGE) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("C")
        await check_seen(pilot, "by cause")
        await pilot.press("w", "enter")
        await check_seen(pilot, "Wrote 58 lines to compared.json.")
        await pilot.press("w", "enter")
        await check_seen(pilot, "Type yes to write over it:")
        await pilot.press("enter")
        await check_seen(pilot, "Nothing was written.")


@pytest.mark.slow
async def test_volumes_take_a_second_variant_and_further_volumes() -> None:
    """V shows one variant; v adds the break-even with another one, a adds volumes, words are refused."""
    app = app_with(fake_workplace())
    async with app.run_test(size=LARGE) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("V")
        await check_seen(pilot, "Volumes of zone at ()")
        await pilot.press("v", "down", "enter")
        await check_seen(pilot, "Volumes of zone, distributed at ()")
        await pilot.press("a", *"many", "enter")
        await check_seen(pilot, "Expected whole numbers above 0")
        await pilot.press("ctrl+u", *"900 2500", "enter")
        await check_seen(pilot, "at (900, 2500)")
        assert isinstance(app.screen, VolumesScreen)
        await pilot.press("V")
        await check_comes_true(pilot, lambda: isinstance(app.screen, RollupScreen), "the sheet is up again")


async def test_another_volume_is_chosen_by_its_effect() -> None:
    """The key y asks for the vehicles a year and shows what that changes before it is taken."""
    workplace = fake_workplace()
    app = app_with(workplace)
    async with app.run_test(size=LARGE) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("y", "ctrl+u", *"12x", "enter")
        await check_seen(pilot, "Expected a whole number above 0")
        await pilot.press("y", "ctrl+u", *"900", "enter")
        await check_seen(pilot, "How many vehicles a year?")
