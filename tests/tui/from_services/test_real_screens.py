"""The app over the real samples, by keys: what stands on the screen is what the services computed."""

import threading
from pathlib import Path

import pytest

from bomtui.cli.main import main
from bomtui.services.rollup import Computed
from bomtui.services.session import Session
from bomtui.tui.app import BomtuiApp
from bomtui.tui.glyphs import FULL
from bomtui.tui.screens.error.screen import ErrorScreen
from bomtui.tui.screens.explain.screen import ExplainScreen
from bomtui.tui.screens.rollup.screen import RollupScreen
from bomtui.tui.widgets.text_pane import TextPane
from tests.tui.driving import (
    LARGE,
    SMALL,
    WIDE,
    check_comes_true,
    check_gone,
    check_seen,
    check_sheet_up,
    cursor_name,
    screen_text,
    sheet_of,
)
from tests.tui.from_services.real import SWEEPER, VAN, workplace

SIZES = pytest.mark.parametrize("size", [SMALL, LARGE, WIDE], ids=["80x24", "120x40", "170x45"])


def app_over(path: Path | str, settings_folder: Path) -> BomtuiApp:
    """The app over a proposal."""
    return BomtuiApp(workplace(settings_folder), str(path), FULL)


@SIZES
async def test_the_first_look_at_the_sweeper(size: tuple[int, int], tmp_path: Path) -> None:
    """At every usual size figures, their mode, the notice, the counts of checks and the keys are there."""
    app = app_over(SWEEPER, tmp_path)
    async with app.run_test(size=size) as pilot:
        await check_sheet_up(pilot)
        text = screen_text(app)
        for part in (
            "Street sweeper, depot series", "variant zone", "invented parts", "saved",
            "of 120 A in WORK_NIGHT ◊ max over",
            "963.7 uA typ", "119.8 typ", "Parts 439.2334 EUR", "Total 641.1634 EUR",
            "Channels 93/121", "not checkable", "ZCEN cab and front", "439.2334",
            "error", "x explain", "ctrl+q quit",
        ):  # fmt: skip
            assert part in " ".join(text.split()) or part in text, part
        assert ("f next" if size == SMALL else "f goes to the next") in text
        assert max(map(len, text.splitlines())) <= size[0]


