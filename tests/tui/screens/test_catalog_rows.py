"""The pages of a long answer, and parts as rows."""

from bomtui.model.part import Part
from bomtui.services.catalog import Wish
from bomtui.services.part_draft import fields_of_part
from bomtui.tui.catalog import CatalogLine, CatalogPage, ComparedField, PartView, SideBySide
from bomtui.tui.screens.catalog.rows import (
    AHEAD_ROWS,
    HELD_PAGES,
    NOT_GIVEN,
    Window,
    part_rows,
    side_columns,
    side_rows,
    wish_words,
)

PAGE = 10


def page(number: int, count: int = 1000) -> CatalogPage:
    """One page of an answer of so many parts."""
    keys = [f"p{at}" for at in range(number * PAGE, min(count, (number + 1) * PAGE))]
    after = number + 1 if (number + 1) * PAGE < count else None
    return CatalogPage((), tuple(CatalogLine(key, (key,), "", "", "") for key in keys), after)


def test_a_window_goes_down_and_up_with_few_pages_held() -> None:
    """Whatever the length of the answer, only some pages are held, and going back up finds every part again."""
    window = Window()
    window.begin(page(0))
    for number in range(1, 50):
        assert window.mark_below == number
        window.add_below(page(number))
        assert len(window.lines) <= HELD_PAGES * PAGE
    assert window.before == (50 - HELD_PAGES) * PAGE
    assert window.lines[0].key == f"p{window.before}"
    seen = []
    while window.before:
        mark = window.mark_above
        window.add_above(page(0 if mark is None else int(str(mark))))
        seen.append(window.lines[0].key)
    assert seen == [f"p{number * PAGE}" for number in range(50 - HELD_PAGES - 1, -1, -1)]
    assert window.lines[0].key == "p0"
    assert window.mark_below == HELD_PAGES
    window.add_below(page(HELD_PAGES))
    assert window.mark_above is None


def test_the_next_page_is_wanted_before_the_end_of_what_is_held() -> None:
    """Near the end the page behind is wanted while there is one, near the beginning the page before."""
    window = Window()
    assert window.wanted(0) == ""
    window.begin(page(0))
    assert window.wanted(0) == "below"
    window.begin(page(0, count=7))
    assert window.wanted(6) == ""
    assert not window.has_more
    for number in range(HELD_PAGES + 1):
        window.begin(page(0)) if number == 0 else window.add_below(page(number, (HELD_PAGES + 1) * PAGE))
    assert window.wanted(0) == "above"
    assert window.wanted(AHEAD_ROWS) == ""


def test_a_page_that_comes_in_asks_for_no_page_at_the_other_end() -> None:
    """Wherever the cursor asks for a page, with that page in the window it asks for none back."""
    size = 100  # as many rows as the shortest page has
    lines = [tuple(CatalogLine(f"p{number}-{at}", ("",), "", "", "") for at in range(size)) for number in range(20)]
    for index in range(HELD_PAGES * size):
        window = Window()
        window.begin(CatalogPage((), lines[0], 1))
        for number in range(1, HELD_PAGES + 3):
            window.add_below(CatalogPage((), lines[number], number + 1))
        if window.wanted(index) == "below":
            window.add_below(CatalogPage((), lines[HELD_PAGES + 3], HELD_PAGES + 4))
            assert window.wanted(index - size) != "above"
        elif window.wanted(index) == "above":
            window.add_above(CatalogPage((), lines[2], 3))
            assert window.wanted(index + size) != "below"


def test_a_part_that_stands_on_two_pages_is_one_line() -> None:
    """A part that was changed meanwhile may come again: a list has it once."""
    window = Window()
    window.begin(page(0))
    window.add_below(page(0))
    assert len(window.lines) == PAGE


def test_what_is_looked_for_stands_in_one_line() -> None:
    """Words, kind, filters, order and the order quantity of prices."""
    wish = Wish("hs 50", "high_side", ("channels >= 8", "price <= 1.2 EUR"), "-price", 1000, "EUR")
    assert wish_words(wish) == (
        "Search hs 50   kind high-side switch   filters channels >= 8; price <= 1.2 EUR   order price, largest first"
        "   price at an order of 1000 EUR"
    )


def test_a_part_shows_what_is_known_first_and_keeps_the_rest() -> None:
    """Every field has one row, what is not given stands in a row of its own, what is typed says so."""
    part = Part(kind="fet", mpn="F-1", invented=("mpn",))
    view = PartView("f-1", "fet", "edited", fields_of_part(part), (), (), (), part)
    rows = {row.key: row for row in part_rows(view, {"rds_on.max": "9 mohm", "supplies.main.voltage": "5 V"})}
    assert rows["mpn"].word == "invented"
    assert (rows["rds_on.max"].cells[1], rows["rds_on.max"].word) == ("9 mohm", "not written")
    assert rows["supplies.main.voltage"].cells[1] == "5 V"
    absent = [own.key for own in view.fields if not own.text and own.key != "rds_on.max"]
    assert rows[NOT_GIVEN].cells[1] == f"{len(absent)} fields"
    assert set(absent) <= rows.keys()


def test_parts_side_by_side_fit_the_width() -> None:
    """What differs comes first; four parts stand in 80 columns beside the names of their fields."""
    fields = (ComparedField("a", ("1", "", "1", "1"), differs=True, help=""),
              ComparedField("b", ("2", "2", "2", "2"), differs=False, help=""))  # fmt: skip
    sides = SideBySide(("p", "q", "r", "s"), fields)
    assert [row.cells[0] for row in side_rows(sides)] == ["different: 1", "a", "the same: 1", "b"]
    assert side_rows(sides)[1].cells == ("a", "1", "unknown", "1", "1")
    widths = [column.max_width for column in side_columns(sides, 80)]
    assert sum(widths) + 2 * len(widths) <= 80
