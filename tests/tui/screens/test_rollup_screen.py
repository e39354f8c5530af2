"""The working screen, driven by keys."""

import threading

import pytest
from textual.app import App
from textual.widgets import Input

from bomtui.tui.screens.error.screen import ErrorScreen
from bomtui.tui.screens.explain.screen import ExplainScreen
from bomtui.tui.screens.findings.screen import FindingsScreen
from bomtui.tui.screens.help.screen import HelpScreen
from bomtui.tui.screens.rollup.screen import RollupScreen
from bomtui.tui.screens.start.screen import StartScreen
from bomtui.tui.view import Details
from bomtui.tui.widgets.text_pane import TextPane
from tests.tui.driving import (
    LARGE,
    SMALL,
    WIDE,
    app_with,
    check_comes_true,
    check_gone,
    check_seen,
    check_sheet_up,
    closed_gate,
    cursor_name,
    screen_text,
    sheet_of,
    working_screen,
)
from tests.tui.fake import FINDINGS, FakeProposal, FakeWorkplace, fake_workplace, rollup_view

SIZES = pytest.mark.parametrize("size", [SMALL, LARGE], ids=["80x24", "120x40"])


@SIZES
async def test_what_is_open_how_it_stands_and_what_to_press(size: tuple[int, int]) -> None:
    """The first view shows title, notice, meters with bounds, figures, findings, the row in words, and keys."""
    app = app_with(fake_workplace())
    async with app.run_test(size=size) as pilot:
        await check_seen(pilot, "Whole vehicle")
        text = screen_text(app)
        for part in (
            "Street sweeper", "variant zone", "invented parts", "saved",
            "74.3 typ 118 max A of 120 A ◊ near the limit", ">= 963.7 uA ? 3 unknown", "439.23 EUR",
            "56.74", "439.2334", "✗ 2 errors", "error 2", "ZREA.U1.OUT3", "Whole vehicle; 2 errors",
            "t turn sheet", "? keys", "ctrl+q quit",
        ):  # fmt: skip
            assert part in text
        lines = text.splitlines()
        assert len(lines) == size[1]
        assert max(map(len, lines)) <= size[0]


async def test_turning_the_sheet_keeps_the_place() -> None:
    """A load stays under the cursor when modules become subsystems and back."""
    app = app_with(fake_workplace())
    async with app.run_test(size=SMALL) as pilot:
        await check_seen(pilot, "Whole vehicle")
        await pilot.press("plus", "down", "down", "down")
        assert cursor_name(app) == "C03 hydraulic oil cooler fan"
        await pilot.press("t")
        assert cursor_name(app) == "C03 hydraulic oil cooler fan"
        assert "Subsystems" in screen_text(app)
        await check_seen(pilot, "reserve: spare")
        await pilot.press("t")
        assert cursor_name(app) == "C03 hydraulic oil cooler fan"


async def test_f_goes_from_finding_to_finding_and_around() -> None:
    """Each press goes to the place of the next finding, opening what is around it; the sentence stands below."""
    app = app_with(fake_workplace())
    async with app.run_test(size=SMALL) as pilot:
        await check_seen(pilot, "Whole vehicle")
        await pilot.press("f")
        assert cursor_name(app) == "U1 hs24-4x50 high-side switch"
        await check_seen(pilot, " error: the junction reaches 162 degC, more than the 150 degC")
        await pilot.press("f")
        assert cursor_name(app) == "ZENG engine bay electronics"
        await check_seen(pilot, " warning: 131 of 142 pins are used")
        await pilot.press("f")
        assert cursor_name(app) == "U2 ls-2x40 low-side switch"
        await pilot.press("f")
        # A problem of the file has no row: the cursor stays, and the line says why.
        assert cursor_name(app) == "U2 ls-2x40 low-side switch"
        await check_seen(pilot, " error: zone Z9 does not exist")
        await pilot.press("f")
        assert cursor_name(app) == "U1 hs24-4x50 high-side switch"
        await pilot.press("F", "F")
        assert cursor_name(app) == "U2 ls-2x40 low-side switch"


