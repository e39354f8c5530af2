"""A sample that is opened, changed and saved by keys: it stays, and the work goes on in a file of one's own."""

from pathlib import Path

import pytest

from bomtui.tui.app import BomtuiApp
from bomtui.tui.glyphs import FULL
from tests.tui.driving import SMALL, check_comes_true, check_seen, check_sheet_up, cursor_name, working_screen
from tests.tui.from_services.real import VAN, workplace


def contents() -> dict[str, bytes]:
    """What the sample's files hold."""
    return {path.name: path.read_bytes() for path in VAN.glob("*.toml")}


@pytest.mark.slow
@pytest.mark.parametrize("keys", [("ctrl+s",), ("ctrl+q", "down", "enter")], ids=["save", "save and leave"])
async def test_saving_a_sample_asks_for_a_name(
    keys: tuple[str, ...], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The offered name lies in the folder one is in; the file there is what the next start offers first."""
    monkeypatch.chdir(tmp_path)
    before = contents()
    app = BomtuiApp(workplace(tmp_path / "settings"), str(VAN), FULL)
    async with app.run_test(size=SMALL) as pilot:
        await check_sheet_up(pilot)
        assert working_screen(app).source.set_text("proposal.revision", "Z").state == "done"
        await pilot.press(*keys)
        await check_seen(pilot, "This sample came with the program and stays as it is")
        await pilot.press("enter")
        await check_seen(pilot, "the work goes on there")
        assert contents() == before
        assert working_screen(app).source.path == str(tmp_path / "parcel_van.toml")
        assert 'revision = "Z"' in (tmp_path / "parcel_van.toml").read_text(encoding="utf-8")
        await pilot.press("ctrl+q")
        await check_comes_true(pilot, lambda: app.return_code == 0, "it has left without a question")
    again = BomtuiApp(workplace(tmp_path / "settings"), "", FULL)
    async with again.run_test(size=SMALL) as pilot:
        await check_seen(pilot, "opened 20")
        await check_comes_true(pilot, lambda: cursor_name(again) == "Parcel van, city delivery", "it is listed")
        await check_seen(pilot, str(tmp_path / "parcel_van.toml")[:40])
