"""The start screen, driven by keys."""

import threading
from dataclasses import dataclass, field, replace

from bomtui.tui.screens.error.screen import ErrorScreen
from bomtui.tui.screens.opening.screen import OpeningScreen
from bomtui.tui.screens.rollup.screen import RollupScreen
from bomtui.tui.screens.start.rows import NOTHING_KEY, start_rows
from bomtui.tui.screens.start.screen import StartScreen
from bomtui.tui.workplace import Entry, Refusal
from tests.tui.driving import LARGE, SMALL, app_with, check_comes_true, check_seen, cursor_name, screen_text
from tests.tui.fake import FakeProposal, FakeWorkplace, fake_workplace

REFUSAL = Refusal(
    "Cannot open broken.toml", ("line 3, field loads.L11.zone: Z9 is not a zone", "line 8: a second problem")
)


def test_what_was_opened_last_stands_before_the_samples() -> None:
    """Each entry has a row with its path behind it, in two groups that are open from the start."""
    rows, paths = start_rows([Entry("a.toml", "A", "yesterday")], [Entry("s", "S")])
    assert [(row.depth, row.cells[0]) for row in rows] == [
        (0, "Opened last"), (1, "A"), (0, "Samples, all invented"), (1, "S"),
    ]  # fmt: skip
    assert [paths.get(row.key) for row in rows] == [None, "a.toml", None, "s"]


def test_a_first_start_says_what_to_do() -> None:
    """With nothing opened yet the group says which key opens a path."""
    rows, paths = start_rows([], [])
    assert rows[1].key == NOTHING_KEY
    assert "o opens a path" in rows[1].cells[0]
    assert paths == {}


async def test_a_sample_opens_with_one_key() -> None:
    """On a first start the cursor stands on the first sample."""
    app = app_with(fake_workplace(), "")
    async with app.run_test(size=SMALL) as pilot:
        await check_seen(pilot, "Parcel van")
        text = screen_text(app)
        assert "Nothing yet; o opens a path." in text
        assert "qualified engineers" in " ".join(text.split())
        assert cursor_name(app) == "Street sweeper"
        await pilot.press("escape", "enter")
        await check_comes_true(pilot, lambda: isinstance(app.screen, RollupScreen), "the sample is open")
        await check_seen(pilot, "Whole vehicle")


async def test_the_cursor_starts_on_what_was_opened_last() -> None:
    """Coming back to yesterday's work is one key."""
    workplace = replace(fake_workplace(), recent_entries=(Entry("work/van.toml", "Van for the town", "yesterday"),))
    app = app_with(workplace, "")
    async with app.run_test(size=LARGE) as pilot:
        await check_seen(pilot, "Van for the town")
        await check_comes_true(pilot, lambda: cursor_name(app) == "Van for the town", "the cursor is there")


async def test_a_typed_path_is_opened() -> None:
    """Letters typed behind o land in the path, whatever they mean elsewhere."""
    workplace = fake_workplace()
    asked: list[str] = []
    workplace.refusals = Recorder(asked)
    app = app_with(workplace, "")
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("o", "o", "slash", "q", "enter")
        await check_comes_true(pilot, lambda: isinstance(app.screen, RollupScreen), "the proposal is open")
        assert asked == ["o/q"]


class Recorder(dict[str, Refusal]):
    """Refuses nothing and keeps a record of what was asked for."""

    def __init__(self, asked: list[str]) -> None:
        super().__init__()
        self.asked = asked

    def get(self, key: str, default: object = None) -> object:  # type: ignore[override]
        """The default, after keeping a record."""
        self.asked.append(key)
        return default


async def test_a_proposal_that_cannot_be_opened_tells_every_problem() -> None:
    """All problems stand on the screen until escape, and the list is there again with what was typed gone."""
    workplace = fake_workplace()
    workplace.refusals = {"x": REFUSAL}
    app = app_with(workplace, "")
    async with app.run_test(size=SMALL) as pilot:
        await check_seen(pilot, "Parcel van")
        await pilot.press("o", "x", "enter")
        await check_comes_true(pilot, lambda: isinstance(app.screen, ErrorScreen), "the message is up")
        text = screen_text(app)
        assert all(part in text for part in (REFUSAL.title, *REFUSAL.lines))
        await pilot.press("escape")
        await check_comes_true(pilot, lambda: isinstance(app.screen, StartScreen), "the list is back")
        await check_seen(pilot, "Parcel van")


async def test_a_path_from_the_command_line_that_fails_leads_to_the_start_screen() -> None:
    """Whoever mistypes the path is told so and can take another one."""
    workplace = fake_workplace()
    workplace.refusals = {"broken.toml": REFUSAL}
    app = app_with(workplace, "broken.toml")
    async with app.run_test(size=SMALL) as pilot:
        await check_seen(pilot, "Cannot open broken.toml")
        await pilot.press("enter")
        await check_comes_true(pilot, lambda: isinstance(app.screen, StartScreen), "the list is up")
        await check_seen(pilot, "Street sweeper")


async def test_an_empty_path_opens_nothing() -> None:
    """Enter on an empty line is no request."""
    app = app_with(fake_workplace(), "")
    async with app.run_test(size=SMALL) as pilot:
        await check_seen(pilot, "Parcel van")
        await pilot.press("o", "enter")
        await pilot.pause()
        assert isinstance(app.screen, StartScreen)
        assert "Opening" not in screen_text(app)


@dataclass
class SlowWorkplace(FakeWorkplace):
    """A workplace that opens nothing until its gate is open, and notes what it is asked for."""

    gate: threading.Event = field(default_factory=threading.Event)
    opened: list[str] = field(default_factory=list)

    def open(self, path: str) -> FakeProposal | Refusal:
        """The one proposal, once the gate is open."""
        self.opened.append(path)
        assert self.gate.wait(5), "nobody opened the gate"
        return super().open(path)


async def test_a_second_enter_opens_nothing_else() -> None:
    """While the proposal of a typed path is being read, enter does not ask for the one under the cursor instead."""
    workplace = SlowWorkplace(fake_workplace().proposal)
    app = app_with(workplace, "")
    async with app.run_test(size=SMALL) as pilot:
        try:
            await check_seen(pilot, "Parcel van")
            await pilot.press("o", *"mine.toml", "enter", "enter", "space")
            await check_seen(pilot, "Opening mine.toml.")
        finally:
            workplace.gate.set()
        await check_seen(pilot, "Whole vehicle")
        assert workplace.opened == ["mine.toml"]


async def test_the_screen_stands_before_the_proposal_is_read() -> None:
    """While a large file is being read its path and the keys are there, and help can be had."""
    workplace = SlowWorkplace(fake_workplace().proposal)
    app = app_with(workplace, "large.toml")
    async with app.run_test(size=SMALL) as pilot:
        try:
            await check_seen(pilot, "Opening large.toml.")
            assert "ctrl+q quit" in screen_text(app)
            await pilot.press("question_mark")
            await check_seen(pilot, "What the keys do")
        finally:
            workplace.gate.set()
        await check_seen(pilot, "Whole vehicle")
        assert not any(isinstance(screen, OpeningScreen) for screen in app.screen_stack)
