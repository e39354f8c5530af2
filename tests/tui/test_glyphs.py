"""Signs of the screen."""

from dataclasses import astuple

import pytest
from rich.cells import cell_len

from bomtui.tui.glyphs import ASCII, FULL, Glyphs, glyphs_for, want_ascii
from bomtui.tui.marks import MARKS, worst


def signs(glyphs: Glyphs) -> list[str]:
    """All signs of a set."""
    marks, *others = astuple(glyphs)
    return [sign for mark, sign in marks.items() if mark] + others


@pytest.mark.parametrize("glyphs", [FULL, ASCII])
def test_each_sign_takes_one_cell(glyphs: Glyphs) -> None:
    """No sign shifts what stands behind it."""
    assert {cell_len(sign) for sign in signs(glyphs)} == {1}


@pytest.mark.parametrize("glyphs", [FULL, ASCII])
def test_each_state_has_its_own_sign(glyphs: Glyphs) -> None:
    """States are told apart without colour, even where only the sign is in sight."""
    assert set(glyphs.marks) == set(MARKS)
    assert len(set(glyphs.marks.values())) == len(MARKS)


def test_the_ascii_set_is_ascii() -> None:
    """The set for plain terminals needs no other characters."""
    assert all(sign.isascii() for sign in signs(ASCII))


@pytest.mark.parametrize(
    ("environment", "encoding", "expected"),
    [
        ({}, "UTF-8", False),
        ({}, "utf8", False),
        ({}, "ANSI_X3.4-1968", True),
        ({"TERM": "linux"}, "UTF-8", True),
        ({"TERM": "xterm-256color"}, "UTF-8", False),
        ({"BOMTUI_ASCII": "1"}, "UTF-8", True),
        ({"BOMTUI_ASCII": "0", "TERM": "linux"}, "latin-1", False),
    ],
)
def test_the_terminal_decides_unless_the_user_does(environment: dict[str, str], encoding: str, expected: bool) -> None:
    """ASCII is taken where the full set cannot be shown, or where it is asked for."""
    assert want_ascii(environment, encoding) is expected
    assert glyphs_for(environment, encoding) is (ASCII if expected else FULL)


def test_the_worst_state_wins() -> None:
    """What is over its limit outranks what is unknown, and no state at all is the mildest."""
    assert worst(["ok", "over", "unknown"]) == "over"
    assert worst(["", "ok"]) == "ok"
    assert worst([]) == ""
