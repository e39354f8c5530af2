"""The sheet on a screen: what is drawn, what is drawn again, and how it answers to keys."""

import pytest
from rich.cells import cell_len
from textual.app import App, ComposeResult

from bomtui.tui.glyphs import FULL
from bomtui.tui.screens.rollup.rows import build_tree, sheet_columns
from bomtui.tui.theme import DARK_COLOURS
from bomtui.tui.widgets.columns import Column
from bomtui.tui.widgets.rows import Row
from bomtui.tui.widgets.sheet import Sheet
from tests.tui.driving import LARGE, SMALL, check_comes_true, screen_text
from tests.tui.fake import large_view

COLUMNS = (Column("Modules", max_width=30), Column("Load", "A", align="right"), Column("Parts", "EUR", align="right"))


def rows(current: str = "0.75") -> list[Row]:
    """A module with two loads, and another module."""
    return [
        Row("ZREA", 0, ("rear", "1.50", "61.2041"), has_children=True, mark="over", word="1 error"),
        Row("L11", 1, ("stop lamp", current, "")),
        Row("L12", 1, ("tail lamp", "0.75", "")),
        Row("ZENG", 0, ("engine", ">= 21.4", "88.0310"), mark="unknown", word="1 unknown"),
    ]


class SheetApp(App[None]):
    """Nothing but a sheet."""

    CSS_PATH = "../../../bomtui/tui/app.tcss"

    def __init__(self, columns: tuple[Column, ...] = COLUMNS, empty: str = "") -> None:
        super().__init__()
        self.moves: list[str] = []
        self.taken: list[str] = []
        self.sheet = Sheet(columns, FULL, id="sheet", take=self.take, state_title="State", empty=empty)

    def get_theme_variable_defaults(self) -> dict[str, str]:
        """The colours that the style sheet names."""
        return DARK_COLOURS

    def compose(self) -> ComposeResult:
        """The sheet."""
        yield self.sheet

    def on_mount(self) -> None:
        """The keys go to the sheet."""
        self.screen.set_focus(self.sheet)

    def on_sheet_moved(self, message: Sheet.Moved) -> None:
        """Keep a record."""
        self.moves.append(message.row.key)

    def take(self, row: Row) -> None:
        """Keep a record."""
        self.taken.append(row.key)


def shown(app: SheetApp) -> list[str]:
    """Keys of the rows that are not folded away."""
    return [row.key for row in app.sheet.shown_rows]


async def test_a_row_shows_name_state_and_figures_under_their_headings() -> None:
    """Each figure ends below the end of its heading, and the state has sign and word."""
    app = SheetApp()
    async with app.run_test(size=SMALL) as pilot:
        app.sheet.set_rows(rows())
        await pilot.pause()
        head, rear, engine = screen_text(app).splitlines()[:3]
        assert "✗ 1 error" in rear
        assert "? 1 unknown" in engine
        assert head.index("Load A") + len("Load A") == rear.index("1.50") + len("1.50")
        assert head.index("Load A") + len("Load A") == engine.index(">= 21.4") + len(">= 21.4")
        assert rear.startswith("> ▸ rear")


async def test_rows_open_and_close_by_keys() -> None:
    """Right opens and then goes inside, left goes out and then closes, enter does both and takes a row without rows."""
    app = SheetApp()
    async with app.run_test(size=SMALL) as pilot:
        app.sheet.set_rows(rows())
        await pilot.press("right")
        assert shown(app) == ["ZREA", "L11", "L12", "ZENG"]
        await pilot.press("right", "down")
        assert app.sheet.cursor_row == rows()[2]
        await pilot.press("enter")
        assert app.taken == ["L12"]
        await pilot.press("left")
        assert app.sheet.cursor_row == rows()[0]
        await pilot.press("left")
        assert shown(app) == ["ZREA", "ZENG"]
        await pilot.press("enter")
        assert shown(app) == ["ZREA", "L11", "L12", "ZENG"]
        await pilot.press("minus")
        assert shown(app) == ["ZREA", "ZENG"]
        await pilot.press("plus", "end")
        assert app.sheet.cursor_row == rows()[3]


async def test_moving_the_cursor_draws_two_lines() -> None:
    """However many rows there are, a step of the cursor draws the line it leaves and the line it enters."""
    view = large_view()
    app = SheetApp(sheet_columns("modules", "EUR"))
    async with app.run_test(size=LARGE) as pilot:
        app.sheet.set_rows(build_tree(view, "modules").rows)
        await pilot.press("plus")
        await check_comes_true(pilot, lambda: app.sheet.strips_drawn >= LARGE[1] - 1, "the first page is drawn")
        await pilot.pause()
        assert len(app.sheet.shown_rows) == 2151
        before = app.sheet.strips_drawn
        await pilot.press("down")
        await pilot.pause()
        assert app.sheet.strips_drawn - before == 2
        # The row that was left before is still in the cache without its cursor.
        await pilot.press("up")
        await pilot.pause()
        assert app.sheet.strips_drawn - before == 2


