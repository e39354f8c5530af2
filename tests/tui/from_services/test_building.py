"""Building and changing a proposal by keys, over copies of the real samples: what the file holds at the end counts."""

import shutil
from pathlib import Path

import pytest
from textual.pilot import Pilot

from bomtui.model.proposal import Snapshot
from bomtui.model.variant import Module, Variant
from bomtui.services.catalog import PLACE_VARIABLE
from bomtui.services.open import open_proposal
from bomtui.tui.app import BomtuiApp
from bomtui.tui.glyphs import FULL
from bomtui.tui.screens.choice.screen import ChoiceScreen
from bomtui.tui.screens.options.screen import OptionsScreen
from bomtui.tui.screens.rollup.screen import RollupScreen
from tests.tui.driving import LARGE, SMALL, check_comes_true, check_seen, check_sheet_up, cursor_name
from tests.tui.driving import working_screen as working
from tests.tui.from_services.real import SWEEPER, VAN, workplace


@pytest.fixture(autouse=True)
def _own_catalog(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(PLACE_VARIABLE, str(tmp_path / "catalog.sqlite"))


def copied(sample: Path, folder: Path) -> Path:
    """A copy of a sample that may be changed."""
    return Path(shutil.copytree(sample, folder / sample.name))


def contents(folder: Path) -> dict[str, bytes]:
    """What the proposal and its frozen parts hold."""
    return {path.name: path.read_bytes() for path in folder.glob("*.toml")}


def app_over(folder: Path, tmp_path: Path) -> BomtuiApp:
    """The app over a proposal."""
    return BomtuiApp(workplace(tmp_path / "settings"), str(folder), FULL)


def snapshot_of(app: BomtuiApp) -> Snapshot:
    """The proposal as it is now."""
    return working(app).source.snapshot


def variant_of(app: BomtuiApp) -> Variant:
    """The variant that is shown."""
    return snapshot_of(app).proposal.variants[working(app).variant]


def module_of(app: BomtuiApp, module_id: str) -> Module:
    """A module of that variant."""
    return variant_of(app).modules[module_id]


async def check_drawn(pilot: Pilot[None]) -> None:
    """Wait until the sheet shows the newest snapshot."""

    def is_drawn() -> bool:
        screen = pilot.app.screen
        return (
            isinstance(screen, RollupScreen)
            and screen.view is not None
            and screen.view.snapshot_number == screen.source.snapshot_number
            and screen.target == screen.address
        )

    await check_comes_true(pilot, is_drawn, "the newest snapshot is drawn")


async def check_options(pilot: Pilot[None]) -> None:
    """Wait for the candidates."""

    def is_up() -> bool:
        screen = pilot.app.screen
        return isinstance(screen, OptionsScreen) and bool(screen.query_one("#list").rows)  # type: ignore[attr-defined]

    await check_comes_true(pilot, is_up, "the candidates are up")


async def go_to(pilot: Pilot[None], address: str) -> None:
    """Put the cursor on the line with an address, in the tree that shows it."""
    await check_drawn(pilot)
    screen = working(pilot.app)
    key = screen._tree.first_keys.get(address)
    if key is None:
        await pilot.press("t")
        key = screen._tree.first_keys[address]
    assert screen.query_one("#sheet").reveal(key)  # type: ignore[attr-defined]
    await pilot.pause()
    assert screen.address == address


async def take_first(pilot: Pilot[None]) -> str:
    """Take the first candidate; its title."""
    await check_options(pilot)
    title = cursor_name(pilot.app)
    await pilot.press("enter")
    await check_drawn(pilot)
    return title


async def add_device(pilot: Pilot[None], module_id: str, kind: str) -> None:
    """Add a device of a kind through the list of parts."""
    await go_to(pilot, module_id)
    await pilot.press("a", "enter")
    await check_comes_true(pilot, lambda: isinstance(pilot.app.screen, ChoiceScreen), "the kinds are up")
    sheet = pilot.app.screen.query_one("#list")
    sheet.reveal(kind)  # type: ignore[attr-defined]
    await pilot.press("enter")
    await take_first(pilot)


@pytest.mark.slow
@pytest.mark.parametrize("size", [SMALL, LARGE], ids=["80x24", "120x40"])
async def test_a_module_is_built_served_swapped_undone_and_done_again(size: tuple[int, int], tmp_path: Path) -> None:
    """On the van a module with controller and driver, ten loads, another driver; undone it is the old file."""
    folder = copied(VAN, tmp_path)
    before = contents(folder)
    app = app_over(folder, tmp_path)
    async with app.run_test(size=size) as pilot:
        await check_sheet_up(pilot)
        # One burst: nothing that is typed behind a key is lost or lands elsewhere.
        await pilot.press("a", "enter", *"ZNEW", "enter", "enter", *"new box", "enter")
        await check_drawn(pilot)
        assert module_of(app, "ZNEW") == Module(name="new box", zone=min(snapshot_of(app).proposal.zones))
        assert cursor_name(app).startswith("ZNEW new box")
        await add_device(pilot, "ZNEW", "controller")
        await add_device(pilot, "ZNEW", "high_side")
        assert sorted(module_of(app, "ZNEW").devices) == ["U1", "U2"]
        assert module_of(app, "ZNEW").devices["U2"].commanded_by == "U1"
        assert cursor_name(app).startswith("U2 ")
        loads = [
            key for key, load in snapshot_of(app).proposal.loads.items()
            if load.drive in {"HS", "HSP"} and load.test_current_a is not None and load.test_current_a < 2
        ][:10]  # fmt: skip
        assert len(loads) == 10
        for load_id in loads:
            await go_to(pilot, load_id)
            await pilot.press("k")
            await check_drawn(pilot)
            assert load_id not in variant_of(app).placements
            await pilot.press("p")
            await take_first(pilot)
            assert load_id in variant_of(app).placements
            assert working(app).address == load_id
        await go_to(pilot, "ZNEW.U2")
        former = module_of(app, "ZNEW").devices["U2"].part
        await pilot.press("s")
        await check_options(pilot)
        await pilot.press("down")
        await take_first(pilot)
        assert module_of(app, "ZNEW").devices["U2"].part != former
        built = snapshot_of(app)
        for _ in range(30):
            await pilot.press("u")
        await check_seen(pilot, "Nothing to undo.")
        await check_drawn(pilot)
        assert contents(folder) == before
        assert not working(app).source.is_unsaved
        for _ in range(30):
            await pilot.press("ctrl+r")
        await check_seen(pilot, "Nothing to do again.")
        assert snapshot_of(app).proposal == built.proposal
        await pilot.press("ctrl+s")
        await check_seen(pilot, "Saved to")
    reopened = open_proposal(folder)
    assert reopened.snapshot.proposal == built.proposal
    assert not reopened.problems


@pytest.mark.slow
async def test_all_fans_off_swapped_placed_again_and_undone_is_the_very_same_file(tmp_path: Path) -> None:
    """On the sweeper: the loads of a subsystem off by one key, drivers swapped, placed again, all undone and saved."""
    folder = copied(SWEEPER, tmp_path)
    before = contents(folder)
    app = app_over(folder, tmp_path)
    async with app.run_test(size=LARGE) as pilot:
        await check_sheet_up(pilot)
        start = snapshot_of(app)
        fans = [
            key for key, load in start.proposal.loads.items()
            if load.subsystem == "COO" and key in variant_of(app).placements
        ]  # fmt: skip
        served = {text.rpartition(".")[0] for key in fans for text in variant_of(app).placements[key].on if "." in text}
        await go_to(pilot, "COO")
        await pilot.press("k")
        await check_drawn(pilot)
        assert not set(fans) & set(variant_of(app).placements)
        assert working(app).address == "COO"
        steps = 1
        for address in sorted(served)[:2]:
            await go_to(pilot, address)
            module_id, _, ref = address.partition(".")
            former = module_of(app, module_id).devices[ref].part
            await pilot.press("s")
            await check_options(pilot)
            await pilot.press("down", "enter")
            await check_drawn(pilot)
            assert module_of(app, module_id).devices[ref].part != former
            steps += 1
        await go_to(pilot, "COO")
        for load_id in fans:
            await go_to(pilot, load_id)
            await pilot.press("p")
            await take_first(pilot)
            assert load_id in variant_of(app).placements
            steps += 1
        await pilot.press("ctrl+s")
        await check_seen(pilot, "Saved to")
        assert contents(folder) != before
        for _ in range(steps):
            await pilot.press("u")
        await check_drawn(pilot)
        assert snapshot_of(app).proposal is start.proposal
        await pilot.press("ctrl+s")
        await check_seen(pilot, "Saved to")
    assert contents(folder) == before