async def test_a_finding_at_a_subsystem_turns_the_sheet() -> None:
    """A place that the tree on screen does not show is looked for in the other one."""
    finding = FINDINGS[0].__class__("9", "SWP", "check", "warning", "cost.share", "the share is high")
    app = app_with(FakeWorkplace(FakeProposal(rollup_view(findings=(finding,)))))
    async with app.run_test(size=SMALL) as pilot:
        await check_seen(pilot, "Whole vehicle")
        await pilot.press("f")
        assert cursor_name(app) == "SWP sweeping gear"
        await check_seen(pilot, "Subsystems")


async def test_without_findings_f_says_what_was_checked() -> None:
    """No finding is not called good."""
    app = app_with(FakeWorkplace(FakeProposal(rollup_view(findings=()))))
    async with app.run_test(size=SMALL) as pilot:
        await check_seen(pilot, "No open finding   412 checks ran, 23 could not")
        await pilot.press("f")
        await check_seen(pilot, " No open finding. 412 checks ran, 23 could not: data missing.")


async def test_the_list_of_findings_leads_to_the_place() -> None:
    """The list shows each finding in full, and enter goes to its place."""
    app = app_with(fake_workplace())
    async with app.run_test(size=SMALL) as pilot:
        await check_seen(pilot, "Whole vehicle")
        await pilot.press("l")
        assert isinstance(app.screen, FindingsScreen)
        await check_seen(pilot, "Move L24 to a device")
        assert "Tj = Ta + Rth x P" in app.screen.query_one(TextPane).plain
        await pilot.press("down", "down", "enter")
        await check_comes_true(pilot, lambda: isinstance(app.screen, RollupScreen), "the sheet is back")
        assert cursor_name(app) == "U2 ls-2x40 low-side switch"
        await pilot.press("l", "escape")
        await check_comes_true(pilot, lambda: isinstance(app.screen, RollupScreen), "the sheet is back")
        assert cursor_name(app) == "U2 ls-2x40 low-side switch"


async def test_details_open_by_d_or_enter_and_follow_the_cursor() -> None:
    """Details are those of the row under the cursor, and escape closes them."""
    app = app_with(fake_workplace())
    async with app.run_test(size=SMALL) as pilot:
        await check_seen(pilot, "Whole vehicle")
        await pilot.press("enter")
        await check_seen(pilot, "vehicle in full")
        await pilot.press("down")
        await check_seen(pilot, "ZENG in full")
        await check_seen(pilot, "4.41 A   ✗ over its limit of 3.6 A")
        await pilot.press("tab", "end")
        await check_seen(pilot, "Note: the customer")
        await pilot.press("escape")
        await check_gone(pilot, "in full")
        assert app.focused is sheet_of(app)
        await pilot.press("d")
        await check_seen(pilot, "ZENG in full")
        await pilot.press("d")
        await check_gone(pilot, "in full")


async def test_a_wide_terminal_always_shows_details() -> None:
    """From 140 columns on the details stand on the right, and come and go with the width."""
    app = app_with(fake_workplace())
    async with app.run_test(size=WIDE) as pilot:
        await check_seen(pilot, "vehicle in full")
        await pilot.press("down")
        await check_seen(pilot, "ZENG in full")
        await pilot.press("d")
        await check_seen(pilot, "Details stand on the right")
        await pilot.resize_terminal(*LARGE)
        await check_gone(pilot, "in full")
        await pilot.resize_terminal(*WIDE)
        await check_seen(pilot, "ZENG in full")


def outline_name(app: App[None]) -> str:
    """Name of the line under the outline's cursor."""
    row = working_screen(app).outline.cursor_row
    assert row is not None
    return row.cells[0]


