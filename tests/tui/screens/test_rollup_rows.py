"""A view as rows of the sheet."""

from dataclasses import replace

from bomtui.tui.from_services.names import UNPLACED
from bomtui.tui.glyphs import FULL
from bomtui.tui.screens.rollup.rows import (
    EMPTY_KEY,
    NOTHING_YET,
    TreeKind,
    build_tree,
    detail_lines,
    key_of,
    sheet_columns,
    status_text,
)
from bomtui.tui.screens.steps.searching import find
from bomtui.tui.view import Cells, Details, Figure, Place
from tests.tui.fake import FINDINGS, rollup_view


def test_the_tree_holds_every_place_inside_the_one_that_holds_it() -> None:
    """Rows stand in order, each one step deeper than the row around it, the vehicle's totals first."""
    rows = build_tree(rollup_view(), "modules").rows
    assert [(row.depth, row.cells[0].split()[0]) for row in rows] == [
        (0, "Whole"), (0, "ZENG"), (1, "U1"), (2, "C03"),
        (0, "ZREA"), (1, "U1"), (2, "L11"), (2, "L12"), (2, "L24"), (1, "U2"), (2, "W05"), (2, "W07"), (1, "board,"),
    ]  # fmt: skip
    assert [row.has_children for row in rows] == [
        False, True, True, False, True, True, False, False, False, True, False, False, False,
    ]  # fmt: skip


def test_a_load_that_stands_twice_has_two_rows() -> None:
    """Joined channels show one load in two places of one device without mixing up their rows."""
    load = Place("L24", "L24 work lamp")
    view = rollup_view(modules=(Place("Z", "Z", children=(load, load)),))
    tree = build_tree(view, "modules")
    assert len({row.key for row in tree.rows}) == 4
    assert key_of(tree, "L24") == tree.rows[2].key


def test_a_place_without_a_row_is_found_in_the_place_around_it() -> None:
    """A finding at a channel leads to its device, and one at an unknown place nowhere."""
    tree = build_tree(rollup_view(), "modules")
    assert tree.places[key_of(tree, "ZREA.U1.OUT3") or ""].address == "ZREA.U1"
    assert tree.places[key_of(tree, "ZREA.U9.OUT3") or ""].address == "ZREA"
    assert key_of(tree, "nowhere") is None
    assert key_of(tree, "") is None


def test_an_empty_variant_says_what_to_do() -> None:
    """A variant without modules has a row that says so, and no place stands behind it."""
    kinds: tuple[TreeKind, ...] = ("modules", "subsystems")
    for kind in kinds:
        tree = build_tree(rollup_view(modules=(), subsystems=tuple), kind)
        assert tree.rows[-1].key == EMPTY_KEY
        assert "a adds one" in tree.rows[-1].cells[0]
        assert EMPTY_KEY not in tree.places


def test_units_stand_in_the_headings_once() -> None:
    """The sheet names the unit of each column that has one, money with the proposal's own currency."""
    assert [column.heading for column in sheet_columns("modules", "SEK")] == [
        "Modules", "Load A", "Parts SEK", "Channels", "Pins", "Standby uA", "Cost SEK", "Findings",
    ]  # fmt: skip
    assert [column.heading for column in sheet_columns("subsystems", "SEK")] == [
        "Subsystems", "Load A", "Cost SEK", "Findings",
    ]  # fmt: skip


def test_the_status_line_says_the_row_in_words_and_cuts_no_number() -> None:
    """At every width the line is made of whole pieces, each with its unit."""
    place = rollup_view().modules[1]
    pieces = {
        "1 error", "channels 5/6", "pins 35/120", "load 8.36 A in IDLE", "standby >= 44.7 uA", "parts 61.2041 EUR",
        "findings 2",
    }  # fmt: skip
    whole = status_text(place, "EUR", 200, "IDLE")
    title, _, rest = whole.partition("; ")
    assert (title, set(rest.split(", "))) == (place.title, pieces)
    for width in range(30, 130):
        line = status_text(place, "EUR", width, "IDLE")
        assert len(line) <= width
        assert set(line.partition("; ")[2].split(", ")) <= pieces | {""}


