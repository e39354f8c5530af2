"""Fields, lists, variants and acceptances, driven by keys over constants: what is asked of the proposal."""

import asyncio
from dataclasses import replace

import pytest
from textual.pilot import Pilot
from textual.screen import Screen
from textual.widgets import Input

from bomtui.tui.field_view import FieldHelp
from bomtui.tui.outcomes import Outcome
from bomtui.tui.screens.choice.screen import ChoiceScreen
from bomtui.tui.screens.fields.screen import FieldsScreen
from bomtui.tui.screens.findings.screen import FindingsScreen
from bomtui.tui.screens.lists.screen import ListsScreen
from bomtui.tui.screens.rollup.screen import RollupScreen
from bomtui.tui.screens.variants.screen import VariantsScreen
from bomtui.tui.view import Finding
from tests.tui.driving import (
    LARGE,
    SMALL,
    app_with,
    check_comes_true,
    check_gone,
    check_seen,
    check_sheet_up,
    closed_gate,
    cursor_name,
    screen_text,
)
from tests.tui.fake import FINDINGS, FakeProposal, FakeWorkplace, fake_workplace, rollup_view

# Whole screens driven key by key: together they take more than a minute.
pytestmark = pytest.mark.slow

SIZES = pytest.mark.parametrize("size", [SMALL, LARGE], ids=["80x24", "120x40"])
REFUSED = Outcome("refused", "rated power of L24: expected a power (W), found 55 V.")
TO_THE_LOAD = ("slash", *"L24", "enter")


async def open_fields(pilot: Pilot[None]) -> None:
    """Open the fields of a load from the working screen, in one burst."""
    await check_sheet_up(pilot)
    await pilot.press(*TO_THE_LOAD, "e")
    await check_comes_true(pilot, lambda: isinstance(pilot.app.screen, FieldsScreen), "the fields are up")
    await check_seen(pilot, "rated power")


@SIZES
async def test_each_field_has_a_row_with_its_value_and_what_it_takes(size: tuple[int, int]) -> None:
    """Unknowns and defaults say so, the row under the cursor explains itself, and the title says what is saved."""
    app = app_with(fake_workplace())
    async with app.run_test(size=size) as pilot:
        await open_fields(pilot)
        text = screen_text(app)
        for part in (
            "Load L24 work lamp rear, 55 W", "saved", "rated power", "unknown", "no  (default)", "1 of 2 given",
            "name of L24: power at the rating voltage. Takes a power (W).", "e edit", "delete clear", "? keys",
        ):  # fmt: skip
            assert part in text, part
        assert max(map(len, text.splitlines())) <= size[0]
        assert len(text.splitlines()) == size[1]
        await pilot.press("escape")
        await check_comes_true(pilot, lambda: isinstance(app.screen, RollupScreen), "the sheet is back")


async def test_what_was_said_of_an_older_step_does_not_come_back() -> None:
    """A step on another screen makes the sentence of the one before it untrue: back on the sheet it is gone."""
    app = app_with(fake_workplace())
    async with app.run_test(size=SMALL) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("u")
        await check_seen(pilot, "Done: all of it.")
        await pilot.press("i", "escape")
        await check_comes_true(pilot, lambda: isinstance(app.screen, RollupScreen), "the sheet is back")
        await check_seen(pilot, "Done: all of it.")
        await pilot.press("i", "u", "escape")
        await check_comes_true(pilot, lambda: isinstance(app.screen, RollupScreen), "the sheet is back")
        await check_gone(pilot, "Done: all of it.")


async def test_a_burst_from_the_sheet_to_a_typed_value_lands_where_it_leads() -> None:
    """Keys typed ahead find the load, open its fields, go down, type over and confirm, without any wait."""
    workplace = fake_workplace()
    app = app_with(workplace)
    async with app.run_test(size=SMALL) as pilot:
        await check_sheet_up(pilot)
        await pilot.press(*TO_THE_LOAD, "e", "down", "e", *"55", "space", "W", "enter", "down", "e", "up", "enter")
        assert workplace.proposal.asked == ["loads.L24.rated_power = 55 W", "loads.L24.zone = Z1"]
        assert cursor_name(app) == "zone"
        await check_seen(pilot, "not saved")