async def test_a_wide_terminal_has_an_outline_that_shares_its_cursor_with_the_sheet() -> None:
    """The outline follows the sheet's cursor, whatever moves it, and the sheet that of the outline."""
    app = app_with(fake_workplace())
    async with app.run_test(size=WIDE) as pilot:
        await check_seen(pilot, "vehicle in full")
        assert [row.word for row in working_screen(app).outline.rows] == ["2 errors", "1 warning", "1 error"]
        await pilot.press("f")
        await check_comes_true(pilot, lambda: outline_name(app) == "ZREA rear electronics", "the outline has followed")
        await pilot.press("shift+tab", "up")
        await check_comes_true(pilot, lambda: cursor_name(app) == "ZENG engine bay electronics", "the sheet followed")
        await check_seen(pilot, "ZENG in full")
        # Enter leads into the sheet, where the next key works on.
        await pilot.press("down", "enter", "right", "right")
        assert cursor_name(app) == "U1 hs24-4x50 high-side switch"
        assert app.focused is sheet_of(app)
        await pilot.press("t", "end")
        await check_comes_true(pilot, lambda: outline_name(app) == "reserve: spare channels and ways", "it has turned")


async def test_a_key_behind_a_move_in_the_outline_works_on_the_line_moved_to() -> None:
    """A burst that moves in the outline and explains shows the figures of the line moved to."""
    app = app_with(fake_workplace())
    async with app.run_test(size=WIDE) as pilot:
        await check_seen(pilot, "vehicle in full")
        await pilot.press("shift+tab", "down", "down", "x")
        await check_seen(pilot, "Where it comes from:  ZREA in full")


async def test_a_terminal_that_gets_narrow_takes_the_outline_away_and_leaves_the_keys_with_the_sheet() -> None:
    """The outline is there from 140 columns on; where it goes while it has the keys, the sheet has them."""
    app = app_with(fake_workplace())
    async with app.run_test(size=WIDE) as pilot:
        await check_seen(pilot, "vehicle in full")
        await pilot.press("shift+tab")
        assert app.focused is working_screen(app).outline
        await pilot.resize_terminal(*LARGE)
        await check_comes_true(pilot, lambda: app.focused is sheet_of(app), "the sheet has the keys")
        await pilot.press("down")
        assert cursor_name(app) == "ZENG engine bay electronics"


async def test_figures_are_explained_one_at_a_time() -> None:
    """The figures of the row stand above, the steps of the one under the cursor below."""
    app = app_with(fake_workplace())
    async with app.run_test(size=SMALL) as pilot:
        await check_seen(pilot, "Whole vehicle")
        await pilot.press("down", "x")
        assert isinstance(app.screen, ExplainScreen)
        await check_seen(pilot, "step 0 of ZENG:load_current_a@WORK_NIGHT/typ")
        assert "0710037" not in screen_text(app)
        await pilot.press("down", "down")
        await check_seen(pilot, "step 0 of ZENG:junction_degc/max")
        await pilot.press("enter", "end")
        await check_seen(pilot, "step 11 of ZENG:junction_degc/max")
        await pilot.press("x")
        await check_comes_true(pilot, lambda: isinstance(app.screen, RollupScreen), "the sheet is back")
        assert cursor_name(app) == "ZENG engine bay electronics"


async def test_a_variant_is_chosen_and_the_cursor_stays_on_its_place() -> None:
    """The title keeps naming the shown variant until the other one is computed."""
    workplace = fake_workplace()
    app = app_with(workplace)
    async with app.run_test(size=LARGE) as pilot:
        await check_seen(pilot, "Whole vehicle")
        await pilot.press("down", "down")
        with closed_gate(workplace.proposal):
            await pilot.press("v", "v", "enter")
            await check_seen(pilot, "Computing variant distributed.")
            assert "zone architecture (zone)" in screen_text(app)
        await check_seen(pilot, "one module per subsystem (distributed)")
        await check_gone(pilot, "Computing")
        assert cursor_name(app) == "ZREA rear electronics"


