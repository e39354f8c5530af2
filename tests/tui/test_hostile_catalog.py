"""Text of a catalog that means harm is shown as text on every screen of it."""

from typing import cast

import pytest
from textual.pilot import Pilot

from bomtui.tui.report import Refused
from bomtui.tui.screens.catalog.part import PartScreen
from bomtui.tui.screens.catalog.screen import CatalogScreen
from bomtui.tui.screens.findings.screen import FindingsScreen
from bomtui.tui.screens.refresh.screen import RefreshScreen
from bomtui.tui.screens.remedies.screen import RemediesScreen
from bomtui.tui.taking import TakingReport
from tests.tui.driving import LARGE, app_with, check_comes_true, check_seen, check_sheet_up, sheet_of
from tests.tui.fake import FakeProposal, FakeWorkplace, rollup_view
from tests.tui.fake_catalog import FakeCatalog
from tests.tui.test_hostile_text import TOGETHER_PARAMETERS, check_plain, poisoned

# Long texts on many screens: some seconds each.
pytestmark = pytest.mark.slow


class PoisonedParts(FakeProposal):
    """A proposal whose parts say the payload."""

    payload = ""

    def refresh(self, variant: str) -> TakingReport | Refused:
        """One part that differs, with the payload in every text."""
        report = super().refresh(variant)
        assert isinstance(report, TakingReport)
        edits, whole, write = report.edits, report.whole, report.write
        bare = cast("TakingReport", poisoned(report, self.payload))
        return TakingReport(bare.snapshot_number, bare.title, bare.sentences, bare.pages, "", (), write, edits, whole)


async def check_screen_is(pilot: Pilot[None], kind: type) -> None:
    """Wait for a screen."""
    await check_comes_true(pilot, lambda: isinstance(pilot.app.screen, kind), f"{kind.__name__} is up")
    await pilot.pause()


@pytest.mark.parametrize("payload", TOGETHER_PARAMETERS)
async def test_the_catalog_shows_it_as_text(payload: str) -> None:
    """List, part, what is told before a write, where used, side by side, history, doubles."""
    proposal = FakeProposal(rollup_view())
    proposal.catalog = FakeCatalog(word=f"{payload} ")
    app = app_with(FakeWorkplace(proposal, ()), "sweeper")
    async with app.run_test(size=LARGE) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("K")
        await check_screen_is(pilot, CatalogScreen)
        await check_seen(pilot, "hx-1")
        check_plain(app, payload)
        await pilot.press("enter", "enter")
        await check_screen_is(pilot, PartScreen)
        await check_seen(pilot, "what it is")
        check_plain(app, payload)
        await pilot.press("u")
        await check_seen(pilot, "where used")
        check_plain(app, payload)
        await pilot.press("escape")
        await check_screen_is(pilot, CatalogScreen)
        for keys, seen in ((("m", "down", "m", "c"), "Side by side"), (("D",), "hx-x")):
            await pilot.press(*keys)
            await check_seen(pilot, seen)
            check_plain(app, payload)
            await pilot.press("escape")
            await check_screen_is(pilot, CatalogScreen)


@pytest.mark.parametrize("payload", TOGETHER_PARAMETERS)
async def test_refresh_and_remedies_show_it_as_text(payload: str) -> None:
    """Parts that can be taken, from the sheet and from a finding."""
    proposal = PoisonedParts(rollup_view())
    proposal.payload = payload
    app = app_with(FakeWorkplace(proposal, ()), "sweeper")
    async with app.run_test(size=LARGE) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("R")
        await check_screen_is(pilot, RefreshScreen)
        await check_comes_true(pilot, lambda: len(sheet_of(app).rows) > 0, "the parts are listed")
        await pilot.pause()
        check_plain(app, payload)
        await pilot.press("escape", "l")
        await check_screen_is(pilot, FindingsScreen)
        await pilot.press("r")
        await check_comes_true(pilot, lambda: any(" at " in own for own in proposal.asked), "it is asked")
        await check_screen_is(pilot, RemediesScreen)
        await check_comes_true(pilot, lambda: len(sheet_of(app).rows) > 0, "the parts are listed")
        await pilot.pause()
        check_plain(app, payload)
