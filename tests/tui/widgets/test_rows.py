"""Which rows of a sheet are visible, and where its cursor goes."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bomtui.tui.widgets.rows import Outline, Row, parent_keys, visible_rows


@st.composite
def outlines(draw: st.DrawFn) -> list[Row]:
    """Rows of any tree."""
    depths = [0]
    for _ in range(draw(st.integers(0, 30))):
        depths.append(draw(st.integers(0, depths[-1] + 1)))
    return [
        Row(f"r{index}", depth, (f"row {index}",), has_children=depth < (depths[index + 1 : index + 2] or [0])[0])
        for index, depth in enumerate(depths)
    ]


def tree() -> list[Row]:
    """A module with a device with two loads, and another module."""
    return [
        Row("ZREA", 0, ("rear",), has_children=True),
        Row("U1", 1, ("switch",), has_children=True),
        Row("L11", 2, ("stop lamp",)),
        Row("L12", 2, ("tail lamp",)),
        Row("ZENG", 0, ("engine",)),
    ]


def keys(outline: Outline) -> list[str]:
    """Keys of the visible rows."""
    return [row.key for row in outline.visible]


def cursor_key(outline: Outline) -> str:
    """Key of the row under the cursor."""
    assert outline.cursor_row is not None
    return outline.cursor_row.key


@given(outlines(), st.data())
def test_a_row_is_visible_if_all_rows_around_it_are_open(rows: list[Row], data: st.DataObject) -> None:
    """The visible rows are those whose every surrounding row is open, in the given order."""
    open_keys = data.draw(st.sets(st.sampled_from([row.key for row in rows])))
    parents = parent_keys(rows)

    def around(key: str) -> list[str]:
        return [] if key not in parents else [parents[key], *around(parents[key])]

    assert visible_rows(rows, open_keys) == [row for row in rows if set(around(row.key)) <= open_keys]


@given(outlines(), st.data())
def test_the_cursor_always_stands_on_a_visible_row(rows: list[Row], data: st.DataObject) -> None:
    """Whatever is opened, closed, moved or replaced, the cursor is on a row that can be seen."""
    outline = Outline()
    outline.set_rows(rows)
    all_keys = [row.key for row in rows]
    for _ in range(data.draw(st.integers(1, 8))):
        match data.draw(st.integers(0, 4)):
            case 0:
                outline.set_open(data.draw(st.sampled_from(all_keys)), is_open=data.draw(st.booleans()))
            case 1:
                outline.move_to(data.draw(st.integers(-3, 40)))
            case 2:
                outline.set_rows(rows[: data.draw(st.integers(1, len(rows)))])
            case 3:
                outline.set_rows(rows)
                assert outline.reveal(data.draw(st.sampled_from(all_keys)))
            case _:
                outline.set_all_open(is_open=data.draw(st.booleans()))
        assert outline.cursor_row is outline.visible[outline.cursor]


def test_the_cursor_keeps_its_row_when_rows_come_and_go() -> None:
    """New rows before the cursor do not move it to another row."""
    outline = Outline()
    outline.set_rows(tree())
    outline.reveal("L12")
    outline.set_rows([Row("new", 0, ("new",)), *tree()])
    assert cursor_key(outline) == "L12"


def test_the_cursor_goes_to_the_row_around_one_that_is_gone() -> None:
    """A load that was taken away leaves the cursor on its device, a device with all its loads on its module."""
    outline = Outline()
    outline.set_rows(tree())
    outline.reveal("L12")
    outline.set_rows([row for row in tree() if row.key != "L12"])
    assert cursor_key(outline) == "U1"
    outline.set_rows([Row("ZREA", 0, ("rear",)), Row("ZENG", 0, ("engine",))])
    assert cursor_key(outline) == "ZREA"


def test_closing_the_rows_around_the_cursor_takes_it_along() -> None:
    """Closing everything leaves the cursor on the outermost row that it was in."""
    outline = Outline()
    outline.set_rows(tree())
    outline.reveal("L11")
    outline.set_all_open(is_open=False)
    assert (cursor_key(outline), keys(outline)) == ("ZREA", ["ZREA", "ZENG"])


def test_revealing_opens_what_is_around_and_nothing_else() -> None:
    """Going to a device opens its module, not the device; going nowhere changes nothing."""
    outline = Outline()
    outline.set_rows(tree())
    assert outline.reveal("U1")
    assert keys(outline) == ["ZREA", "U1", "ZENG"]
    assert not outline.reveal("nowhere")
    assert (cursor_key(outline), keys(outline)) == ("U1", ["ZREA", "U1", "ZENG"])


def test_an_empty_outline_has_no_row() -> None:
    """Without rows there is no row under the cursor, and moving it is harmless."""
    outline = Outline()
    outline.set_rows([])
    outline.move_to(5)
    assert (outline.cursor_row, outline.cursor) == (None, 0)


def test_two_rows_of_one_key_are_refused() -> None:
    """A key names one row."""
    with pytest.raises(ValueError, match="same key"):
        Outline().set_rows([Row("a", 0, ("x",)), Row("a", 0, ("y",))])