async def test_an_overtaken_variant_is_never_shown() -> None:
    """A variant that is computed only after another one was chosen does not push that one off the screen."""
    workplace = fake_workplace()
    late = workplace.proposal.own_gates["distributed"] = threading.Event()
    app = app_with(workplace)
    async with app.run_test(size=LARGE) as pilot:
        await check_seen(pilot, "Whole vehicle")
        screen = working_screen(app)
        await pilot.press("v", "v", "enter")
        await check_seen(pilot, "Computing variant distributed.")
        await pilot.press("v", "v", "enter")
        await check_gone(pilot, "Computing")
        late.set()
        await check_comes_true(pilot, lambda: "distributed" in workplace.proposal.computed, "both have been computed")
        await pilot.pause(0.05)
        assert screen.view is not None
        assert screen.view.heading.variant == "zone"
        assert "zone architecture (zone)" in screen_text(app)


async def test_a_view_of_an_older_snapshot_is_dropped_and_computed_again() -> None:
    """Numbers of a proposal that has moved on never reach the screen."""
    workplace = fake_workplace()
    app = app_with(workplace)
    with closed_gate(workplace.proposal):
        async with app.run_test(size=SMALL) as pilot:
            await check_seen(pilot, "Computing.")
            screen = working_screen(app)
            shown: list[int] = []
            workplace.proposal.snapshot_number = 2
            workplace.proposal.gate.set()

            def is_shown() -> bool:
                if screen.view is not None:
                    shown.append(screen.view.snapshot_number)
                return bool(shown)

            await check_comes_true(pilot, is_shown, "a view is shown")
            assert shown == [2]


async def test_a_failed_computing_is_told_and_the_app_goes_on() -> None:
    """A fault in a worker becomes a message without a traceback, and escape leads back to a working sheet."""
    workplace = fake_workplace()
    app = app_with(workplace)
    async with app.run_test(size=SMALL) as pilot:
        await check_seen(pilot, "Whole vehicle")
        workplace.proposal.failure = ZeroDivisionError("a [bold]fault[/] \x1b]0;x\x07")
        await pilot.press("v", "v", "enter")
        await check_comes_true(pilot, lambda: isinstance(app.screen, ErrorScreen), "the message is up")
        await check_seen(pilot, "Could not finish: computing the variant")
        await check_seen(pilot, "ZeroDivisionError: a [bold]fault[/] ␛]0;x␇")
        assert "Traceback" not in screen_text(app)
        workplace.proposal.failure = None
        await pilot.press("escape")
        await check_seen(pilot, "Variant distributed could not be computed.")
        assert "variant zone" in screen_text(app)
        await pilot.press("down", "f")
        await check_seen(pilot, "U1 hs24-4x50")
        await pilot.press("v", "v", "enter")
        await check_seen(pilot, "variant distributed")


async def test_a_first_computing_that_fails_says_what_to_do() -> None:
    """With nothing to show the sheet says which keys lead on."""
    workplace = fake_workplace()
    workplace.proposal.failure = OSError(2, "No such file or directory", "catalog")
    app = app_with(workplace)
    async with app.run_test(size=SMALL) as pilot:
        await check_seen(pilot, "catalog: No such file or directory.")
        await pilot.press("escape", "f", "x", "w", "l", "d", "t", "n")
        await check_seen(pilot, "This variant could not be computed: v chooses another one")


async def test_the_parts_list_is_written_and_never_over_a_file_unasked() -> None:
    """The first writing takes the offered path; the second asks, and only a yes writes over the file."""
    workplace = fake_workplace()
    app = app_with(workplace)
    files = workplace.proposal.files
    async with app.run_test(size=SMALL) as pilot:
        await check_seen(pilot, "Whole vehicle")
        await pilot.press("w")
        await check_seen(pilot, "Parts list (.csv .json .md): sweeper-zone-parts.csv")
        await pilot.press("enter")
        await check_seen(pilot, "Wrote 58 lines to sweeper-zone-parts.csv.")
        assert files == {"sweeper-zone-parts.csv": "once"}
        await pilot.press("w", "enter")
        await check_seen(pilot, "Type yes to write over it:")
        await check_seen(pilot, "sweeper-zone-parts.csv exists.")
        await pilot.press("enter")
        await check_seen(pilot, "Nothing was written.")
        assert files == {"sweeper-zone-parts.csv": "once"}
        await pilot.press("w", "enter")
        await check_seen(pilot, "Type yes to write over it:")
        await pilot.press("y", "e", "s", "enter")
        await check_comes_true(pilot, lambda: files == {"sweeper-zone-parts.csv": "again"}, "the file is replaced")
        assert app.focused is sheet_of(app)


