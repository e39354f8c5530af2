"""A load list in the app: what would become of it page by page, its questions answered, taken in as one step."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from bomtui.services.catalog import PLACE_VARIABLE, parts_of_keys
from bomtui.services.sheets import Answers
from bomtui.storage.frozen_parts import parts_path, parts_text
from bomtui.storage.proposal.write import proposal_text
from bomtui.tui.app import BomtuiApp
from bomtui.tui.catalog import CatalogOutcome
from bomtui.tui.from_services.source import SessionSource
from bomtui.tui.glyphs import FULL
from bomtui.tui.incoming import IncomingReport, Listed
from bomtui.tui.report import Refused
from bomtui.tui.screens.rollup.screen import RollupScreen
from tests.edit.small import small
from tests.tui.driving import LARGE, SMALL, check_comes_true, check_seen, check_sheet_up, screen_text
from tests.tui.from_services.real import opened, workplace

WITH_ALL, WITHOUT_REFUSED = False, True
LIST = "Load;Qty;Strom;Gruppe\nlamp;2;450;Cabin lights\nfan;1;1500;\nhorn;1;6 V;Cabin lights\n"


@pytest.fixture
def path(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A small proposal, and a customer's list in the working folder."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "l.csv").write_text(LIST, encoding="utf-8")
    path = tmp_path / "offer" / "small.toml"
    path.parent.mkdir()
    path.write_text(proposal_text(small().proposal), encoding="utf-8")
    parts_path(path).write_text(parts_text(small().parts), encoding="utf-8")
    return path


@pytest.fixture
def source(path: Path, tmp_path: Path) -> Iterator[SessionSource]:
    """The proposal, open."""
    source = opened(path, tmp_path / "settings")
    yield source
    source.discard()


def report_of(source: SessionSource, path: Path, answers: Answers) -> IncomingReport:
    """What would become of the list."""
    report = source.incoming("loads", "", str(path), answers)
    assert isinstance(report, IncomingReport)
    return report


def test_every_page_is_whole(source: SessionSource, tmp_path: Path) -> None:
    """Keys are unique, marks have words, and every question and column can be answered from its line."""
    report = report_of(source, tmp_path / "l.csv", Answers())
    for page in report.pages:
        keys = [line.key for line in page.lines]
        assert len(keys) == len(set(keys))
        assert all(len(line.cells) <= len(page.columns) for line in page.lines)
        assert all(not line.mark or line.word for line in page.lines)
    for page in report.pages[:2]:
        assert {(page.title, line.key) for line in page.lines} <= set(report.questions)
    assert report.obstacle == "2 questions are open"


def test_a_list_that_is_not_there_is_one_line(source: SessionSource, tmp_path: Path) -> None:
    """It is said on the page of what was refused, and nothing can be taken in."""
    report = report_of(source, tmp_path / "none.csv", Answers())
    assert [line.cells[1] for line in report.pages[3].lines] == ["there is no such file or folder"]
    assert report.obstacle
    assert report.edit is None


@pytest.mark.parametrize(
    ("what", "text", "name"),
    [
        ("placements", "load,on\nL3,REAR.U4.2\n", "L3"),
        ("distances", "[m],Z1,Z2\nZ1,,3.25\nZ2,,\n", "Z1 to Z2"),
        ("quantities", "module,part,quantity\nREAR,board,2.5 dm2\n", "REAR.board"),
    ],
)
def test_other_lists_become_one_step(source: SessionSource, tmp_path: Path, what: Listed, text: str, name: str) -> None:
    """Placements, wire runs and quantities of the variant that is shown."""
    (tmp_path / "other.csv").write_text(text, encoding="utf-8")
    report = source.incoming(what, "one", str(tmp_path / "other.csv"), Answers())
    assert isinstance(report, IncomingReport)
    assert [line.cells[0] for page in report.pages if page.title == what for line in page.lines] == [name]
    assert (report.obstacle, report.into_catalog) == ("", None)
    assert report.edit is not None
    assert source.do(report.edit).state == "done"
    again = source.incoming(what, "one", str(tmp_path / "other.csv"), Answers())
    assert isinstance(again, IncomingReport)
    assert not again.has_something


def test_parts_go_into_the_catalog_and_not_the_proposal(
    source: SessionSource, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One transaction of the catalog, which its history knows; a catalog that cannot be used is one sentence."""
    monkeypatch.setenv(PLACE_VARIABLE, str(tmp_path / "catalog.sqlite"))
    (tmp_path / "parts.csv").write_text("MPN,maker,kind\nQQ-1,Nobody,fet\nQQ-2,Nobody,kettle\n", encoding="utf-8")
    report = source.incoming("parts", "one", str(tmp_path / "parts.csv"), Answers())
    assert isinstance(report, IncomingReport)
    assert report.edit is None
    assert report.refused == 1
    assert report.into_catalog is not None
    assert report.into_catalog(WITH_ALL).state == "refused"
    before = source.snapshot
    assert report.into_catalog(WITHOUT_REFUSED) == CatalogOutcome(
        "done", "Taken into the catalog: 1 part. Its own history takes it back (K, then h)."
    )
    assert source.snapshot is before
    assert list(parts_of_keys(("QQ-1",))) == ["QQ-1"]
    (tmp_path / "letter.sqlite").write_bytes(b"this is a letter, not a database\n" * 40)
    monkeypatch.setenv(PLACE_VARIABLE, str(tmp_path / "letter.sqlite"))
    refused = source.incoming("parts", "one", str(tmp_path / "parts.csv"), Answers())
    assert isinstance(refused, Refused)


