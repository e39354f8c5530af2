"""The catalog screen: searching while typing, filters, orders, pages, marks, and what is written."""

import threading

import pytest
from textual.pilot import Pilot
from textual.widgets import Input

from bomtui.tui.app import BomtuiApp
from bomtui.tui.catalog import CatalogOutcome, HistoryStep
from bomtui.tui.screens.catalog.history import HistoryScreen
from bomtui.tui.screens.catalog.part import PartScreen
from bomtui.tui.screens.catalog.screen import CatalogScreen
from bomtui.tui.screens.choice.screen import ChoiceScreen
from bomtui.tui.screens.findings.screen import FindingsScreen
from bomtui.tui.screens.rollup.screen import RollupScreen
from bomtui.tui.screens.start.screen import StartScreen
from tests.tui.driving import (
    LARGE,
    SMALL,
    app_with,
    check_comes_true,
    check_seen,
    check_sheet_up,
    cursor_name,
    screen_text,
    sheet_of,
)
from tests.tui.fake import fake_workplace
from tests.tui.fake_catalog import FakeCatalog

SIZES = pytest.mark.parametrize("size", [SMALL, LARGE])


def app_over(catalog: FakeCatalog) -> BomtuiApp:
    """The app, asking for a proposal, over a catalog."""
    workplace = fake_workplace()
    workplace.proposal.catalog = catalog
    return app_with(workplace, "")


async def check_list_up(pilot: Pilot[None], key: str = "K") -> None:
    """Open the catalog and wait for its first parts."""
    await check_seen(pilot, "Samples, all invented")
    await pilot.press(key)
    await check_seen(pilot, "hx-1 in full")


async def check_screen(pilot: Pilot[None], screen: type[object]) -> None:
    """Wait for a screen."""
    await check_comes_true(pilot, lambda: isinstance(pilot.app.screen, screen), f"{screen.__name__} is up")
    await pilot.pause()


@SIZES
async def test_what_is_typed_is_looked_for_and_kept(size: tuple[int, int]) -> None:
    """The line is open at once, enter leads to the list, escape back; the next opening looks for the same."""
    catalog = FakeCatalog(counts={"hs24": 2})
    app = app_over(catalog)
    async with app.run_test(size=size) as pilot:
        await check_list_up(pilot)
        await pilot.press(*"hs24")
        await check_seen(pilot, "1 of 2: hx-1")
        await pilot.press("down")
        await check_seen(pilot, "2 of 2: hx-2")
        assert isinstance(app.focused, Input)
        await pilot.press("enter", "escape")
        await check_screen(pilot, StartScreen)
        await pilot.press("K", "escape")
        await check_seen(pilot, "Search hs24")
        assert "Search hs24" in screen_text(app)


async def test_a_slow_answer_holds_up_no_key_and_is_dropped() -> None:
    """While a search takes long typing goes on, and its answer is not shown once something else is looked for."""
    catalog = FakeCatalog(counts={"a": 7, "ab": 2}, gates={"a": threading.Event()})
    app = app_over(catalog)
    async with app.run_test(size=SMALL) as pilot:
        await check_list_up(pilot)
        await pilot.press("a")
        await check_comes_true(pilot, lambda: "a" in catalog.asked, "the first is asked")
        await pilot.press("b")
        await check_seen(pilot, "1 of 2")
        catalog.gates["a"].set()
        await pilot.pause()
        await pilot.press("enter")
        assert "1 of 2" in screen_text(app)


@pytest.mark.slow
async def test_what_is_typed_ahead_meets_the_answer() -> None:
    """Enter behind a search opens a part of its answer and of no other list."""
    catalog = FakeCatalog(gates={"b": threading.Event()}, counts={"b": 1})
    app = app_over(catalog)
    async with app.run_test(size=SMALL) as pilot:
        await check_list_up(pilot)
        await pilot.press("enter", "down", "slash", "b", "enter")
        await check_comes_true(pilot, lambda: "b" in catalog.asked, "it is asked")
        screen = app.screen
        assert isinstance(screen, CatalogScreen)
        await screen.take(screen.sheet.rows[1])
        await check_seen(pilot, "Still searching")
        catalog.gates["b"].set()
        await check_seen(pilot, "1 of 1")
        await pilot.press("enter")
        await check_screen(pilot, PartScreen)


@pytest.mark.slow
async def test_a_long_answer_is_paged_with_few_rows_held() -> None:
    """Going down asks for page after page, going up finds the parts before; the sheet holds only some of them."""
    catalog = FakeCatalog(count=5000)
    app = app_over(catalog)
    async with app.run_test(size=LARGE) as pilot:
        await check_list_up(pilot)
        await pilot.press("enter")
        for _ in range(6):
            await pilot.press("end")
            await pilot.pause()
        await check_comes_true(pilot, lambda: max(catalog.pages) >= 600, "pages follow")
        assert len(sheet_of(app).rows) <= 400
        number = int(cursor_name(app).removeprefix("hx-"))
        await check_seen(pilot, f"{number} of more than")
        for _ in range(12):
            await pilot.press("home")
            await pilot.pause()
        await check_comes_true(pilot, lambda: cursor_name(app) == "hx-1", "the first part is there again")


