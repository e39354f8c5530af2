"""Figures stand first, findings follow: what the working screen says in between."""

from bomtui.tui.screens.error.screen import ErrorScreen
from bomtui.tui.screens.findings.screen import FindingsScreen
from bomtui.tui.view import CheckedView, Meter, RollupView
from tests.tui.driving import (
    LARGE,
    SMALL,
    app_with,
    check_comes_true,
    check_gone,
    check_seen,
    cursor_name,
    screen_text,
    working_screen,
)
from tests.tui.fake import FINDINGS, METERS, FakeProposal, FakeWorkplace, rollup_view


async def test_figures_stand_while_the_findings_are_still_being_looked_for() -> None:
    """Meters and sheet show the new step at once; states, strip and row say that it is being checked."""
    proposal = FakeProposal(rollup_view())
    app = app_with(FakeWorkplace(proposal))
    async with app.run_test(size=LARGE) as pilot:
        await check_seen(pilot, "ZREA.U1.OUT3")
        before = screen_text(app).splitlines()
        proposal.checks.clear()
        proposal.base = rollup_view(meters=(Meter("Supply", "75.0 typ 119 max A"), *METERS[1:]), findings=FINDINGS[1:])
        await pilot.press("u")
        await check_seen(pilot, "75.0 typ 119 max A")
        text = screen_text(app)
        assert " Checking   before the last step:  ✗ error 2" in text
        assert "Modules" in text
        assert "checking" in next(line for line in text.splitlines() if " Modules" in line)
        await pilot.press("down")
        await check_seen(pilot, "ZENG engine bay electronics; checking, load")
        # Nothing moves up or down in between.
        assert [line[:8] for line in text.splitlines() if "ZREA " in line] == [
            line[:8] for line in before if "ZREA " in line
        ]
        proposal.checks.set()
        await check_gone(pilot, "hecking")
        await check_seen(pilot, " Findings  ✗ error 1")
        assert "ZREA.U1.OUT3" not in screen_text(app)
        await check_seen(pilot, "ZENG engine bay electronics; 1 warning")


async def test_a_first_view_says_that_it_is_being_checked() -> None:
    """With nothing known of a proposal yet no line claims that there is no finding."""
    proposal = FakeProposal(rollup_view(findings=()))
    proposal.checks.clear()
    app = app_with(FakeWorkplace(proposal))
    async with app.run_test(size=SMALL) as pilot:
        await check_seen(pilot, " Checking")
        assert "No open finding" not in screen_text(app)
        proposal.checks.set()
        await check_seen(pilot, "No open finding   412 checks ran")


async def test_findings_of_an_overtaken_step_are_never_shown() -> None:
    """What was asked of an older snapshot is dropped, and the newest one is checked by itself."""
    proposal = FakeProposal(rollup_view())
    app = app_with(FakeWorkplace(proposal))
    async with app.run_test(size=LARGE) as pilot:
        await check_seen(pilot, "ZREA.U1.OUT3")
        screen = working_screen(app)
        shown: list[int] = []
        plain = screen.show_view

        def noted(view: RollupView) -> None:
            if isinstance(view, CheckedView):
                shown.append(view.snapshot_number)
            plain(view)

        screen.show_view = noted  # type: ignore[method-assign]
        proposal.checks.clear()
        await pilot.press("u", "u")
        await check_seen(pilot, " Checking")
        proposal.checks.set()
        await check_gone(pilot, "hecking")
        assert shown == [proposal.snapshot_number]


async def test_a_key_that_goes_to_a_finding_waits_for_the_findings() -> None:
    """Typed behind a step, it leads to a finding of that step, and so does what is typed behind it."""
    proposal = FakeProposal(rollup_view())
    app = app_with(FakeWorkplace(proposal))
    async with app.run_test(size=LARGE) as pilot:
        await check_seen(pilot, "ZREA.U1.OUT3")
        proposal.base = rollup_view(findings=FINDINGS[1:])
        await pilot.press("u", "f", "down")
        assert cursor_name(app) == "ZREA rear electronics"
        await pilot.press("u", "l")
        await check_comes_true(pilot, lambda: isinstance(app.screen, FindingsScreen), "the findings are listed")
        await check_seen(pilot, "Findings 3")


async def test_checks_that_fail_are_told_and_the_figures_stay() -> None:
    """Without an answer nothing is called good, and keys for findings do not wait for ever."""
    proposal = FakeProposal(rollup_view())
    app = app_with(FakeWorkplace(proposal))
    async with app.run_test(size=LARGE) as pilot:
        await check_seen(pilot, "ZREA.U1.OUT3")
        proposal.checks.clear()
        proposal.checks_failure = ZeroDivisionError("a fault")
        await pilot.press("u")
        await check_seen(pilot, " Checking")
        proposal.checks.set()
        await check_comes_true(pilot, lambda: isinstance(app.screen, ErrorScreen), "the message is up")
        await check_seen(pilot, "Could not finish: checking the variant")
        await pilot.press("escape", "f")
        await check_seen(pilot, "Not checked: ")
        proposal.checks_failure = None
        await pilot.press("u")
        await check_seen(pilot, " Findings  ✗ error 2")
