"""The opportunities screen: progress, a search that is stopped, marks, and several taken as one step."""

import pytest

from bomtui.tui.screens.opportunities.screen import OpportunitiesScreen
from bomtui.tui.screens.rollup.screen import RollupScreen
from tests.tui.driving import LARGE, SMALL, app_with, check_comes_true, check_seen, check_sheet_up, screen_text
from tests.tui.fake import FakeProposal, fake_workplace

SIZES = pytest.mark.parametrize("size", [SMALL, LARGE])


@SIZES
async def test_gains_are_shown_and_escape_leads_back(size: tuple[int, int]) -> None:
    """O searches and shows what could be taken; escape leads back to the sheet."""
    app = app_with(fake_workplace())
    async with app.run_test(size=size) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("O")
        await check_seen(pilot, "Opportunities in zone")
        assert "+0.2400" in screen_text(app)
        await pilot.press("escape")
        await check_comes_true(pilot, lambda: isinstance(app.screen, RollupScreen), "the sheet is up again")


async def test_what_is_marked_is_one_step() -> None:
    """Marked modules are taken together as one step, one alone by its own, and all as they were judged together."""
    app = app_with(fake_workplace())
    async with app.run_test(size=LARGE) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("O")
        await check_seen(pilot, "Opportunities in zone")
        screen = app.screen
        assert isinstance(screen, OpportunitiesScreen)
        source = screen.source
        assert isinstance(source, FakeProposal)
        await pilot.press("m", "down", "enter")
        await check_seen(pilot, "Marked: ZHMI, ZREA.")
        assert screen_text(app).count("marked") == 2
        await pilot.press("y")
        await check_comes_true(pilot, lambda: "take ZHMI, ZREA" in source.asked, "both are taken")
        await check_comes_true(pilot, lambda: "marked" not in screen_text(app), "the search has begun anew")
        await pilot.press("y")
        await check_comes_true(pilot, lambda: bool({"pack ZHMI", "pack ZREA"} & set(source.asked)), "one is taken")
        await pilot.press("A")
        await check_comes_true(pilot, lambda: "pack both" in source.asked, "all are taken")


@pytest.mark.slow
async def test_what_several_bring_together_is_said_first() -> None:
    """Several that together bring more than each says are taken by a second press only; a changed mark asks anew."""
    workplace = fake_workplace()
    app = app_with(workplace)
    async with app.run_test(size=SMALL) as pilot:
        await check_sheet_up(pilot)
        screen = app.screen
        assert isinstance(screen, RollupScreen)
        source = screen.source
        assert isinstance(source, FakeProposal)
        source.brings_together = "Together they newly bring heat.junction warning at ZREA.U1."
        await pilot.press("O")
        await check_seen(pilot, "Opportunities in zone")
        await pilot.press("m", "down", "m", "y")
        await check_seen(pilot, "heat.junction warning at ZREA.U1")
        assert "take ZHMI, ZREA" not in source.asked
        await pilot.press("y")
        await check_comes_true(pilot, lambda: "take ZHMI, ZREA" in source.asked, "they are taken all the same")


async def test_a_search_is_stopped() -> None:
    """While it searches the screen says how far it is; x ends the search and shows what is found so far."""
    workplace = fake_workplace()
    app = app_with(workplace)
    async with app.run_test(size=LARGE) as pilot:
        await check_sheet_up(pilot)
        screen = app.screen
        assert isinstance(screen, RollupScreen)
        source = screen.source
        assert isinstance(source, FakeProposal)
        source.searches = True
        await pilot.press("O")
        await check_seen(pilot, "Searching, round 1.")
        await pilot.press("x")
        await check_seen(pilot, "Opportunities in zone, stopped")


@pytest.mark.slow
async def test_modules_are_searched_in_place_of_drivers_and_back() -> None:
    """M turns to modules and back; sets with a module in common are not both marked; several are one step."""
    app = app_with(fake_workplace())
    async with app.run_test(size=LARGE) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("O")
        await check_seen(pilot, "Opportunities in zone")
        await pilot.press("M")
        await check_seen(pilot, "Fewer modules in zone")
        screen = app.screen
        assert isinstance(screen, OpportunitiesScreen)
        source = screen.source
        assert isinstance(source, FakeProposal)
        await pilot.press("m", "down", "m")
        await check_seen(pilot, "ZHMI+ZREA and ZCEN+ZHMI have a module in common: only one of them can be taken.")
        await pilot.press("down", "m")
        await check_seen(pilot, "Marked: ZCEN+ZHMI, ZENG+ZUND.")
        await pilot.press("y")
        await check_comes_true(pilot, lambda: "take ZCEN+ZHMI, ZENG+ZUND" in source.asked, "both are taken")
        await pilot.press("M")
        await check_seen(pilot, "Opportunities in zone")


async def test_turning_to_modules_ends_the_search_for_drivers() -> None:
    """A search that goes on is not waited for: what it would have found is dropped."""
    app = app_with(fake_workplace())
    async with app.run_test(size=LARGE) as pilot:
        await check_sheet_up(pilot)
        screen = app.screen
        assert isinstance(screen, RollupScreen)
        source = screen.source
        assert isinstance(source, FakeProposal)
        source.searches = True
        await pilot.press("O")
        await check_seen(pilot, "Searching, round 1.")
        await pilot.press("M")
        await check_seen(pilot, "Trying sets of modules: 1 of 3.")
        await pilot.press("x")
        await check_seen(pilot, "Fewer modules in zone")
        assert "ZENG+ZUND" in screen_text(app)
