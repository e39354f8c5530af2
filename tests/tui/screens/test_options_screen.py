"""Choosing by the effect: what stands in the list, what is computed when, and what is taken."""

from collections.abc import Callable
from dataclasses import replace

import pytest
from textual.pilot import Pilot

from bomtui.tui.app import BomtuiApp
from bomtui.tui.candidates import Candidate
from bomtui.tui.glyphs import ASCII, FULL
from bomtui.tui.screens.choice.screen import ChoiceScreen
from bomtui.tui.screens.options.rows import (
    MOST_NEED_LINES,
    REJECTED_KEY,
    candidate_lines,
    candidate_rows,
    found,
    listing_text,
    need_lines,
)
from bomtui.tui.screens.options.screen import OptionsScreen
from bomtui.tui.screens.rollup.screen import RollupScreen
from bomtui.tui.view import Cells, Place
from bomtui.tui.widgets.sheet import Sheet
from bomtui.tui.widgets.text_pane import TextPane
from tests.edit.small import small
from tests.tui.driving import (
    LARGE,
    SMALL,
    WIDE,
    app_with,
    check_comes_true,
    check_gone,
    check_seen,
    check_sheet_up,
    screen_text,
)
from tests.tui.fake import FakeProposal, FakeWorkplace, rollup_view
from tests.tui.fake_candidates import FakeCandidates

SIZES = pytest.mark.parametrize("size", [SMALL, LARGE, WIDE], ids=["80x24", "120x40", "170x45"])


def small_proposal() -> FakeProposal:
    """The small proposal behind a sheet with its lines: module, device, loads, item, subsystem."""
    loads = (Place("L1", "L1 lamp", Cells()), Place("L2", "L2 lamp", Cells()))
    device = Place("REAR.U3", "U3 hs4", Cells(), children=loads)
    item = Place("REAR.item board", "board, 1.8 dm2", Cells())
    rail = Place("REAR.rail V5", "rail V5, 5 V from U2", Cells())
    modules = (Place("REAR", "REAR rear", Cells(), children=(device, rail, item)),)
    owned = (*loads, Place("L3", "L3 sensor", Cells()))
    subsystems = (Place("LIGHT", "LIGHT lights", Cells(), children=owned), Place("FREE", "FREE", Cells()))
    view = rollup_view(modules=modules, subsystems=lambda: subsystems)
    proposal = FakeProposal(replace(view, heading=replace(view.heading, variant="one")), snapshot=small())
    proposal.variant_choices = (replace(proposal.variant_choices[0], id="one"),)
    return proposal


def fakes() -> tuple[BomtuiApp, FakeProposal, FakeCandidates]:
    """The app over the small proposal, with the proposal and its candidates."""
    proposal = small_proposal()
    return app_with(FakeWorkplace(proposal)), proposal, proposal.candidates


async def open_places(pilot: Pilot[None], load: str = "L1") -> OptionsScreen:
    """Open the places of a load, and wait for them."""
    await check_sheet_up(pilot)
    await pilot.press("slash", *load, "enter", "p")
    await check_comes_true(pilot, lambda: isinstance(pilot.app.screen, OptionsScreen), "the candidates are up")
    await check_comes_true(pilot, lambda: bool(pilot.app.screen.query_one(Sheet).rows), "there are some")
    screen = pilot.app.screen
    assert isinstance(screen, OptionsScreen)
    return screen


def pane(app: BomtuiApp) -> str:
    """What stands about the candidate under the cursor."""
    return app.screen.query_one("#effect", TextPane).plain


def candidates(change: Callable[[Candidate], Candidate] = lambda own: own) -> tuple[Candidate, ...]:
    """The usual list of the fake, changed."""
    return tuple(map(change, FakeCandidates(lambda: 1).places("one", "L1").listed))


@SIZES
async def test_need_list_state_and_effect_are_on_the_screen(size: tuple[int, int]) -> None:
    """At every usual size: the need, each candidate with its state in words, the fold of the rejected, now -> after."""
    app, _, _ = fakes()
    async with app.run_test(size=size) as pilot:
        await open_places(pilot)
        await check_seen(pilot, "641.1634 EUR -> 642.2344 EUR   +1.0710 EUR")
        text = screen_text(app)
        for part in (
            "Where is L1 served?", "driven HS, served by nothing yet", "ZREA.U3.1", "fits", "undecided", "rejected: 2",
            "3 to choose from, 2 rejected", "1 place is costed", "esc back",
        ):  # fmt: skip
            assert part in text, part
        assert "ZREA.U6.1" not in text
        assert max(map(len, text.splitlines())) <= size[0]


