"""One proposal opened twice: by another program, and by this one."""

import shutil
from pathlib import Path

import pytest

from bomtui.tui.app import BomtuiApp
from bomtui.tui.from_services.source import SessionSource
from bomtui.tui.glyphs import FULL
from bomtui.tui.screens.start.screen import StartScreen
from tests.tui.driving import LARGE, check_comes_true, check_gone, check_seen, check_sheet_up, working_screen
from tests.tui.from_services.real import VAN, opened, workplace

TOLD = "Another program has this proposal open"


@pytest.fixture
def van(tmp_path: Path) -> Path:
    """A copy of the van."""
    return Path(shutil.copytree(VAN, tmp_path / "van"))


async def test_a_second_program_is_told_at_the_opening(van: Path, tmp_path: Path) -> None:
    """Its status line says that another one has the proposal open; when that has ended, nothing is said."""
    other = opened(van, tmp_path / "settings")
    app = BomtuiApp(workplace(tmp_path / "settings"), str(van), FULL)
    async with app.run_test(size=LARGE) as pilot:
        await check_sheet_up(pilot)
        await check_seen(pilot, TOLD)
        await pilot.press("down")
        await check_gone(pilot, TOLD)
        await pilot.press("ctrl+q")
    other.close()
    assert opened(van, tmp_path / "settings").remark == ""


@pytest.mark.slow
async def test_what_is_open_already_is_gone_back_to(van: Path, tmp_path: Path) -> None:
    """Opening the open proposal again, by its folder as well, keeps its steps and its history."""
    app = BomtuiApp(workplace(tmp_path / "settings"), str(van), FULL)
    async with app.run_test(size=LARGE) as pilot:
        await check_sheet_up(pilot)
        source = working_screen(app).source
        assert source.set_text("proposal.revision", "B").state == "done"
        await pilot.press("o")
        await check_comes_true(pilot, lambda: isinstance(app.screen, StartScreen), "the start screen is up")
        app.screen.post_message(StartScreen.OpenAsked(str(van)))
        await check_seen(pilot, "This proposal is open already")
        assert working_screen(app).source is source
        assert source.is_unsaved
        assert source.undo().state == "done"
        source.discard()


def test_saving_under_the_name_of_what_is_open_elsewhere_is_told(van: Path, tmp_path: Path) -> None:
    """Whoever goes on in a file that another program has open hears of it at once."""
    elsewhere = opened(van, tmp_path / "settings")
    own = opened(Path(shutil.copytree(VAN, tmp_path / "own")), tmp_path / "settings")
    assert isinstance(own, SessionSource)
    outcome = own.save_as(elsewhere.path, overwrite=True)
    assert outcome.state == "written"
    assert TOLD in outcome.message
    own.discard()
    elsewhere.discard()