async def test_a_path_of_another_format_is_refused_with_the_reason() -> None:
    """The reason stays in sight until the cursor moves, the path waits to be corrected, and escape writes nothing."""
    workplace = fake_workplace()
    app = app_with(workplace)
    async with app.run_test(size=SMALL) as pilot:
        await check_seen(pilot, "Whole vehicle")
        await pilot.press("w", "x", "enter")
        await check_seen(pilot, "sweeper-zone-parts.csvx: the suffix must be .csv, .json or .md.")
        await check_seen(pilot, "Parts list (.csv .json .md): sweeper-zone-parts.csvx")
        await pilot.press("escape")
        await check_gone(pilot, "Parts list (")
        await pilot.press("down")
        await check_gone(pilot, "the suffix must be")
        assert workplace.proposal.files == {}
        await pilot.press("w", "x", "enter")
        await check_seen(pilot, "Parts list (.csv .json .md): sweeper-zone-parts.csvx")
        await pilot.press("backspace", "enter")
        await check_comes_true(
            pilot, lambda: workplace.proposal.files == {"sweeper-zone-parts.csv": "once"}, "the corrected path is taken"
        )


async def test_a_word_is_found_again_and_backwards() -> None:
    """The slash asks for a word, n and N go on, and letters typed behind the slash are not taken for commands."""
    app = app_with(fake_workplace())
    async with app.run_test(size=SMALL) as pilot:
        await check_seen(pilot, "Whole vehicle")
        await pilot.press("n")
        await check_seen(pilot, "/ asks for a word")
        await pilot.press("slash", "s", "t", "o", "p", "enter")
        assert cursor_name(app) == "L11 stop lamp left, 21 W"
        await pilot.press("n")
        assert cursor_name(app) == "L12 stop lamp right, 21 W"
        await pilot.press("N")
        assert cursor_name(app) == "L11 stop lamp left, 21 W"
        await pilot.press("slash", "q", "q", "enter")
        await check_seen(pilot, "No line holds 'qq'.")


async def test_help_lists_the_keys_of_the_screen_and_the_cautions() -> None:
    """The question mark opens the page of this screen and closes it again."""
    app = app_with(fake_workplace())
    async with app.run_test(size=LARGE) as pilot:
        await check_seen(pilot, "Whole vehicle")
        await pilot.press("question_mark")
        await check_seen(pilot, "Turns the sheet from modules to subsystems and back.")
        pane = app.screen.query_one(TextPane)
        assert "qualified engineers" in " ".join(pane.plain.split())
        await pilot.press("question_mark")
        await check_comes_true(pilot, lambda: not isinstance(app.screen, HelpScreen), "the sheet is back")


async def test_another_proposal_can_be_opened_and_left() -> None:
    """The start screen opens over the sheet, escape leads back, and a proposal taken there replaces the old one."""
    app = app_with(fake_workplace())
    async with app.run_test(size=SMALL) as pilot:
        await check_seen(pilot, "Whole vehicle")
        first = app.screen
        await pilot.press("o")
        await check_comes_true(pilot, lambda: isinstance(app.screen, StartScreen), "the start screen is up")
        await check_seen(pilot, "Parcel van")
        await pilot.press("escape")
        await check_comes_true(pilot, lambda: app.screen is first, "the sheet is back")
        await pilot.press("o")
        await check_seen(pilot, "Parcel van")
        await pilot.press("down", "enter")
        await check_comes_true(
            pilot, lambda: isinstance(app.screen, RollupScreen) and app.screen is not first, "another sheet is up"
        )
        assert len(app.screen_stack) == 2


