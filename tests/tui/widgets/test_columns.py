"""How a width is shared between columns."""

from hypothesis import given
from hypothesis import strategies as st

from bomtui.tui.widgets.columns import CURSOR_WIDTH, MORE_WIDTH, Column, lay_out

NATURAL = st.lists(st.integers(3, 40), min_size=1, max_size=9)


@given(NATURAL, st.integers(0, 20), st.integers(1, 200), st.integers(0, 9), st.integers(1, 40))
def test_nothing_is_wider_than_the_sheet(
    natural: list[int], state_width: int, width: int, first: int, min_name: int
) -> None:
    """The shown columns fit the width as soon as a stub of a name, the state and one column fit at all."""
    layout = lay_out(natural, state_width, width, first, min_name)
    used = CURSOR_WIDTH + layout.name_width + MORE_WIDTH
    used += layout.gap + state_width if state_width else 0
    used += sum(layout.gap + cells for _, cells in layout.shown)
    least = CURSOR_WIDTH + MORE_WIDTH + state_width + 14
    assert used <= max(width, least)
    assert layout.hidden_left + len(layout.shown) + layout.hidden_right == len(natural) - 1


@given(NATURAL, st.integers(0, 14), st.integers(80, 200))
def test_every_column_can_be_reached_whole(natural: list[int], state_width: int, width: int) -> None:
    """Moving sideways step by step shows each column once at least in its full width."""
    seen: dict[int, int] = {}
    for first in range(len(natural)):
        for index, cells in lay_out(natural, state_width, width, first, 20).shown:
            seen[index] = max(seen.get(index, 0), cells)
    assert seen == dict(enumerate(natural[1:], 1))


@given(NATURAL, st.integers(0, 9))
def test_a_wide_sheet_shows_all_columns_at_their_own_width(natural: list[int], first: int) -> None:
    """Where everything fits nothing is cut, hidden or shifted, and the wider gap is taken."""
    layout = lay_out(natural, 12, 600, first, 20)
    assert (layout.name_width, layout.hidden_left, layout.hidden_right, layout.gap) == (natural[0], 0, 0, 2)
    assert [cells for _, cells in layout.shown] == natural[1:]


def test_columns_move_closer_before_one_is_hidden() -> None:
    """The gap narrows where that shows one more column."""
    assert lay_out([10, 5, 5, 5], 0, 34, 0, 10).gap == 2
    layout = lay_out([10, 5, 5, 5], 0, 32, 0, 10)
    assert (layout.gap, len(layout.shown)) == (1, 3)


def test_what_hidden_columns_leave_over_is_the_names() -> None:
    """A wide column that has no room does not keep the name short."""
    layout = lay_out([40, 10, 90], 0, 60, 0, 20)
    assert (layout.name_width, len(layout.shown), layout.hidden_right) == (40, 1, 1)


def test_the_unit_stands_in_the_heading() -> None:
    """A column says its unit once."""
    assert Column("Standby", "uA").heading == "Standby uA"
    assert Column("Pins").heading == "Pins"
