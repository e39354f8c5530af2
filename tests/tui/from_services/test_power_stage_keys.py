"""A pre-driver gets its FETs by keys: from the finding to the stage that carries the load."""

from pathlib import Path

import pytest

from bomtui.services.catalog import PLACE_VARIABLE
from bomtui.services.power_stage import staged
from bomtui.tui.widgets.text_pane import TextPane
from tests.tui.driving import SMALL, check_comes_true, check_seen
from tests.tui.driving import working_screen as working
from tests.tui.from_services.real import VAN
from tests.tui.from_services.test_building import (
    app_over,
    check_drawn,
    check_options,
    copied,
    go_to,
    snapshot_of,
    variant_of,
)

FAN = "C01"


@pytest.mark.slow
async def test_fets_are_put_behind_a_pre_driver_by_keys(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """At the load that lacks them a offers new FETs, as many as it has channels, or those that the module has."""
    monkeypatch.setenv(PLACE_VARIABLE, str(tmp_path / "catalog.sqlite"))
    app = app_over(copied(VAN, tmp_path), tmp_path)
    async with app.run_test(size=SMALL) as pilot:
        await check_drawn(pilot)
        screen = working(app)
        assert snapshot_of(app).proposal.loads[FAN].drive == "GDF"
        before = variant_of(app).placements[FAN]
        assert screen.source.do(staged(snapshot_of(app), screen.variant, FAN, ())).state == "done"
        screen.show_newest()
        await go_to(pilot, FAN)
        await pilot.press("d")
        pane = screen.query_one("#details", TextPane)
        await check_comes_true(pilot, lambda: "no FETs yet" in pane.plain, "the details say what to do")
        await pilot.press("a", "enter", "enter")
        await check_seen(pilot, f"How many FETs of one part carry {FAN}:")
        await pilot.press("backspace", "0", "enter")
        await check_seen(pilot, "A number of FETs is expected")
        await pilot.press("backspace", *"2", "enter")
        await check_options(pilot)
        await check_seen(pilot, "2 FETs for C01")
        await pilot.press("enter")
        await check_drawn(pilot)
        assert len(variant_of(app).placements[FAN].stage) == 2
        # Those of the module, in their place; a slip stays to be mended.
        await go_to(pilot, FAN)
        await pilot.press("a", "enter", "down", "enter")
        await pilot.press(*"Q2;Q99", "enter")
        await check_seen(pilot, "Q99")
        await pilot.press("backspace", "backspace", *"3; Q4", "enter")
        await check_drawn(pilot)
        assert variant_of(app).placements[FAN].stage == before.stage
        screen.source.discard()
