"""A proposal file whose every free text means harm, opened like any other and walked through by keys."""

from pathlib import Path
from typing import Any

import msgspec
import pytest

from bomtui.model.base import Base
from bomtui.model.fields import FieldInfo, field_table
from bomtui.services.open import open_proposal
from bomtui.storage.frozen_parts import parts_text
from bomtui.storage.proposal.write import proposal_text
from bomtui.tui.app import BomtuiApp
from bomtui.tui.glyphs import FULL
from bomtui.tui.screens.choice.screen import ChoiceScreen
from bomtui.tui.screens.fields.screen import FieldsScreen
from bomtui.tui.screens.findings.screen import FindingsScreen
from bomtui.tui.screens.options.screen import OptionsScreen
from bomtui.tui.screens.variants.screen import VariantsScreen
from bomtui.tui.widgets.text_pane import TextPane
from tests.tui.driving import LARGE, check_comes_true, check_seen, check_sheet_up, sheet_of
from tests.tui.from_services.real import SWEEPER, all_places, opened, workplace
from tests.tui.test_hostile_text import PAYLOADS, check_plain

# A file is UTF-8: a lone surrogate cannot stand in it.
PAYLOAD = " ".join(text for name, text in PAYLOADS.items() if len(text) < 30 and name != "lone surrogate")
LOOKED_AT = ("ZCEN", "ZCEN.U5", "L24", "whole vehicle", "ZCEN.item board-6")


def is_free_text(info: FieldInfo) -> bool:
    """Whether people may write anything there; a currency is a code, and what is none is a fault of the file."""
    return info.shape == "text" and not info.refers_to and not info.choices and info.key != "currency"


def poisoned(record: Any) -> Any:  # noqa: ANN401 - any record or value
    """The record with the payload in front of every free text, in all records inside it too."""
    if isinstance(record, dict):
        return {key: poisoned(value) for key, value in record.items()}
    if not isinstance(record, Base):
        return record
    changes: dict[str, Any] = {}
    for info in field_table(type(record)):
        value = getattr(record, info.name)
        if is_free_text(info):
            changes[info.name] = f"{PAYLOAD} {value}"
        elif info.record is not None and info.shape in {"record", "records"}:
            changes[info.name] = poisoned(value)
    return msgspec.structs.replace(record, **changes)


@pytest.fixture(scope="module")
def hostile_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The sweeper with the payload in every free text of both files."""
    folder = tmp_path_factory.mktemp("hostile")
    snapshot = open_proposal(SWEEPER).snapshot
    (folder / "v.toml").write_text(proposal_text(poisoned(snapshot.proposal)), encoding="utf-8")
    parts = {key: poisoned(part) for key, part in snapshot.parts.items()}
    (folder / "v.parts.toml").write_text(parts_text(parts), encoding="utf-8")
    return folder


@pytest.mark.slow
def test_the_payload_stands_in_the_file_and_changes_no_figure(hostile_folder: Path, tmp_path: Path) -> None:
    """The poisoning reaches titles, details and notes, and the parts still cost the same."""
    view = opened(hostile_folder, tmp_path).view("zone")
    assert view.vehicle.cells.parts_cost == "439.2334"
    assert view.heading.proposal.startswith(PAYLOAD)
    titles = [place.title for place in all_places(view)]
    assert sum(PAYLOAD in title for title in titles) > len(titles) / 2
    for address in LOOKED_AT:
        details = view.details(address)
        assert any(PAYLOAD in text for text in (*details.notes, details.title, *(own.text for own in details.figures)))


@pytest.mark.slow
async def test_nothing_acts_on_any_screen(hostile_folder: Path, tmp_path: Path) -> None:
    """From the sheet through details, findings, explanation and variants the text is text."""
    app = BomtuiApp(workplace(tmp_path), str(hostile_folder), FULL)
    async with app.run_test(size=LARGE) as pilot:
        await check_sheet_up(pilot)
        check_plain(app, PAYLOAD)
        await pilot.press("plus", "d", "down", "down")
        await check_comes_true(
            pilot, lambda: any("heat" in pane.plain for pane in app.screen.query(TextPane)), "details are up"
        )
        check_plain(app, PAYLOAD)
        await pilot.press("t", "end")
        await pilot.pause()
        check_plain(app, PAYLOAD)
        await pilot.press("t", "f", "x")
        await check_seen(pilot, "Where it comes from")
        await check_comes_true(
            pilot, lambda: any(" = " in pane.plain for pane in app.screen.query(TextPane)), "the steps are up"
        )
        check_plain(app, PAYLOAD)
        await pilot.press("escape", "l")
        await check_comes_true(pilot, lambda: isinstance(app.screen, FindingsScreen), "the findings are up")
        check_plain(app, "")
        await pilot.press("escape", "v")
        await check_comes_true(pilot, lambda: isinstance(app.screen, VariantsScreen), "the variants are up")
        await pilot.pause()
        check_plain(app, PAYLOAD)
        for word, key in (("L24", "p"), ("U5", "s"), ("ZCEN", "m")):
            await pilot.press("escape", "slash", *word, "enter", key)
            await check_comes_true(pilot, lambda: isinstance(app.screen, OptionsScreen), "candidates are asked for")
            await check_comes_true(pilot, lambda: bool(sheet_of(app).rows), "there are some")
            await pilot.pause()
            check_plain(app, "")


@pytest.mark.slow
async def test_nothing_acts_where_it_is_edited(hostile_folder: Path, tmp_path: Path) -> None:
    """On fields, lists, in the line to type over and among choices the text is text."""
    app = BomtuiApp(workplace(tmp_path), str(hostile_folder), FULL)
    async with app.run_test(size=LARGE) as pilot:
        await check_sheet_up(pilot)
        for word in ("L24", "U5 ", "ZCEN"):
            await pilot.press("slash", *("space" if letter == " " else letter for letter in word), "enter", "e")
            await check_comes_true(pilot, lambda: isinstance(app.screen, FieldsScreen), "the fields are up")
            await pilot.pause()
            check_plain(app, PAYLOAD)
            sheet_of(app).reveal(next(row.key for row in sheet_of(app).rows if row.cells[0] == "note"))
            await pilot.press("e")
            await pilot.pause()
            check_plain(app, PAYLOAD)
            await pilot.press("escape", "escape")
        await pilot.press("i", "plus")
        for _ in range(8):
            await pilot.press("pagedown")
            await pilot.pause()
            check_plain(app, "")
        sheet_of(app).reveal("vehicle.battery_zone")
        await pilot.press("e")
        await check_comes_true(pilot, lambda: isinstance(app.screen, ChoiceScreen), "the choices are up")
        await pilot.pause()
        check_plain(app, PAYLOAD)


@pytest.mark.slow
async def test_the_list_of_the_next_start_is_plain_too(hostile_folder: Path, tmp_path: Path) -> None:
    """A title that means harm is remembered and shown as text."""
    opened(hostile_folder, tmp_path)
    app = BomtuiApp(workplace(tmp_path), "", FULL)
    async with app.run_test(size=LARGE) as pilot:
        await check_comes_true(pilot, lambda: bool(sheet_of(app).rows), "the list is up")
        await pilot.pause()
        check_plain(app, PAYLOAD)
