"""Text of exact width."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from bomtui.model.plain_text import clean
from bomtui.tui.text import LONGEST_CELL, cell, fit, width_of, wrap

ANY_TEXT = st.text(st.characters(codec=None), max_size=60)
WIDE_TEXT = st.text("ab 車両⚡é", max_size=40)


@given(ANY_TEXT | WIDE_TEXT, st.integers(0, 50), st.sampled_from(["left", "right"]), st.sampled_from(["", "…", "~"]))
def test_fitted_text_is_exactly_as_wide_as_asked(text: str, width: int, align: str, ellipsis: str) -> None:
    """Whatever the text, the result takes the cells of its place, no more and no less."""
    fitted = fit(text, width, "left" if align == "left" else "right", ellipsis)
    assert cell_len(fitted) == width
    assert fitted == clean(fitted)


@pytest.mark.parametrize(("width", "shown"), [(8, "439.2334"), (10, "  439.2334"), (7, "      …"), (1, "…"), (0, "")])
def test_a_number_is_never_cut(width: int, shown: str) -> None:
    """A number that does not fit is left out as a whole, because half of it would be another number."""
    assert fit("439.2334", width, "right", "…") == shown


def test_a_cut_name_ends_in_a_sign() -> None:
    """A name that was cut says so."""
    assert fit("stop lamp left", 9, ellipsis="…") == "stop lam…"


def test_a_wide_character_is_not_split() -> None:
    """Where only half of a wide character would fit stands a blank."""
    assert fit("車両x", 3) == "車 "


def test_a_cell_has_a_bounded_length() -> None:
    """A text of megabytes costs no more than a line."""
    assert len(cell("x" * 10_000_000)) == LONGEST_CELL + 3


@given(ANY_TEXT | WIDE_TEXT, st.integers(12, 60))
def test_wrapping_keeps_everything_and_stays_within_the_width(text: str, width: int) -> None:
    """No line is too wide and no visible character is lost or moved."""
    lines = wrap(text, width)
    assert all(width_of(line) <= width for line in lines)
    assert "".join("".join(lines).split()) == "".join(clean(text).split())


def test_wrapped_lines_hang_below_the_first_one() -> None:
    """Later lines are indented further, so that steps of an explanation stay apart."""
    assert wrap("  rated power 55 W from load L24", 20) == ["  rated power 55 W", "    from load L24"]


def test_wrapped_lines_stand_below_what_follows_a_label() -> None:
    """A label and a gap keep their column free; a gap further right than a label reaches is none."""
    assert wrap("has     no rail of that voltage", 20) == ["has     no rail of", "        that voltage"]
    assert wrap("  a long beginning of a line   and its end", 24) == [
        "  a long beginning of a", "    line   and its end",
    ]  # fmt: skip
    assert wrap(">= 49 uA  3 unknown", 12, hang=0) == [">= 49 uA  3", "unknown"]


def test_one_endless_word_is_wrapped_in_reasonable_time() -> None:
    """A note of a million letters without a blank costs no more than its lines."""
    lines = wrap("x" * 1_000_000, 80)
    assert sum(line.count("x") for line in lines) == 1_000_000
    assert len(lines) == 12_821