async def test_enter_takes_the_candidate_as_one_step() -> None:
    """The edit of the candidate is done once, and the sheet is back."""
    app, proposal, _ = fakes()
    async with app.run_test(size=SMALL) as pilot:
        await open_places(pilot)
        await pilot.press("down", "enter")
        await check_comes_true(pilot, lambda: isinstance(app.screen, RollupScreen), "the sheet is back")
        await check_seen(pilot, "Done: all of it.")
        assert proposal.asked == ["place L24 on ZREA.U4.1"]


async def test_escape_changes_nothing() -> None:
    """The sheet is back, and nothing was asked of the proposal."""
    app, proposal, _ = fakes()
    async with app.run_test(size=SMALL) as pilot:
        await open_places(pilot)
        await pilot.press("escape")
        await check_comes_true(pilot, lambda: isinstance(app.screen, RollupScreen), "the sheet is back")
        assert proposal.asked == []


async def test_what_is_rejected_is_taken_only_when_said_twice() -> None:
    """It says its two numbers first; leaving it goes back to the list, what has no place cannot be taken at all."""
    app, proposal, _ = fakes()
    async with app.run_test(size=SMALL) as pilot:
        await open_places(pilot)
        await pilot.press("end", "right", "right", "enter")
        await check_comes_true(pilot, lambda: isinstance(app.screen, ChoiceScreen), "it is asked")
        assert "7.933 A on a channel for 5.2 A" in screen_text(app)
        await pilot.press("enter")
        await check_seen(pilot, "Nothing was taken.")
        assert isinstance(app.screen, OptionsScreen)
        await pilot.press("down", "enter")
        await check_seen(pilot, "ZREA.U7 (hs24-4x100) cannot be taken: 0 channels free, 1 needed.")
        # A burst: the answer to the question is typed ahead.
        await pilot.press("up", "enter", "down", "enter")
        await check_comes_true(pilot, lambda: isinstance(app.screen, RollupScreen), "the sheet is back")
        assert proposal.asked == ["place L24 on ZREA.U6.1"]


async def test_an_effect_is_computed_when_the_cursor_rests_and_nothing_moves_under_it() -> None:
    """What is not costed says so, then has its figures in its own row; the order stays."""
    app, _, source = fakes()
    source.cost_gate.clear()
    async with app.run_test(size=LARGE) as pilot:
        try:
            screen = await open_places(pilot)
            keys = [row.key for row in screen.query_one(Sheet).rows]
            await pilot.press("down")
            await check_comes_true(pilot, lambda: "is being computed" in pane(app), "it says that it is computed")
        finally:
            source.cost_gate.set()
        await check_seen(pilot, "+9.8765")
        await check_comes_true(pilot, lambda: "now -> after" in pane(app), "the effect is there")
        sheet = screen.query_one(Sheet)
        assert [row.key for row in sheet.rows] == keys
        assert sheet.cursor_row is not None
        assert sheet.cursor_row.key == "b"
        assert source.asked.count("cost b") == 1


async def test_a_list_of_an_older_snapshot_is_dropped() -> None:
    """Where the proposal has moved on meanwhile, the list is asked for again."""
    app, proposal, source = fakes()
    source.numbers = [proposal.snapshot_number - 1]
    async with app.run_test(size=SMALL) as pilot:
        await open_places(pilot)
        assert source.asked == ["place one L1", "place one L1"]


async def test_while_it_is_computed_that_is_said_and_enter_takes_nothing() -> None:
    """Nothing is taken unseen."""
    app, proposal, source = fakes()
    source.gate.clear()
    async with app.run_test(size=SMALL) as pilot:
        try:
            await check_sheet_up(pilot)
            await pilot.press("slash", *"L1", "enter", "p", "enter", "enter")
            await check_seen(pilot, "Computing what each of them would cost.")
            assert proposal.asked == []
        finally:
            source.gate.set()
        await check_seen(pilot, "rejected: 2")


