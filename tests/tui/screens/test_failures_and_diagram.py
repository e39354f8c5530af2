"""What is lost when something fails, and the block diagram, by keys."""

import pytest

from bomtui.tui.glyphs import ASCII
from bomtui.tui.screens.diagram.screen import DiagramScreen
from bomtui.tui.screens.failures.screen import FailuresScreen
from bomtui.tui.screens.rollup.screen import RollupScreen
from bomtui.tui.widgets.sheet import Sheet
from bomtui.tui.widgets.text_pane import TextPane
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
from tests.tui.fake import FakeProposal, FakeWorkplace, rollup_view

SIZES = pytest.mark.parametrize("size", [SMALL, LARGE], ids=["80x24", "120x40"])


def workplace() -> FakeWorkplace:
    """A workplace with one proposal."""
    return FakeWorkplace(FakeProposal(rollup_view()))


@SIZES
async def test_a_failure_is_told_in_full_below_its_line(size: tuple[int, int]) -> None:
    """G lists what can fail; the line under the cursor is told with its losses, the caution and what is not known."""
    app = app_with(workplace())
    async with app.run_test(size=size) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("g")
        await check_seen(pilot, "controller ZREA.U1 (mcu-144)")
        assert isinstance(app.screen, FailuresScreen)
        await pilot.press("home")
        await check_seen(pilot, "outputs lost (3)")
        plain = app.screen.query_one("#effect", TextPane).plain
        assert "Electrically possible; type approval not checked." in plain
        assert "L11, stand-in L12: controller ZREA.U1" in plain
        assert "no feed is named of ZENG" in plain
        await pilot.press("end")
        await check_seen(pilot, "nothing that is known is lost")
        assert max(map(len, screen_text(app).splitlines())) <= size[0]


async def test_it_begins_on_the_line_of_the_sheet_and_goes_back_there() -> None:
    """A load begins on the device it hangs on; g goes to the line of what is taken out, escape leaves it."""
    app = app_with(workplace())
    async with app.run_test(size=LARGE) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("plus", "slash", *"L24", "enter")
        await check_comes_true(pilot, lambda: cursor_name(app).startswith("L24"), "the cursor is there")
        await pilot.press("up", "up", "up")
        assert cursor_name(app).startswith("U1 hs24-4x50")
        await pilot.press("g")
        await check_seen(pilot, "controller ZREA.U1 (mcu-144) taken out")
        await pilot.press("end", "up", "g")
        await check_comes_true(pilot, lambda: isinstance(app.screen, RollupScreen), "the sheet is back")
        assert cursor_name(app).startswith("ZENG")
        await pilot.press("g", "end", "g")
        await check_seen(pilot, "feed F1")
        assert isinstance(app.screen, FailuresScreen)
        await pilot.press("escape")
        await check_comes_true(pilot, lambda: isinstance(app.screen, RollupScreen), "the sheet is back")


@SIZES
async def test_the_diagram_goes_from_module_to_module(size: tuple[int, int]) -> None:
    """B draws the module of the line for the width there is; n and N go on and back, through the vehicle."""
    app = app_with(workplace())
    async with app.run_test(size=size) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("down", "b")
        await check_seen(pilot, "battery of ZENG")
        assert isinstance(app.screen, DiagramScreen)
        assert f"└─[U1 hs24-4x50] {size[0] - 1} columns" in screen_text(app)
        await pilot.press("n")
        await check_seen(pilot, "Block diagram of ZREA")
        await pilot.press("n")
        await check_seen(pilot, "battery of the vehicle")
        await pilot.press("N", "N")
        await check_seen(pilot, "Block diagram of ZENG")
        await pilot.press("b")
        await check_comes_true(pilot, lambda: isinstance(app.screen, RollupScreen), "the sheet is back")


async def test_a_plain_terminal_gets_plain_strokes() -> None:
    """With the ASCII set the drawing is made of ASCII."""
    app = app_with(workplace())
    app.glyphs = ASCII
    async with app.run_test(size=SMALL) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("b")
        await check_seen(pilot, "`-[U1 hs24-4x50]")


async def test_a_variant_without_modules_says_what_to_do() -> None:
    """Nothing to take out is said, with the next step."""
    view = rollup_view()
    empty = rollup_view(failures=lambda: type(view.failures())((), (), "caution", ()))
    app = app_with(FakeWorkplace(FakeProposal(empty)))
    async with app.run_test(size=SMALL) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("g")
        await check_seen(pilot, "No module, nothing to take out: add a module first.")
        assert app.screen.query_one("#causes", Sheet).rows == ()
        assert sheet_of(app).id == "causes"