def test_the_status_line_names_no_mode_where_there_is_none() -> None:
    """A proposal without modes says no word about one."""
    assert status_text(rollup_view().modules[0].children[0].children[0], "EUR", 200) == (
        "C03 hydraulic oil cooler fan; load 11.20 A"
    )


def test_details_line_up_their_numbers() -> None:
    """Values stand below each other, with state and notes, below the findings that are about the place."""
    details = Details(
        "U1",
        (Figure("Load current", "3.9 A"), Figure("Tj", "162 degC", "over", "over 150 degC")),
        ("a note",),
        (FINDINGS[1],),
    )
    assert detail_lines(details, FULL, 60) == [
        ("U1", "strong"),
        ("◊ warning  ZENG: 131 of 142 pins are used, the reserve asks for 10 %", "check"),
        ("", ""),
        ("Load current  3.9 A", ""),
        ("Tj            162 degC   ✗ over 150 degC", "over"),
        ("", ""),
        ("a note", "quiet"),
    ]


def test_many_findings_leave_room_for_the_figures() -> None:
    """The worst stand above the figures of a place, and how many more there are is said."""
    details = Details("whole", (Figure("cost", "1 EUR"),), findings=(FINDINGS[1],) * 9)
    lines = [text for text, _ in detail_lines(details, FULL, 60)]
    assert len(lines) == 1 + 6 + 1 + 1 + 1
    assert lines[7] == "and 3 more findings here: l lists all"
    assert lines[-1] == "cost  1 EUR"


def test_details_of_a_narrow_pane_keep_a_number_beside_its_label() -> None:
    """Labels take at most six tenths of the width, so that the value of a short one is not pushed out of its line."""
    details = Details("U1", (Figure("rounding excess of the programme", "1 EUR"), Figure("heat", "2 W")))
    lines = [text for text, _ in detail_lines(details, FULL, 30)]
    assert lines[-2:] == ["rounding excess of the programme  1 EUR", f"{'heat'.ljust(18)}  2 W"]


def test_a_variant_without_modules_says_what_to_do_though_loads_wait() -> None:
    """Loads that nothing serves are no modules: how to begin stands above them."""
    waiting = Place(UNPLACED, "served by no module: 2 loads", Cells())
    rows = build_tree(rollup_view(modules=(waiting,)), "modules").rows
    assert [row.cells[0] for row in rows[1:]] == [NOTHING_YET["modules"], "served by no module: 2 loads"]


def test_finding_goes_around_and_ignores_case() -> None:
    """The next row with the word comes first, the own row last."""
    tree = build_tree(rollup_view(), "modules")
    names = {row.key: row.cells[0] for row in tree.rows}
    first = find(tree.rows, "STOP", None, 1)
    second = find(tree.rows, "stop", first, 1)
    assert [names[key or ""] for key in (first, second)] == ["L11 stop lamp left, 21 W", "L12 stop lamp right, 21 W"]
    assert find(tree.rows, "stop", second, 1) == first
    assert find(tree.rows, "stop", first, -1) == second
    assert find(tree.rows, "C03", find(tree.rows, "C03", None, 1), 1) == find(tree.rows, "C03", None, 1)
    assert find(tree.rows, "nothing like it", None, 1) is None


def test_a_changed_place_changes_only_its_row() -> None:
    """Rows of equal places are equal, so that the sheet draws only what differs."""
    view = rollup_view()
    rear = replace(view.modules[1], word="2 errors")
    before, after = (
        build_tree(view, "modules").rows,
        build_tree(replace(view, modules=(view.modules[0], rear)), "modules").rows,
    )
    assert [old.key for old, new in zip(before, after, strict=True) if old != new] == [after[4].key]
