"""The palette finds every command of the screen and does what its key does."""

from collections.abc import Callable

import pytest
from textual.command import CommandPalette

from bomtui.tui.app import BomtuiApp
from bomtui.tui.palette import HIDDEN_ACTIONS, CommandProvider
from bomtui.tui.screens.findings.screen import FindingsScreen
from bomtui.tui.screens.rollup.screen import RollupScreen
from bomtui.tui.user_commands import commands_in
from tests.tui.driving import LARGE, app_with, check_comes_true, check_seen, cursor_name
from tests.tui.fake import fake_workplace


async def test_every_command_of_the_screen_is_offered() -> None:
    """What has a key here has an entry, apart from the moves that a list of commands itself needs."""
    app = app_with(fake_workplace())
    async with app.run_test(size=LARGE) as pilot:
        await check_seen(pilot, "Whole vehicle")
        offered = [hit.text async for hit in CommandProvider(app.screen).discover()]
        expected = [
            command.title
            for scope in (*RollupScreen.SCOPES, "app")
            for command in commands_in(scope)
            if command.action not in HIDDEN_ACTIONS
        ]
        assert offered == expected


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
        await check_seen(pilot, "Whole vehicle")
        await pilot.press("ctrl+p", *typed)
        await check_seen(pilot, offer)
        await pilot.press("enter")
        await check_comes_true(pilot, lambda: not isinstance(app.screen, CommandPalette), "the palette is gone")
        await check_comes_true(pilot, lambda: done(app), "it is done")
