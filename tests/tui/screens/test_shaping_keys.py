"""Shaping and placing from the line under the cursor: which key asks for which edit, where, and what it says else."""

import asyncio
from dataclasses import replace

import pytest

from bomtui.edit.edits.item import RemoveRail
from bomtui.model.proposal import Info, Proposal, Snapshot
from bomtui.model.vehicle import Vehicle
from bomtui.tui.app import BomtuiApp
from bomtui.tui.outcomes import Outcome
from bomtui.tui.screens.choice.screen import ChoiceScreen
from bomtui.tui.screens.options.screen import OptionsScreen
from bomtui.tui.screens.rollup.screen import RollupScreen
from tests.tui.driving import (
    SMALL,
    app_with,
    check_comes_true,
    check_gone,
    check_seen,
    check_sheet_up,
    closed_gate,
    cursor_name,
    screen_text,
    working_screen,
)
from tests.tui.fake import FakeProposal, FakeWorkplace, rollup_view
from tests.tui.screens.test_options_screen import small_proposal

# Whole screens driven key by key: together they take more than a minute.
pytestmark = pytest.mark.slow


def fakes() -> tuple[BomtuiApp, FakeProposal]:
    """The app over the small proposal."""
    proposal = small_proposal()
    return app_with(FakeWorkplace(proposal)), proposal


@pytest.mark.parametrize(
    ("name", "keys", "asked"),
    [
        ("whole", ("a", "enter", *"NEW", "enter", "down", "enter", *"box", "enter"), "add module NEW"),
        ("whole", ("a", "enter", *"NEW", "enter", "end", "up", "enter", *"Z9", "enter", "enter"), "add module NEW"),
        ("whole", ("a", "end", "enter", *"SUB", "enter", "enter"), "add subsystem SUB"),
        ("REAR", ("a", "down", "down", "enter", *"V3", "enter", *"3.3", "enter", "enter"), "add rail V3 to REAR"),
        ("U3", ("a", "end", "up", "enter", "end", "enter", "end", "enter"), "set supply vio of REAR.U3"),
        (
            "LIGHT",
            ("t", "slash", *"LIGHT", "enter", "a", "enter", *"L9", "enter", *"x", "enter", "enter"),
            "add load L9",
        ),
        ("L1", ("a", "enter", *"L9", "enter", "enter", "down", "enter"), "add load L9"),
        ("REAR", ("delete",), "remove module REAR"),
        ("rail", ("delete",), "remove rail V5 from REAR"),
        ("rail", ("r", "ctrl+u", *"VCC", "enter"), "rename rail V5 of REAR to VCC"),
        ("rail", ("a", "enter", *"V3", "enter", *"3.3", "enter", "enter"), "add rail V3 to REAR"),
        ("U3", ("delete",), "remove REAR.U3"),
        ("board", ("delete",), "remove item board from REAR"),
        ("L1", ("delete",), "remove load L1"),
        ("REAR", ("r", "ctrl+u", *"TAIL", "enter"), "rename module REAR to TAIL"),
        ("U3", ("r", "ctrl+u", *"U33", "enter"), "rename REAR.U3 to U33"),
        ("L1", ("r", "0", "enter"), "rename load L1 to L10"),
        ("U3", ("c", *"COPY", "enter", "enter"), "copy module REAR to COPY"),
        ("REAR", ("k",), "take off all loads of module REAR: 3"),
        ("U3", ("k",), "take off all loads of REAR.U3: 2"),
        ("L1", ("k",), "take off L1"),
        ("L1", ("P",), "unpin L1"),
        ("L2", ("P",), "pin L2"),
        ("REAR", ("P",), "pin L1, L2 and L4"),
        ("L2", ("j", "down", "enter"), "join parallel L2"),
    ],
)
async def test_a_burst_of_keys_is_one_step(name: str, keys: tuple[str, ...], asked: str) -> None:
    """What is typed behind a key lands in what the key opens, and the step is the one that is meant."""
    app, proposal = fakes()
    async with app.run_test(size=SMALL) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("slash", *name, "enter", *keys)
        await check_comes_true(pilot, lambda: proposal.asked == [asked], f"{asked} in {proposal.asked}")
        await check_seen(pilot, "Done: all of it.")


@pytest.mark.parametrize(
    ("name", "keys", "asked"),
    [
        ("L1", ("p",), "place one L1"),
        ("U3", ("s",), "part one REAR U3"),
        ("board", ("s",), "part one REAR board"),
        ("REAR", ("m",), "zone one REAR"),
        ("REAR", ("a", "enter", "down", "enter"), "part one REAR high_side"),
        ("REAR", ("a", "down", "enter", "end", "home", "down", "enter", "ctrl+u", *"2.5", "enter"),
         "part one REAR connector 2.5"),
    ],
)  # fmt: skip
async def test_a_key_leads_to_its_candidates(name: str, keys: tuple[str, ...], asked: str) -> None:
    """Places, parts and zones are asked for of the line under the cursor, and taken as one step."""
    app, proposal = fakes()
    async with app.run_test(size=SMALL) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("slash", *name, "enter", *keys)
        await check_seen(pilot, "rejected: 2")
        assert proposal.candidates.asked == [asked]
        await pilot.press("enter")
        await check_seen(pilot, "Done: all of it.")
        assert len(proposal.asked) == 1