async def test_the_screen_stands_before_the_numbers(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """While a variant is being computed its title and the keys are there already, and keys are taken."""
    gate = threading.Event()

    computed = Session.computed

    def slow(session: Session, variant: str | None = None) -> Computed:
        assert gate.wait(5), "nobody opened the gate"
        return computed(session, variant)

    monkeypatch.setattr(Session, "computed", slow)
    app = app_over(SWEEPER, tmp_path)
    async with app.run_test(size=SMALL) as pilot:
        try:
            await check_seen(pilot, "Street sweeper, depot series")
            assert "Computing." in screen_text(app)
            assert "EUR" not in screen_text(app)
            await pilot.press("question_mark")
            await check_seen(pilot, "What the keys do")
            await pilot.press("escape")
        finally:
            gate.set()
        await check_seen(pilot, "Parts 439.2334 EUR")


async def test_another_variant_brings_its_own_figures(tmp_path: Path) -> None:
    """After v the other variant stands there, and the cursor is on the vehicle again."""
    app = app_over(SWEEPER, tmp_path)
    async with app.run_test(size=SMALL) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("down", "v", "v", "enter")
        await check_seen(pilot, "Parts 476.5482 EUR")
        text = screen_text(app)
        assert "variant distributed" in text
        assert "999.2 uA typ" in text
        assert "119.5 typ" in text
        assert "Total 761.7432 EUR" in text
        assert "439.2334" not in text
        assert cursor_name(app) == "Whole vehicle"


@pytest.mark.slow
async def test_a_load_is_found_explained_and_left_again(tmp_path: Path) -> None:
    """The slash finds it below its device, x shows its formula and fields, escape goes back to it."""
    app = app_over(SWEEPER, tmp_path)
    async with app.run_test(size=LARGE) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("slash", *"L24", "enter")
        await check_comes_true(pilot, lambda: cursor_name(app).startswith("L24 "), "the cursor is there")
        await pilot.press("x")
        await check_seen(pilot, "<- loads.L24.test_current")
        await pilot.press("x")
        await check_comes_true(pilot, lambda: isinstance(app.screen, RollupScreen), "the sheet is back")
        assert cursor_name(app).startswith("L24 ")


async def test_failures_and_diagram_of_the_rear_module(tmp_path: Path) -> None:
    """G on the rear module tells what is lost with it, b draws it with its currents, both within the screen."""
    app = app_over(SWEEPER, tmp_path)
    async with app.run_test(size=SMALL) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("slash", *"ZREA", "enter")
        await check_comes_true(pilot, lambda: cursor_name(app).startswith("ZREA "), "the cursor is there")
        await pilot.press("g")
        await check_comes_true(
            pilot, lambda: "module ZREA taken out" in app.screen.query_one(TextPane).plain, "the module is taken out"
        )
        await check_seen(pilot, "> module ZREA")
        plain = " ".join(app.screen.query_one(TextPane).plain.split())
        assert "outputs lost (18): ASIL B: L09 L10 L11" in plain
        assert "Electrically possible; type approval not checked." in plain
        await pilot.press("escape", "b")
        await check_seen(pilot, "[U2 hs24-2x10]──────┬─ C03")
        assert max(map(len, screen_text(app).splitlines())) <= SMALL[0]
        assert "commands U1 U2 U3" in app.screen.query_one(TextPane).plain


@pytest.mark.slow
async def test_each_finding_leads_to_its_line(tmp_path: Path) -> None:
    """Going through all findings comes back to the first one, and each one stands on a line of the sheet."""
    app = app_over(VAN, tmp_path)
    async with app.run_test(size=LARGE) as pilot:
        await check_sheet_up(pilot)
        screen = app.screen
        assert isinstance(screen, RollupScreen)
        view = await screen.checked_view()
        assert view is not None
        findings = view.findings
        await pilot.press("f")
        seen = [cursor_name(app)]
        for _ in findings[1:]:
            await screen.action_next_finding()
            assert "has no line in the sheet" not in screen_text(app)
            seen.append(cursor_name(app))
        await pilot.press("f")
        assert cursor_name(app) == seen[0]
        assert len(set(seen)) > len(findings) / 2


async def test_the_findings_tell_what_the_rule_asks(tmp_path: Path) -> None:
    """Below a finding stand its remedy and what the rule says of itself."""
    app = app_over(SWEEPER, tmp_path)
    async with app.run_test(size=LARGE) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("l")
        await check_comes_true(
            pilot, lambda: "What it asks:" in app.screen.query_one(TextPane).plain, "the rule speaks for itself"
        )
        assert "what to do" in app.screen.query_one(TextPane).plain
        assert "checked " in " ".join(screen_text(app).splitlines()[:2])


@pytest.mark.slow
async def test_a_hot_device_reads_as_over_its_limit(tmp_path: Path) -> None:
    """Details and explanation say the limit first, and the number of the model only behind it."""
    app = app_over(SWEEPER, tmp_path)
    async with app.run_test(size=WIDE) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("slash", *"hs24-1x4", "enter")
        pane = app.screen.query_one(TextPane)
        await check_comes_true(
            pilot, lambda: "over 150 degC (model " in " ".join(pane.plain.split()), "the limit stands in the details"
        )
        assert "✗ beyond its maximum" in " ".join(pane.plain.split())
        await pilot.press("x")
        await check_comes_true(pilot, lambda: isinstance(app.screen, ExplainScreen), "the explanation is up")
        await check_seen(pilot, "over 150 degC (model ")


@pytest.mark.slow
@pytest.mark.parametrize("suffix", ["csv", "json", "md"])
async def test_a_parts_list_written_by_keys_is_that_of_the_command(
    suffix: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Screen and command line write the same bytes."""
    monkeypatch.chdir(tmp_path)
    app = app_over(SWEEPER, tmp_path / "settings")
    async with app.run_test(size=LARGE) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("w", "backspace", "backspace", "backspace", *suffix, "enter")
        written = tmp_path / f"street_sweeper_zone_parts-list_DEMO-DATA.{suffix}"
        await check_seen(pilot, "Wrote 58 lines to")
    by_command = tmp_path / f"command.{suffix}"
    assert main(["parts-list", str(SWEEPER), "--variant", "zone", "-o", str(by_command)]) == 0
    assert written.read_bytes() == by_command.read_bytes()
    assert len(written.read_bytes()) > 1000


@pytest.mark.slow
async def test_a_parts_list_is_not_overwritten_without_asking(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What is there stays unless yes is typed, and a name that hides invented parts is said."""
    monkeypatch.chdir(tmp_path)
    mine = tmp_path / "mine.csv"
    mine.write_text("mine", encoding="utf-8")
    app = app_over(SWEEPER, tmp_path / "settings")
    async with app.run_test(size=LARGE) as pilot:
        await check_sheet_up(pilot)
        for answer in ("no", "yes"):
            await pilot.press("w", "ctrl+u", *"mine.csv", "enter")
            await check_seen(pilot, "Type yes to write over it:")
            assert mine.read_text(encoding="utf-8") == "mine"
            await pilot.press(*answer, "enter")
            await check_gone(pilot, "Type yes")
        await check_comes_true(
            pilot,
            lambda: "invented parts, and the name does not say so" in " ".join(screen_text(app).split()),
            "the name is said to hide what the file holds",
        )
        assert mine.read_text(encoding="utf-8") != "mine"


@pytest.mark.slow
async def test_a_sample_opens_from_the_start_screen_and_is_remembered(tmp_path: Path) -> None:
    """Enter on the first sample opens it; the next start has it on top, with its path in sight."""
    app = app_over("", tmp_path)
    async with app.run_test(size=SMALL) as pilot:
        await check_seen(pilot, "Parcel van, city delivery")
        await pilot.press("enter")
        await check_seen(pilot, "Parts 317.8890 EUR")
    again = app_over("", tmp_path)
    async with again.run_test(size=SMALL) as pilot:
        await check_seen(pilot, "opened 20")
        await check_comes_true(pilot, lambda: "parcel_van.toml" in screen_text(again), "the path is in sight")
        assert cursor_name(again) == "Parcel van, city delivery"


async def test_a_path_that_opens_nothing_is_told_and_another_one_can_be_taken(tmp_path: Path) -> None:
    """The reason stands there until a key is pressed."""
    app = app_over(tmp_path / "none.toml", tmp_path / "settings")
    async with app.run_test(size=LARGE) as pilot:
        await check_seen(pilot, "there is no such file or folder")
        assert isinstance(app.screen, ErrorScreen)
        await pilot.press("escape")
        await check_seen(pilot, "Samples, all invented")


async def test_a_remark_of_the_opening_is_said(tmp_path: Path) -> None:
    """That nothing can be remembered stands in the status line, and the proposal is open all the same."""
    blocked = tmp_path / "file"
    blocked.write_text("x", encoding="utf-8")
    app = app_over(SWEEPER, blocked / "settings")
    async with app.run_test(size=LARGE) as pilot:
        await check_seen(pilot, "so nothing is remembered")
        assert len(sheet_of(app).rows) > 100


@pytest.mark.slow
async def test_a_package_written_by_keys_is_that_of_the_command(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Screen and command line write the same files, and the screen says that they may not be sent."""
    monkeypatch.chdir(tmp_path)
    app = app_over(SWEEPER, tmp_path / "settings")
    async with app.run_test(size=LARGE) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("W")
        await check_seen(pilot, "Package of the quotation")
        await pilot.press("enter", "enter")
        await check_comes_true(
            pilot,
            lambda: "_DEMO-DATA; NOT SENDABLE: 96 open errors." in " ".join(screen_text(app).split()),
            "the screen says that the package may not be sent",
        )
        await pilot.press("W")
        await check_seen(pilot, "Package of the quotation")
        await pilot.press("enter", "enter")
        await check_seen(pilot, "Type yes to write over it:")
        await pilot.press("escape")
    assert main(["package", str(SWEEPER), "--variant", "zone", "-o", str(tmp_path / "command")]) == 1
    written = {path.name: path.read_bytes() for path in (tmp_path / "street_sweeper_zone_package_DEMO-DATA").iterdir()}
    assert written == {path.name: path.read_bytes() for path in (tmp_path / "command").iterdir()}