@pytest.mark.slow
async def test_filters_kind_order_and_price_narrow_the_list() -> None:
    """A filter that cannot be read stays to be mended; what holds stands below the title."""
    app = app_over(FakeCatalog())
    async with app.run_test(size=LARGE) as pilot:
        await check_list_up(pilot)
        await pilot.press("enter", "f", *"channels", "enter")
        await check_seen(pilot, "Expected a filter, found channels.")
        await pilot.press(*" = 8", "enter")
        await check_seen(pilot, "filters channels = 8")
        await pilot.press("k")
        await check_screen(pilot, ChoiceScreen)
        await pilot.press("down", "enter")
        await check_seen(pilot, "kind controller")
        for text in ("order price ", "order price, largest first"):
            await pilot.press("s")
            await check_screen(pilot, ChoiceScreen)
            await pilot.press("home", "down", "enter")
            await check_seen(pilot, text)
        await pilot.press("p", "ctrl+u", *"many", "enter")
        await check_seen(pilot, "Expected pieces and a currency")
        await pilot.press("ctrl+u", *"5000 usd", "enter")
        await check_seen(pilot, "price at an order of 5000")
        await pilot.press("r")
        await check_seen(pilot, "Search: every part   price at an order of 5000 USD")


@pytest.mark.slow
@SIZES
async def test_marked_parts_stand_side_by_side(size: tuple[int, int]) -> None:
    """Two to four are marked; what differs comes first."""
    app = app_over(FakeCatalog(count=9))
    async with app.run_test(size=size) as pilot:
        await check_list_up(pilot)
        await pilot.press("enter", "c")
        await check_seen(pilot, "m marks parts")
        for _ in range(4):
            await pilot.press("m", "down")
        await pilot.press("m")
        await check_seen(pilot, "4 parts are marked")
        await pilot.press("up", "m", "c")
        await check_seen(pilot, "different: 1")
        assert "Side by side: hx-1, hx-2, hx-3" in screen_text(app)
        await pilot.press("down")
        await check_seen(pilot, "on-resistance. hx-1: 0 mohm; hx-2: 1 mohm; hx-3: 2 mohm")


async def test_a_catalog_that_cannot_be_used_says_why() -> None:
    """A sentence stands in place of parts, on every screen of the catalog, and one can go back."""
    catalog = FakeCatalog(fault="It is not a catalog.")
    app = app_over(catalog)
    async with app.run_test(size=SMALL) as pilot:
        await check_seen(pilot, "Samples, all invented")
        await pilot.press("K")
        await check_seen(pilot, "It is not a catalog.")
        await pilot.press("escape", "h")
        await check_screen(pilot, HistoryScreen)
        await check_seen(pilot, "It is not a catalog.")
        await pilot.press("escape", "escape")
        await check_screen(pilot, StartScreen)


@pytest.mark.slow
@SIZES
async def test_an_edit_is_told_before_it_is_written(size: tuple[int, int]) -> None:
    """A text that cannot be read stays; what changes is told; leaving it writes nothing, going ahead does."""
    catalog = FakeCatalog()
    app = app_over(catalog)
    async with app.run_test(size=size) as pilot:
        await check_list_up(pilot)
        await pilot.press("enter", "enter")
        await check_screen(pilot, PartScreen)
        await pilot.press("a", *"rds_on.max = 9 mV", "enter")
        await check_comes_true(pilot, lambda: isinstance(app.focused, Input), "it stays to be mended")
        await pilot.press("backspace", *"ohm", "enter")
        await check_seen(pilot, "1 field typed and not written")
        await pilot.press("w")
        await check_seen(pilot, "rds_on.max: unknown -> 9 mohm")
        await check_seen(pilot, "has a history of its own")
        await pilot.press("enter")
        await check_seen(pilot, "Nothing was written.")
        await pilot.press("escape")
        await check_seen(pilot, "Leave what is typed and not written?")
        await pilot.press("enter")
        await check_screen(pilot, PartScreen)
        await pilot.press("w", "down", "enter")
        await check_seen(pilot, "Written: hx-1.")
        assert catalog.written == ["hx-1 rds_on.max=9 mohm"]
        await pilot.press("escape")
        await check_screen(pilot, CatalogScreen)
        await check_seen(pilot, "Written: hx-1.")


async def test_where_a_part_is_used_is_looked_for() -> None:
    """U reads the proposals opened lately, and the cursor is on what it found."""
    app = app_over(FakeCatalog())
    async with app.run_test(size=SMALL) as pilot:
        await check_list_up(pilot)
        await pilot.press("enter", "enter")
        await check_screen(pilot, PartScreen)
        await pilot.press("u")
        await check_seen(pilot, "Invented van")
        assert cursor_name(app) == "where used"
        await pilot.press("down", "right")
        await check_seen(pilot, "zone: ZREA.U1, not hx-1")