@pytest.mark.parametrize(
    ("name", "key", "sentence"),
    [
        ("whole", "delete", "Nothing to remove here: go to the line"),
        ("whole", "r", "This line has no id to change"),
        ("whole", "c", "c copies a module"),
        ("L1", "m", "m moves a module"),
        ("L1", "s", "s swaps the part of a device or item"),
        ("REAR", "p", "p places a load"),
        ("whole", "k", "Go to the line of a load, device, module or subsystem"),
        ("REAR", "j", "j joins the channels of a placed load"),
        ("whole", "P", "Go to the line of a load"),
    ],
)
async def test_where_a_key_has_nothing_to_do_it_says_what_it_is_for(name: str, key: str, sentence: str) -> None:
    """Nothing is changed, and the sentence says where the key works."""
    app, proposal = fakes()
    async with app.run_test(size=SMALL) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("slash", *name, "enter", key)
        await check_seen(pilot, sentence)
        assert proposal.asked == []


async def test_an_id_that_cannot_be_given_is_asked_again() -> None:
    """The sentence says why, what was typed stays to be mended, and escape leaves it."""
    app, proposal = fakes()
    async with app.run_test(size=SMALL) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("a", "enter", *"rear", "enter")
        await check_seen(pilot, "there is a module REAR already")
        await check_seen(pilot, "Id of the new module: rear")
        await pilot.press("2", "enter", "escape")
        await check_seen(pilot, "Nothing was added.")
        await pilot.press("a", "enter", "enter")
        await check_seen(pilot, "Nothing was changed.")
        assert proposal.asked == []


async def test_a_line_found_right_behind_a_step_is_meant_by_the_next_key() -> None:
    """While a step is being computed somebody may go to another line: the next key is about that one, and it stays."""
    app, proposal = fakes()
    proposal.outcome = Outcome("done", "Done: all of it.", "L1")
    async with app.run_test(size=SMALL) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("slash", *"L1", "enter")
        with closed_gate(proposal):
            await pilot.press("k")
            proposal.outcome = Outcome("nothing", "That changes nothing.")
            await pilot.press("slash", *"L2", "enter", "P")
        assert proposal.asked == ["take off L1", "pin L2"]
        view = working_screen(app).view
        await check_comes_true(pilot, lambda: working_screen(app).view is not view, "the step is computed")
        assert cursor_name(app) == "L2 lamp"


async def test_a_key_behind_a_step_waits_for_its_line() -> None:
    """A step leads to another line: a key that goes on from there acts only once the line is shown; undo need not."""
    app, proposal = fakes()
    proposal.outcome = Outcome("done", "Done: all of it.", "L2")
    async with app.run_test(size=SMALL) as pilot:
        await check_sheet_up(pilot)
        with closed_gate(proposal):
            await pilot.press("u", "u")
            assert proposal.asked == ["undo", "undo"]
            burst = asyncio.create_task(pilot.press("up", "P"))
            await pilot.pause(0.05)
            assert cursor_name(app) == "Whole vehicle"
        await burst
        await check_comes_true(pilot, lambda: proposal.asked[2:] == ["unpin L1"], f"it is done: {proposal.asked}")


async def test_what_goes_along_is_asked() -> None:
    """A removal that takes others along is done only when that is agreed to."""
    app, proposal = fakes()
    retry = RemoveRail(variant="one", module_id="REAR", rail_id="V5", take_along=True)
    proposal.outcome = Outcome("refused", "2 supply inputs would be left without the rail V5.", retry=retry)
    async with app.run_test(size=SMALL) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("slash", *"U3", "enter", "delete")
        await check_comes_true(pilot, lambda: isinstance(app.screen, ChoiceScreen), "it is asked")
        assert "2 supply inputs" in screen_text(app)
        await pilot.press("enter")
        await check_seen(pilot, "Nothing was changed.")
        assert len(proposal.asked) == 1


async def test_a_proposal_of_nothing_says_what_to_do_first() -> None:
    """Without variant, subsystem or module each key says which comes first."""
    empty = Snapshot(proposal=Proposal(proposal=Info(name="new"), vehicle=Vehicle()), parts={})
    view = rollup_view(modules=(), subsystems=tuple, findings=())
    proposal = FakeProposal(replace(view, heading=replace(view.heading, variant="")), snapshot=empty)
    proposal.variant_choices = ()
    app = app_with(FakeWorkplace(proposal))
    async with app.run_test(size=SMALL) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("a", "enter")
        await check_seen(pilot, "No variant yet that modules could stand in: v lists the variants")
        await pilot.press("a", "down", "enter")
        await check_seen(pilot, "A load belongs to a subsystem: a adds one first.")
        await pilot.press("a", "end", "enter", *"EXT", "enter", *"lights", "enter")
        await check_comes_true(pilot, lambda: proposal.asked == ["add subsystem EXT"], "it is added")


async def test_the_names_of_choices_are_whole_and_the_note_of_the_cursor_too() -> None:
    """What tells the ways to leave apart is not cut in the smallest usual terminal; a long note stands below."""
    app, proposal = fakes()
    proposal.is_unsaved = True
    async with app.run_test(size=SMALL) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("ctrl+q", "down", "down")
        await check_seen(pilot, "leave, keep the steps")
        await check_seen(pilot, "leave, give up the steps")
        await check_seen(pilot, " not in the file; the next opening takes them up, undo included\n")
        await pilot.press("down")
        await check_gone(pilot, "undo included")


async def test_leaving_any_question_changes_nothing() -> None:
    """Escape at every step goes back to the sheet with the proposal as it was."""
    app, proposal = fakes()
    async with app.run_test(size=SMALL) as pilot:
        await check_sheet_up(pilot)
        for keys in (
            ("a", "escape"),
            ("a", "enter", "escape"),
            ("a", "enter", *"NEW", "enter", "escape"),
            ("a", "enter", *"NEW", "enter", "enter", "escape"),
            ("down", "m", "escape"),
            ("r", "escape"),
            ("up",),
        ):
            await pilot.press(*keys)
            await check_comes_true(pilot, lambda: isinstance(app.screen, RollupScreen), "the sheet is back")
            assert not isinstance(app.screen, OptionsScreen)
        assert proposal.asked == []