async def test_a_wrong_text_stays_with_the_sentence_until_it_is_mended() -> None:
    """Nothing that was typed is lost where it is refused; escape leaves the field as it was."""
    workplace = fake_workplace()
    workplace.proposal.outcome = REFUSED
    app = app_with(workplace)
    async with app.run_test(size=SMALL) as pilot:
        await open_fields(pilot)
        await pilot.press("down", "f2", *"55", "space", "V", "enter")
        assert isinstance(app.focused, Input)
        assert app.focused.value == "55 V"
        await check_seen(pilot, "expected a power (W), found 55 V.")
        workplace.proposal.outcome = Outcome("done", "Done: set rated power of L24.", "L24", "loads.L24.rated_power")
        await pilot.press("backspace", "W", "enter")
        assert workplace.proposal.asked == ["loads.L24.rated_power = 55 V", "loads.L24.rated_power = 55 W"]
        await check_seen(pilot, "Done: set rated power of L24.")
        assert cursor_name(app) == "rated power"
        workplace.proposal.outcome = REFUSED
        await pilot.press("enter", "x", "enter", "escape")
        assert not isinstance(app.focused, Input)


async def test_what_is_confirmed_unchanged_or_left_changes_nothing() -> None:
    """Enter on the text as it stood, and escape, ask nothing of the proposal."""
    workplace = fake_workplace()
    app = app_with(workplace)
    async with app.run_test(size=SMALL) as pilot:
        await open_fields(pilot)
        await pilot.press("e", "enter", "e", "x", "escape", "down", "down", "e", "escape")
        await check_comes_true(pilot, lambda: isinstance(app.screen, FieldsScreen), "the fields are back")
        assert workplace.proposal.asked == []


async def test_choices_flags_and_unknowns_have_their_own_ways() -> None:
    """A choice is listed with the present one marked, a flag turns over, delete clears, a list says why it cannot."""
    workplace = fake_workplace()
    app = app_with(workplace)
    async with app.run_test(size=SMALL) as pilot:
        await open_fields(pilot)
        await pilot.press("down", "down", "enter")
        assert isinstance(app.screen, ChoiceScreen)
        await check_seen(pilot, "rear, as it is now")
        assert cursor_name(app) == "Z2"
        await pilot.press("home", "enter")
        await pilot.press("down", "e", "delete", "down", "e")
        assert workplace.proposal.asked == [
            "clear zone of L24",
            "loads.L24.needed_in_crank = true",
            "clear needed in crank of L24",
        ]
        await check_seen(pilot, "edit it in the file")
        await pilot.press("down", "e", "down", "down", "e", "ctrl+u", "enter")
        assert workplace.proposal.asked[3:] == ["loads.L24.time_share.RUN = "]


@SIZES
async def test_the_lists_of_the_vehicle_open_by_one_key(size: tuple[int, int]) -> None:
    """They stand behind i, and behind e on the whole vehicle; a line without fields says so."""
    workplace = fake_workplace()
    app = app_with(workplace)
    async with app.run_test(size=size) as pilot:
        await check_sheet_up(pilot)
        for key in ("i", "e"):
            await pilot.press(key)
            await check_comes_true(pilot, lambda: isinstance(app.screen, ListsScreen), "the lists are up")
            await check_seen(pilot, "a add")
            await pilot.press("a", "r", "escape")
            await check_comes_true(pilot, lambda: isinstance(app.screen, RollupScreen), "the sheet is back")
        await pilot.press("down", "e")
        await check_seen(pilot, "This line has no fields of its own")
        assert workplace.proposal.asked == []