async def test_a_terminal_that_is_too_small_says_so_and_recovers() -> None:
    """Below 60x15 stands one line, and the sheet is back with its cursor as soon as there is room."""
    workplace = fake_workplace()
    app = app_with(workplace)
    async with app.run_test(size=SMALL) as pilot:
        await check_seen(pilot, "Whole vehicle")
        await pilot.press("down")
        for size in ((59, 24), (80, 14), (20, 5)):
            await pilot.resize_terminal(*size)
            await check_seen(pilot, "needs at least 60x15")
            assert "vehicle" not in screen_text(app)
        await pilot.resize_terminal(60, 15)
        await check_seen(pilot, "Whole vehicle")
        await check_comes_true(pilot, lambda: sheet_of(app).has_focus, "the sheet has the focus again")
        await pilot.press("down")
        assert cursor_name(app) == "ZREA rear electronics"


async def test_ctrl_c_does_not_quit_and_ctrl_q_does() -> None:
    """A habit does not end the program, the key in the key line does, even while something is typed."""
    app = app_with(fake_workplace())
    async with app.run_test(size=SMALL, notifications=True) as pilot:
        await check_seen(pilot, "Whole vehicle")
        await pilot.press("ctrl+c")
        await check_seen(pilot, "ctrl+q")
        assert app.is_running
        await pilot.press("slash")
        assert isinstance(app.focused, Input)
        await pilot.press("ctrl+q")
        await check_comes_true(pilot, lambda: app._exit, "the app leaves")
    assert app.return_code == 0


@pytest.mark.parametrize(("key", "steps_back"), [("d", 1), ("x", 2)], ids=["details", "figures"])
async def test_failing_details_are_told_too(key: str, steps_back: int) -> None:
    """A fault while a place is looked up becomes a message, not the end of the program."""

    def broken(address: str) -> Details:
        raise LookupError(f"no place {address}")

    app = app_with(FakeWorkplace(FakeProposal(rollup_view(details=broken))))
    async with app.run_test(size=SMALL) as pilot:
        await check_seen(pilot, "Whole vehicle")
        await pilot.press(key)
        await check_seen(pilot, "LookupError: no place vehicle")
        await pilot.press(*["escape"] * steps_back)
        await check_gone(pilot, "LookupError")
        await pilot.press("down")
        await check_seen(pilot, "ZENG engine bay electronics; 1 warning")


async def test_overtaken_details_are_never_shown() -> None:
    """Details that arrive after the cursor has moved on do not replace those of its row."""
    late, has_returned = threading.Event(), threading.Event()
    plain = rollup_view().details

    def details(address: str) -> Details:
        if address != "vehicle":
            return plain(address)
        assert late.wait(5), "nobody asked for them"
        has_returned.set()
        return plain(address)

    app = app_with(FakeWorkplace(FakeProposal(rollup_view(details=details))))
    async with app.run_test(size=SMALL) as pilot:
        await check_seen(pilot, "Whole vehicle")
        await pilot.press("d", "down")
        await check_seen(pilot, "ZENG in full")
        late.set()
        await check_comes_true(pilot, has_returned.is_set, "the late details are there")
        await pilot.pause(0.05)
        assert "ZENG in full" in screen_text(app)


async def test_a_hint_stands_below_what_was_done_until_the_cursor_moves() -> None:
    """A guess about the last step is one line below it on a small terminal, and takes no key from anybody."""
    hint = "Hint, not judged; see O: ZCEN.U14 can-1 could go, ZCEN.U12 has 1 CAN port free"
    workplace = fake_workplace()
    workplace.proposal.base = rollup_view(hint=hint)
    app = app_with(workplace)
    async with app.run_test(size=SMALL) as pilot:
        await check_sheet_up(pilot)
        assert hint not in screen_text(app)
        await pilot.press("u")
        await check_seen(pilot, "Done: all of it.")
        await check_seen(pilot, hint)
        assert max(map(len, screen_text(app).splitlines())) <= SMALL[0]
        await pilot.press("down")
        await check_gone(pilot, hint)