@pytest.mark.parametrize("key", ["pagedown", "end", "down"])
async def test_scrolling_draws_no_more_than_one_page(key: str) -> None:
    """Scrolling through 2,000 loads costs what is in sight, not what there is."""
    app = SheetApp(sheet_columns("modules", "EUR"))
    async with app.run_test(size=LARGE) as pilot:
        app.sheet.set_rows(build_tree(large_view(), "modules").rows)
        await pilot.press("plus")
        await pilot.pause()
        before = app.sheet.strips_drawn
        await pilot.press(key)
        await pilot.pause()
        assert 0 < app.sheet.strips_drawn - before <= LARGE[1] + 1


async def test_new_rows_draw_only_what_differs() -> None:
    """One changed figure draws one line, and equal rows draw none."""
    app = SheetApp()
    async with app.run_test(size=SMALL) as pilot:
        app.sheet.set_rows(rows())
        await pilot.press("plus", "end")
        await pilot.pause()
        before = app.sheet.strips_drawn
        app.sheet.set_rows(rows("0.80"))
        await pilot.pause()
        assert app.sheet.strips_drawn - before == 1
        assert "0.80" in screen_text(app)
        app.sheet.set_rows(rows("0.80"))
        await pilot.pause()
        assert app.sheet.strips_drawn - before == 1
        assert app.sheet.cursor_row == rows()[3]


async def test_columns_move_whole_and_take_their_headings_along() -> None:
    """No width shows a part of a number, and signs in the header say where more columns are."""
    columns = (Column("Modules", max_width=30), *(Column(f"Figure {n}", align="right") for n in range(9)))
    app = SheetApp(columns)
    cells = ("rear", *(f"{n}{n}{n}.{n}{n}{n}{n}" for n in range(9)))
    async with app.run_test(size=(60, 15)) as pilot:
        app.sheet.set_rows([Row("ZREA", 0, cells, mark="ok", word="no finding")])
        seen: set[str] = set()
        for _ in range(9):
            await pilot.pause()
            head, row = screen_text(app).splitlines()[:2]
            numbers = row.split()[5:]
            assert set(numbers) <= set(cells)
            assert [name.replace("Figure ", "") for name in numbers] == numbers
            assert len(numbers) == head.count("Figure")
            seen |= set(numbers)
            await pilot.press("greater_than_sign")
        assert seen == set(cells[1:])
        await pilot.pause()
        head = screen_text(app).splitlines()[0]
        assert "<" in head
        assert not head.endswith(">")
        for _ in range(9):
            await pilot.press("shift+left")
        await pilot.pause()
        head = screen_text(app).splitlines()[0]
        assert "<" not in head
        assert head.endswith(">")


async def test_wide_characters_keep_the_figures_in_line() -> None:
    """A name of wide characters, cut or whole, shifts no figure."""
    app = SheetApp()
    async with app.run_test(size=SMALL) as pilot:
        names = ("車両" * 20, "x" + "車両" * 20, "e\u0301lan")
        app.sheet.set_rows([Row(name, 0, (name, "0.75", "1.0000")) for name in names])
        await pilot.pause()
        ends = {cell_len(line.split("1.0000")[0]) for line in screen_text(app).splitlines()[1:4]}
        assert len(ends) == 1


async def test_an_empty_sheet_says_what_to_do() -> None:
    """Nobody is left before a blank page."""
    app = SheetApp(empty="No modules yet: add one.")
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("down", "enter", "left", "right", "plus", "end")
        assert "No modules yet: add one." in screen_text(app)
        assert (app.moves, app.taken) == ([], [])


async def test_a_click_goes_to_the_row_and_on_its_sign_opens_it() -> None:
    """The mouse does what the keys do."""
    app = SheetApp()
    async with app.run_test(size=SMALL) as pilot:
        app.sheet.set_rows(rows())
        await pilot.click(Sheet, offset=(20, 2))
        assert app.sheet.cursor_row == rows()[3]
        await pilot.click(Sheet, offset=(2, 1))
        assert shown(app) == ["ZREA", "L11", "L12", "ZENG"]


async def test_a_row_with_nothing_but_its_name_has_the_whole_line() -> None:
    """A sentence in a sheet is not cut at the width of the names; one with a state is."""
    sentence = "No modules in this variant yet: add them to the file."
    app = SheetApp()
    async with app.run_test(size=SMALL) as pilot:
        app.sheet.set_rows([Row("a", 0, (sentence,)), Row("b", 0, (sentence,), mark="over", word="1 error")])
        await check_comes_true(pilot, lambda: sentence in screen_text(app), "the sentence stands whole")
        assert screen_text(app).count(sentence) == 1


async def test_a_word_without_a_sign_is_not_cut_either() -> None:
    """The column of states is as wide as its widest word, signed or not."""
    app = SheetApp()
    async with app.run_test(size=SMALL) as pilot:
        app.sheet.set_rows([Row("a", 0, ("rear", "1.50", "61.2041"), word="no finding")])
        await check_comes_true(pilot, lambda: "no finding" in screen_text(app), "the word stands whole")