@pytest.mark.parametrize(("key", "screen"), [("i", ListsScreen), ("v", VariantsScreen), ("l", FindingsScreen)])
async def test_undo_save_and_save_as_work_above_the_sheet(key: str, screen: type[Screen[object]]) -> None:
    """The same keys keep the work on the screens of fields, variants and findings, and the title follows."""
    workplace = fake_workplace()
    app = app_with(workplace)
    async with app.run_test(size=LARGE) as pilot:
        await check_sheet_up(pilot)
        await pilot.press(key)
        await check_comes_true(pilot, lambda: isinstance(app.screen, screen), "the screen is up")
        await pilot.press("u", "ctrl+r")
        await check_seen(pilot, "not saved")
        await pilot.press("ctrl+s")
        await check_gone(pilot, "not saved")
        await pilot.press("S", "ctrl+u", *"other.toml", "enter")
        await check_seen(pilot, "Wrote 58 lines to other.toml.")
        assert workplace.proposal.asked == ["undo", "redo", "save"]


async def test_fields_of_what_is_gone_say_so() -> None:
    """Where undo takes the record away nothing of it is left to edit, and escape leads back."""
    workplace = fake_workplace()
    app = app_with(workplace)
    async with app.run_test(size=SMALL) as pilot:
        await open_fields(pilot)
        workplace.proposal.gone.add("loads.L24")
        await pilot.press("u", "e", "delete")
        await check_seen(pilot, "no longer part of the proposal")
        assert workplace.proposal.asked == ["undo"]
        await pilot.press("escape")
        await check_comes_true(pilot, lambda: isinstance(app.screen, RollupScreen), "the sheet is back")


@SIZES
async def test_variants_are_begun_copied_renamed_and_deleted(size: tuple[int, int]) -> None:
    """Each asks for the id it needs, in a burst too; an id that is refused stays to be mended."""
    workplace = fake_workplace()
    app = app_with(workplace)
    async with app.run_test(size=size) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("v", "c", *"night", "enter", "a", *"empty", "enter", "r", *"2", "enter", "delete")
        assert workplace.proposal.asked == [
            "copy variant zone to night",
            "add variant empty",
            "rename variant zone to zone2",
            "delete variant zone",
        ]
        workplace.proposal.outcome = Outcome("refused", "there is a variant zone already.")
        await pilot.press("c", *"zone", "enter")
        await check_seen(pilot, "there is a variant zone already.")
        assert isinstance(app.focused, Input)
        assert app.focused.value == "zone"


async def test_without_a_variant_the_keys_lead_on() -> None:
    """The empty sheet names the key, and that key leads to a first variant."""
    proposal = FakeProposal(rollup_view(modules=(), findings=()), variant_choices=())
    app = app_with(FakeWorkplace(proposal))
    async with app.run_test(size=SMALL) as pilot:
        await check_seen(pilot, "No variant yet: v lists the variants, and a begins one there.")
        await pilot.press("v")
        await check_seen(pilot, "No variant yet: a begins one without modules.")
        await pilot.press("c", "r", "delete", "v", "a", *"V1", "enter")
        assert proposal.asked == ["add variant V1"]


@SIZES
async def test_a_finding_is_accepted_with_reason_and_name(size: tuple[int, int]) -> None:
    """Reason and name are asked in turn; without a reason nothing is done; what no rule found cannot be accepted."""
    findings = (replace(FINDINGS[0], can_be_accepted=True), *FINDINGS[1:])
    proposal = FakeProposal(rollup_view(findings=findings))
    app = app_with(FakeWorkplace(proposal))
    async with app.run_test(size=size) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("l", "A", *"known", "enter", *"M.E.", "enter")
        assert proposal.asked == ["accept heat.junction at 1"]
        await pilot.press("A", "enter")
        await check_seen(pilot, "A finding is accepted with a reason")
        await pilot.press("end", "A")
        await check_seen(pilot, "No rule has found this")
        await pilot.press("W")
        await check_seen(pilot, "Nobody has accepted it")
        assert len(proposal.asked) == 1