def test_whose_prices_stand_is_asked_with_the_names_of_the_list(
    source: SessionSource, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The question has its choices, and what a column was taken for can be said of it once more."""
    monkeypatch.setenv(PLACE_VARIABLE, str(tmp_path / "catalog.sqlite"))
    text = "MPN,kind,Alpha price [EUR],Beta price [USD]\nQQ-1,fet,1.20,1.30\n"
    (tmp_path / "parts.csv").write_text(text, encoding="utf-8")
    report = source.incoming("parts", "one", str(tmp_path / "parts.csv"), Answers())
    assert isinstance(report, IncomingReport)
    assert report.questions["questions", "q0"].choices == ("Alpha", "Beta", "Alpha, Beta", "Beta, Alpha")
    columns = {f"#{number}": report.questions["columns", f"c{number}"].proposed for number in (3, 4)}
    told = source.incoming("parts", "one", str(tmp_path / "parts.csv"), Answers(supplier="Beta", columns=columns))
    assert isinstance(told, IncomingReport)
    assert (told.obstacle, told.refused, told.has_something) == ("", 0, True)


@pytest.mark.slow
@pytest.mark.parametrize("size", [SMALL, LARGE])
async def test_a_list_is_answered_and_taken_in_by_keys(path: Path, tmp_path: Path, size: tuple[int, int]) -> None:
    """Each question leads to its answers; refused rows are asked once more; one undo takes all of it back."""
    app = BomtuiApp(workplace(tmp_path / "settings"), str(path), FULL)
    async with app.run_test(size=size) as pilot:
        await check_sheet_up(pilot)
        screen = app.screen
        assert isinstance(screen, RollupScreen)
        before = screen.source.snapshot.proposal
        await pilot.press("I", "enter", *"l.csv", "enter")
        await check_seen(pilot, "2 questions are open")
        assert "Strom" in screen_text(app)
        await pilot.press("enter")
        await check_seen(pilot, "has numbers without a unit")
        await pilot.press("down", "down", "down", "down", "enter")
        await check_seen(pilot, "1 question is open")
        await pilot.press("home", "enter")
        await check_seen(pilot, "number its rows?")
        await pilot.press("enter")
        await check_seen(pilot, "is empty below filled cells")
        await pilot.press("home", "enter", "enter")
        await check_seen(pilot, "1 load understood, 2 lines refused")
        await pilot.press("home", "enter", "enter")
        await check_seen(pilot, "3 loads understood, 1 line refused")
        await pilot.press("i")
        await check_seen(pilot, "Take the others in?")
        await pilot.press("down", "enter")
        await check_seen(pilot, "import 3 loads from l.csv")
        loads = screen.source.snapshot.proposal.loads
        new = [load for key, load in loads.items() if key not in before.loads]
        assert sorted(load.test_current_a or 0 for load in new) == [0.45, 0.45, 1.5]
        assert {load.subsystem for load in new} == {"Cabin-lights"}
        await pilot.press("u")
        await check_comes_true(pilot, lambda: screen.source.snapshot.proposal is before, "all of it is taken back")
        await pilot.press("escape")
        await check_comes_true(pilot, lambda: app.screen is screen, "the sheet is up again")


@pytest.mark.slow
async def test_answers_are_kept_and_used_again(path: Path, tmp_path: Path) -> None:
    """The key w keeps what was said, o takes it for the next list; a file that holds none is said."""
    app = BomtuiApp(workplace(tmp_path / "settings"), str(path), FULL)
    kept = tmp_path / "k.json"
    async with app.run_test(size=LARGE) as pilot:
        await check_sheet_up(pilot)
        await pilot.press("I", "enter", *"l.csv", "enter")
        await check_seen(pilot, "2 questions are open")
        await pilot.press("home", "enter", "enter")
        await check_seen(pilot, "1 question is open")
        await pilot.press("w", "ctrl+u", *"k.json", "enter")
        await check_seen(pilot, "Kept the answers in")
        await pilot.press("escape", "I", "enter", *"l.csv", "enter")
        await check_seen(pilot, "2 questions are open")
        await pilot.press("o", "ctrl+u", *"l.csv", "enter")
        await check_seen(pilot, "expected answers about a list")
        await pilot.press("o", "ctrl+u", *"k.json", "enter")
        await check_seen(pilot, "1 question is open")
    assert kept.is_file()
