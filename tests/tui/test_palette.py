"""The palette finds every command of the screen and does what its key does."""

from collections.abc import Callable

import pytest

from bomtui.tui.app import BomtuiApp
from bomtui.tui.screens.findings.screen import FindingsScreen
from bomtui.tui.screens.lists.screen import ListsScreen
from bomtui.tui.screens.palette.rows import HIDDEN_ACTIONS, matching, offered
from bomtui.tui.screens.palette.screen import PaletteScreen
from bomtui.tui.screens.rollup.screen import RollupScreen
from bomtui.tui.user_commands import commands_in
from tests.tui.driving import (
    LARGE,
    SMALL,
    app_with,
    check_comes_true,
    check_seen,
    check_sheet_up,
    cursor_name,
    sheet_of,
)
from tests.tui.fake import fake_workplace

WORKING = (*RollupScreen.SCOPES, "app")


@pytest.mark.parametrize("size", [SMALL, LARGE], ids=["80x24", "120x40"])
async def test_every_command_of_the_screen_is_offered(size: tuple[int, int]) -> None:
    """What has a key here has an entry with that key, apart from the moves that a list of commands itself needs."""
    app = app_with(fake_workplace())
    async with app.run_test(size=size) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("ctrl+p")
        await check_seen(pilot, "turn sheet   t")
        expected = [
            command.id for scope in WORKING for command in commands_in(scope) if command.action not in HIDDEN_ACTIONS
        ]
        assert [row.key for row in sheet_of(app).rows] == expected


@pytest.mark.parametrize(
    ("typed", "offer", "done"),
    [
        ("last li", "To the last line.", lambda app: cursor_name(app).startswith("ZREA")),
        ("all find", "Lists all findings", lambda app: isinstance(app.screen, FindingsScreen)),
        ("other co", "Goes through dark", lambda app: app.theme == "bomtui-light"),
    ],
    ids=["of the sheet", "of the screen", "of the app"],
)
async def test_a_command_runs_by_its_name(typed: str, offer: str, done: Callable[[BomtuiApp], bool]) -> None:
    """Typing a piece of the name and enter does what the key does."""
    app = app_with(fake_workplace())
    async with app.run_test(size=LARGE) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("ctrl+p", *typed)
        await check_seen(pilot, offer)
        assert len(sheet_of(app).rows) == 1
        await pilot.press("enter")
        await check_comes_true(pilot, lambda: not isinstance(app.screen, PaletteScreen), "the palette is gone")
        await check_comes_true(pilot, lambda: done(app), "it is done")


async def test_a_command_is_pointed_at_and_a_name_that_nothing_has_is_mended() -> None:
    """The arrows go through what is found; a name without a command stays to be typed over, and escape does nothing."""
    app = app_with(fake_workplace())
    async with app.run_test(size=SMALL) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("ctrl+p", *"zzz", "enter")
        await check_seen(pilot, "No command holds that")
        await pilot.press("ctrl+u", *"vehicle", "down", "up", "down", "up", "pagedown", "pageup")
        await check_seen(pilot, "> vehicle lists   i")
        await pilot.press("enter")
        await check_comes_true(pilot, lambda: isinstance(app.screen, ListsScreen), "the lists are up")
        await pilot.press("ctrl+p", "ctrl+p", "escape")
        await check_comes_true(pilot, lambda: isinstance(app.screen, ListsScreen), "the lists are back")


def test_what_begins_so_stands_first() -> None:
    """The title itself, then titles that begin so, then those with all the words, then what the commands do."""
    titles = [command.title for command in matching(offered(WORKING), "SAVE")]
    assert titles == ["save", "save as"]
    assert [command.title for command in matching(offered(WORKING), "as sa")] == ["save as"]
    found = [command.title for command in matching(offered(WORKING), "find")]
    assert found[:6] == ["find", "findings", "find again", "find backwards", "next finding", "previous finding"]
    assert matching(offered(WORKING), "no such thing") == []
    assert matching(offered(WORKING), " ") == offered(WORKING)