async def test_a_key_behind_an_acceptance_is_about_the_finding_as_it_is_then() -> None:
    """Withdrawn right behind its acceptance: the key waits until the acceptance is shown, and withdraws it."""
    finding = replace(FINDINGS[0], can_be_accepted=True)
    proposal = FakeProposal(rollup_view(findings=(finding,)))
    app = app_with(FakeWorkplace(proposal))
    async with app.run_test(size=SMALL) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("l")
        with closed_gate(proposal):
            await pilot.press("A", *"known", "enter", *"M.E.", "enter")
            proposal.base = rollup_view(findings=(replace(finding, accepted_id="A01"),))
            burst = asyncio.create_task(pilot.press("W"))
            await pilot.pause(0.05)
            assert len(proposal.asked) == 1
        await burst
        await check_comes_true(pilot, lambda: proposal.asked[1:] == ["withdraw acceptance A01"], "it is withdrawn")


async def test_a_refused_acceptance_asks_for_the_name_again() -> None:
    """The reason is kept while the name is mended."""
    proposal = FakeProposal(rollup_view(findings=(replace(FINDINGS[0], can_be_accepted=True),)))
    proposal.outcome = Outcome("refused", "the name of who accepts it is missing.")
    app = app_with(FakeWorkplace(proposal))
    async with app.run_test(size=SMALL) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("l", "A", *"known", "enter", "enter")
        await check_seen(pilot, "Who accepts it:")
        await check_seen(pilot, "is missing.")
        await pilot.press(*"M.E.", "enter")
        assert proposal.asked == ["accept heat.junction at 1"] * 2


async def test_an_acceptance_and_a_lapsed_one_are_told_and_can_be_withdrawn() -> None:
    """The list says which is which in words, acceptances without a finding behind the rest; each can be withdrawn."""
    findings = (
        replace(FINDINGS[0], can_be_accepted=True, status="accepted by M.E. 2026-03-02: known", accepted_id="A07"),
        replace(FINDINGS[1], can_be_accepted=True, lapsed="accepted by M.E. at other numbers (120 against 127): known",
                lapsed_id="A08"),
    )  # fmt: skip
    settled = Finding("accepted A09", "ZREA", "note", "not found now", "pins.short", "nothing of it is found any more",
                      status="accepted by M.E.: known", accepted_id="A09")  # fmt: skip
    proposal = FakeProposal(rollup_view(findings=findings, settled=(settled,)))
    app = app_with(FakeWorkplace(proposal))
    async with app.run_test(size=SMALL) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("l")
        await check_seen(pilot, "error, accepted")
        await check_seen(pilot, "accepted by M.E. 2026-03-02: known")
        await pilot.press("A")
        await check_seen(pilot, "It is accepted already: W withdraws that.")
        await pilot.press("W")
        assert proposal.asked == ["withdraw acceptance A07"]
        await pilot.press("down")
        await check_seen(pilot, "warning, lapsed")
        await check_seen(pilot, "at other numbers (120 against 127): known")
        await pilot.press("W")
        assert proposal.asked[1:] == ["withdraw acceptance A08"]
        await check_seen(pilot, "Findings 2, 1 acceptance without a finding")
        await pilot.press("down")
        await check_seen(pilot, "not found now")
        await pilot.press("A")
        await check_seen(pilot, "It is accepted already: W withdraws that.")
        await pilot.press("W")
        assert proposal.asked[2:] == ["withdraw acceptance A09"]


async def test_a_list_is_asked_for_with_an_example() -> None:
    """Where several texts are typed on one line, the question shows how."""
    workplace = fake_workplace()
    workplace.proposal.field_note = FieldHelp("", "faults that must be seen", "texts", example="short; open")
    app = app_with(workplace)
    async with app.run_test(size=SMALL) as pilot:
        await check_sheet_up(pilot)
        await pilot.press(*TO_THE_LOAD, "e", "e")
        await check_seen(pilot, "name of L24 (such as short; open):")