@pytest.mark.slow
async def test_a_text_is_found_in_the_list() -> None:
    """Only what holds it stays, the rejected open; escape shows all again and goes back only then."""
    app, _, _ = fakes()
    async with app.run_test(size=SMALL) as pilot:
        await open_places(pilot)
        await pilot.press("slash", *"8x220", "enter")
        await check_seen(pilot, "ZREA.U6.1")
        text = screen_text(app)
        assert "ZREA.U3.1" not in text
        assert "0 to choose from, 1 rejected; 4 hidden by what is looked for" in text
        await pilot.press("slash", *"nowhere", "enter")
        await check_seen(pilot, "Nothing holds that text")
        await pilot.press("escape")
        await check_seen(pilot, "ZREA.U3.1")
        assert isinstance(app.screen, OptionsScreen)
        await pilot.press("escape")
        await check_comes_true(pilot, lambda: isinstance(app.screen, RollupScreen), "the sheet is back")


async def test_an_empty_list_says_what_to_do() -> None:
    """Its reason, what could not be asked, and the way back."""
    app, _, source = fakes()
    source.listed, source.text = (), "The catalog cannot be asked, only frozen parts are offered: it is damaged."
    async with app.run_test(size=SMALL) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("slash", *"L1", "enter", "p")
        await check_seen(pilot, "No module yet that could serve it.")
        await check_seen(pilot, "The catalog cannot be asked")
        await pilot.press("enter", "right", "x")
        assert isinstance(app.screen, OptionsScreen)


async def test_a_fault_is_said_and_left_by_escape() -> None:
    """What went wrong stands on the screen itself; the sheet is as it was."""
    app, _, source = fakes()
    source.failure = ValueError("no such thing")
    async with app.run_test(size=SMALL) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("slash", *"L1", "enter", "p")
        await check_comes_true(pilot, lambda: "no such thing" in pane(app), "the fault is said")
        await check_seen(pilot, "what went wrong stands below")
        await pilot.press("escape")
        await check_gone(pilot, "Where is L1 served?")


def test_findings_that_come_and_go_are_told_apart_in_words() -> None:
    """Sign and word, in both sets of signs; none is said, too."""
    own = replace(candidates()[0], cleared=(("over", "error, heat.junction, ZREA.U9: too hot"),))
    for glyphs in (FULL, ASCII):
        lines = [text for text, _ in candidate_lines(own, glyphs)]
        assert "Findings cleared: 1" in lines
        assert "Findings that come: 1" in lines
        assert any(line.endswith("131 of 142 pins are used") for line in lines)
        assert any("119.8 days   stays" in line for line in lines)
    bare = [text for text, _ in candidate_lines(replace(own, added=(), cleared=()), FULL)]
    assert "Findings cleared: none" in bare
    assert "Findings that come: none" in bare


def test_only_rejected_candidates_stand_in_the_fold() -> None:
    """The fold says how many; without any there is none."""
    rows = candidate_rows(candidates())
    assert [(row.key, row.depth) for row in rows] == [
        ("a", 0),
        ("b", 0),
        ("c", 0),
        (REJECTED_KEY, 0),
        ("d", 1),
        ("e", 1),
    ]
    none = candidate_rows(candidates(lambda own: replace(own, is_rejected=False)))
    assert all(row.key != REJECTED_KEY for row in none)
    assert all(row.word for row in rows)


def test_every_word_is_looked_for_in_title_state_and_reasons() -> None:
    """Whatever its case; all words must be there."""
    listing = FakeCandidates(lambda: 1).places("one", "L1")
    assert [own.key for own in found(listing, "")] == ["a", "b", "c", "d", "e"]
    assert [own.key for own in found(listing, "ZREA UNDECIDED")] == ["c"]
    assert [own.key for own in found(listing, "5.2 a")] == ["d"]
    assert found(listing, "nothing like it") == ()
    assert "hidden" not in listing_text(listing, listing.listed)


def test_a_long_need_is_cut_with_its_count() -> None:
    """Ten loads take no more than their lines; what is left out is counted."""
    need = [f"L{number}: HS, 1 A" for number in range(10)]
    lines = need_lines(need, 60, is_tall=False)
    assert len(lines) == MOST_NEED_LINES
    assert lines[-1] == f"and {10 - MOST_NEED_LINES + 1} more lines"
    assert need_lines(need[:3], 60, is_tall=False) == need[:3]
