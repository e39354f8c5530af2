"""Rails as lines of the sheet with what feeds and what loads them, and their edits by keys."""

from pathlib import Path

import msgspec
import pytest

from bomtui.edit.edits.item import RenameRail
from bomtui.edit.edits.part import RefreshPart
from bomtui.tui.from_services.source import SessionSource
from bomtui.tui.view import Figure
from tests.tui.driving import SMALL, check_seen
from tests.tui.from_services.real import SWEEPER, all_places, opened
from tests.tui.from_services.test_building import app_over, check_drawn, copied, go_to, module_of

MODULE, RAIL = "ZHMI", "V33B"


def figures(source: SessionSource, address: str) -> dict[str, Figure]:
    """The details of a line by title."""
    return {figure.title: figure for figure in source.view("zone").details(address).figures}


def test_a_rail_has_a_line_and_its_details(tmp_path: Path) -> None:
    """Voltage and source stand on the line; consumers, currents and what the source can give in the details."""
    source = opened(SWEEPER, tmp_path)
    module = source.snapshot.proposal.variants["zone"].modules[MODULE]
    titles = {place.address: place.title for place in all_places(source.view("zone"))}
    for rail_id, rail in module.rails.items():
        assert titles[f"{MODULE}.rail {rail_id}"].startswith(f"rail {rail_id}, ")
        assert titles[f"{MODULE}.rail {rail_id}"].endswith(f" V from {rail.source}")
    own = figures(source, f"{MODULE}.rail {RAIL}")
    assert own[f"rail {RAIL}"].text.startswith(f"3.3 V from {module.rails[RAIL].source} (")
    assert all(f"{ref} " in own[f"on rail {RAIL}"].text for ref, device in module.devices.items()
               if RAIL in device.supply.values())  # fmt: skip
    assert own[f"devices on rail {RAIL}, max"].name == f"{MODULE}:rail_current_a.{RAIL}/max"
    whole = figures(source, MODULE)
    assert {title: whole[title] for title in own} == own
    names = [figure.name for figure in source.view("zone").details(MODULE).figures if figure.name]
    assert len(set(names)) == len(names), "each can be explained on its own"


def test_a_source_that_gives_more_than_it_can_says_so(tmp_path: Path) -> None:
    """The sign stands at what it gives, with the current that it can give and the mode; as the finding of the check."""
    source = opened(SWEEPER, tmp_path)
    snapshot = source.snapshot
    module = snapshot.proposal.variants["zone"].modules[MODULE]
    ref = module.rails[RAIL].source
    key = module.devices[ref].part

    def budget() -> Figure:
        return figures(source, f"{MODULE}.rail {RAIL}")[f"{ref} gives, all rails, max"]

    def rules() -> set[str]:
        return {own.rule for own in source.view("zone").findings if own.place == f"{MODULE}.{ref}"}

    assert (budget().mark, budget().word) == ("ok", "within limit")
    small = msgspec.structs.replace(snapshot.parts[key], output_current_a=1.0)
    assert source.do(RefreshPart(key=key, part=small)).state == "done"
    assert (budget().mark, budget().word) == ("over", "over its limit")
    assert " of 1 A in " in budget().text
    assert "rail.load" in rules()
    unknown = msgspec.structs.replace(small, output_current_a=None)
    assert source.do(RefreshPart(key=key, part=unknown)).state == "done"
    assert (budget().mark, budget().word) == ("unknown", "not decided")
    assert " of unknown in " in budget().text
    source.discard()


def test_a_rail_is_renamed_and_the_cursor_follows(tmp_path: Path) -> None:
    """The step tells the line of the new name; undone, that of the old one."""
    source = opened(SWEEPER, tmp_path)
    done = source.do(RenameRail(variant="zone", module_id=MODULE, rail_id=RAIL, new_id="VIO"))
    assert (done.state, done.address) == ("done", f"{MODULE}.rail VIO")
    assert source.undo().address == f"{MODULE}.rail {RAIL}"
    assert (
        source.set_text(f"variants.zone.modules.{MODULE}.rails.{RAIL}.note", "core").address == f"{MODULE}.rail {RAIL}"
    )
    assert source.record_at("zone", f"{MODULE}.rail {RAIL}") == f"variants.zone.modules.{MODULE}.rails.{RAIL}"
    source.discard()


@pytest.mark.slow
async def test_a_rail_is_edited_renamed_and_removed_by_keys(tmp_path: Path) -> None:
    """On its line e, r and delete do what they do on every other line."""
    app = app_over(copied(SWEEPER, tmp_path), tmp_path)
    async with app.run_test(size=SMALL) as pilot:
        await go_to(pilot, f"{MODULE}.rail {RAIL}")
        await pilot.press("e")
        await check_seen(pilot, f"Rail {MODULE}.{RAIL}")
        await pilot.press("escape", "r", "ctrl+u", *"VIO", "enter")
        await check_drawn(pilot)
        assert "VIO" in module_of(app, MODULE).rails
        assert any("VIO" in device.supply.values() for device in module_of(app, MODULE).devices.values())
        await pilot.press("delete", "down", "enter")
        await check_drawn(pilot)
        assert "VIO" not in module_of(app, MODULE).rails
        await pilot.press("u", "u")
        await check_drawn(pilot)
        assert RAIL in module_of(app, MODULE).rails
