"""Drives the app in a test and reads its screen."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager

from textual.app import App
from textual.pilot import Pilot

from bomtui.tui.app import BomtuiApp
from bomtui.tui.glyphs import FULL
from bomtui.tui.screens.rollup.screen import RollupScreen
from bomtui.tui.widgets.sheet import Sheet
from tests.tui.fake import FakeProposal, FakeWorkplace

SMALL = (80, 24)
LARGE = (120, 40)
WIDE = (170, 45)
TRIES = 1500


def screen_text(app: App[None]) -> str:
    """What stands on the screen."""
    strips = app.screen._compositor.render_strips()
    return "\n".join("".join(segment.text for segment in strip).rstrip() for strip in strips)


async def check_comes_true(pilot: Pilot[None], fact: Callable[[], bool], what: str) -> None:
    """Wait for a fact.

    Raises:
        AssertionError: If it never comes true.
    """
    for _ in range(TRIES):
        if fact():
            return
        await pilot.pause(0.01)
    raise AssertionError(f"never came true: {what}; the screen was:\n{screen_text(pilot.app)}")


async def check_seen(pilot: Pilot[None], text: str) -> None:
    """Wait for a text on the screen."""
    await check_comes_true(pilot, lambda: text in screen_text(pilot.app), f"{text!r} is on the screen")


async def check_gone(pilot: Pilot[None], text: str) -> None:
    """Wait until a text is no longer on the screen."""
    await check_comes_true(pilot, lambda: text not in screen_text(pilot.app), f"{text!r} is gone")


def app_with(workplace: FakeWorkplace, path: str = "sweeper") -> BomtuiApp:
    """The app with the full set of signs, whatever the terminal of the test run."""
    return BomtuiApp(workplace, path, FULL)


def sheet_of(app: App[None]) -> Sheet:
    """The sheet of the screen."""
    return app.screen.query_one(Sheet)


def working_screen(app: App[None]) -> RollupScreen:
    """The working screen."""
    assert isinstance(app.screen, RollupScreen)
    return app.screen


async def check_sheet_up(pilot: Pilot[None]) -> None:
    """Wait for the working screen with its rows."""

    def is_up() -> bool:
        screen = pilot.app.screen
        return isinstance(screen, RollupScreen) and any(len(sheet.rows) > 1 for sheet in screen.query(Sheet))

    await check_comes_true(pilot, is_up, "the sheet is up")
    await pilot.pause()


def cursor_name(app: App[None]) -> str:
    """Name of the row under the cursor."""
    row = sheet_of(app).cursor_row
    assert row is not None
    return row.cells[0]


@contextmanager
def closed_gate(proposal: FakeProposal) -> Iterator[None]:
    """Hold back every computing."""
    proposal.gate.clear()
    try:
        yield
    finally:
        proposal.gate.set()