@pytest.mark.slow
async def test_a_choice_is_chosen_a_part_retired_and_taken_out() -> None:
    """Life cycle is one of a few; retiring and taking out are told first; a refusal is one sentence in place."""
    catalog = FakeCatalog()
    app = app_over(catalog)
    async with app.run_test(size=LARGE) as pilot:
        await check_list_up(pilot)
        await pilot.press("enter", "enter")
        await check_screen(pilot, PartScreen)
        assert sheet_of(app).reveal("life_cycle")
        await pilot.press("e")
        await check_screen(pilot, ChoiceScreen)
        await pilot.press("escape", "x")
        await check_seen(pilot, "life_cycle: active -> obsolete")
        catalog.outcome = CatalogOutcome("refused", "Somebody else has changed it.")
        await pilot.press("down", "enter")
        await check_seen(pilot, "Somebody else has changed it.")
        assert catalog.written == []
        await pilot.press("X")
        await check_seen(pilot, "goes out of the catalog")
        await pilot.press("down", "enter")
        await check_screen(pilot, CatalogScreen)
        assert catalog.written == ["out hx-1"]


@pytest.mark.slow
async def test_a_part_is_added_with_a_key_that_is_free() -> None:
    """A key that is taken is said in one sentence; the form of the new part is written as one step."""
    catalog = FakeCatalog()
    app = app_over(catalog)
    async with app.run_test(size=LARGE) as pilot:
        await check_list_up(pilot)
        await pilot.press("enter", "a")
        await check_screen(pilot, ChoiceScreen)
        await pilot.press("down", "enter", *"hx-1", "enter")
        await check_seen(pilot, "has a part 'hx-1' already")
        await pilot.press("backspace", "9", "enter")
        await check_seen(pilot, "new, not written yet")
        await pilot.press("a", *"mpn=HX-9", "enter", "w")
        await check_seen(pilot, "hx-9 is added, a high-side switch:")
        await pilot.press("down", "enter")
        await check_seen(pilot, "Written: hx-9.")
        assert catalog.written == ["hx-9 mpn=HX-9"]


@pytest.mark.slow
async def test_the_catalog_takes_its_own_last_step_back() -> None:
    """What is taken back is told first; with nothing left that is said."""
    catalog = FakeCatalog()
    app = app_over(catalog)
    async with app.run_test(size=SMALL) as pilot:
        await check_list_up(pilot)
        await pilot.press("enter", "h")
        await check_seen(pilot, "edit hx-1")
        await pilot.press("u")
        await check_seen(pilot, "Taken back: edit hx-1, 1 part, 2026-11-20.")
        catalog.steps = (HistoryStep(7, "2026-11-20", "edit hx-1", 1, undone=True),)
        await pilot.press("down", "enter")
        await check_seen(pilot, "Taken back in the catalog: step 7.")
        assert catalog.written == ["undo 7"]
        await check_comes_true(pilot, lambda: "taken back" in screen_text(app), "it is shown")
        await pilot.press("u")
        await check_seen(pilot, "There is no step to take back.")


async def test_doubles_lead_to_their_parts() -> None:
    """Numbers that may be the same stand together, and each opens its part."""
    app = app_over(FakeCatalog())
    async with app.run_test(size=SMALL) as pilot:
        await check_list_up(pilot)
        await pilot.press("enter", "D")
        await check_seen(pilot, "HX1: 2")
        await pilot.press("down", "enter")
        await check_screen(pilot, PartScreen)


@pytest.mark.slow
async def test_frozen_parts_are_refreshed_from_the_working_screen() -> None:
    """R shows what differs; y takes the part and A all, each as a step of the proposal; escape leaves all as it was."""
    workplace = fake_workplace()
    app = app_with(workplace)
    async with app.run_test(size=LARGE) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("R")
        await check_seen(pilot, "breaks: 1: 1.32 -> 1: 1.82")
        await pilot.press("y")
        await check_comes_true(pilot, lambda: len(workplace.proposal.asked) == 1, "it is taken")
        await check_seen(pilot, "breaks: 1: 1.32")
        await pilot.press("A")
        await check_comes_true(pilot, lambda: len(workplace.proposal.asked) == 2, "all are taken")
        await check_seen(pilot, "breaks: 1: 1.32")
        await pilot.press("escape")
        await check_screen(pilot, RollupScreen)
        await pilot.press("K")
        await check_seen(pilot, "hx-1 in full")


async def test_remedies_lead_from_a_finding_to_parts() -> None:
    """R on a finding shows parts for it; y takes one as a step of the proposal; escape leads back to the findings."""
    workplace = fake_workplace()
    app = app_with(workplace)
    async with app.run_test(size=LARGE) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("l")
        await check_screen(pilot, FindingsScreen)
        await pilot.press("r")
        await check_seen(pilot, "breaks: 1: 1.32 -> 1: 1.82")
        (asked,) = workplace.proposal.asked
        assert " at " in asked
        await pilot.press("y")
        await check_comes_true(pilot, lambda: len(workplace.proposal.asked) > 2, "it is taken, and asked anew")
        await pilot.press("escape")
        await check_screen(pilot, FindingsScreen)
