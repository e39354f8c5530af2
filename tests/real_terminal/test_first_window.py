"""The first window in a terminal of its own, by keys alone."""

import signal
import sys
from pathlib import Path

import pytest

from tests.real_terminal.terminal import Terminal

REPOSITORY = Path(__file__).parents[2]
SIZES = pytest.mark.parametrize(("columns", "rows"), [(80, 24), pytest.param(120, 40, marks=pytest.mark.slow)])


def look(*words: str, columns: int = 80, rows: int = 24, environment: dict[str, str] | None = None) -> Terminal:
    """The app over the invented proposal."""
    surroundings = {"PYTHONPATH": str(REPOSITORY), **(environment or {})}
    return Terminal([sys.executable, "-m", "tests.tui.look", *words], columns, rows, surroundings)


@SIZES
def test_a_proposal_is_read_from_the_start_screen_to_quit(columns: int, rows: int) -> None:
    """Start, a sample, a module opened, a finding, an explanation, another variant, and out in good order."""
    with look(columns=columns, rows=rows) as terminal:
        terminal.wait_for("Parcel van")
        terminal.send("\r")
        terminal.wait_for("Whole vehicle")
        terminal.send("\x1b[B\x1b[B\x1b[C")
        terminal.wait_for("U2 ls-2x40")
        terminal.send("f")
        terminal.wait_for("error: the junction reaches 162 degC")
        terminal.send("x")
        terminal.wait_for("step 0 of ZREA.U1:load_current_a")
        terminal.send("\x1b")
        terminal.wait_for("Whole vehicle")
        terminal.send("vv\r")
        terminal.wait_for(lambda text: "distributed" in text.splitlines()[0])
        terminal.send("\x11")
        assert terminal.wait_for_end() == 0
        assert terminal.is_left_in_order


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP])
def test_a_signal_leaves_the_terminal_in_order(number: signal.Signals) -> None:
    """Ended from outside, the program gives the terminal back and says by its exit code what ended it."""
    with look("sweeper") as terminal:
        terminal.wait_for("Whole vehicle")
        terminal.signal(number)
        assert terminal.wait_for_end() == 128 + number
        assert terminal.is_left_in_order


@pytest.mark.slow
def test_keys_typed_ahead_land_where_they_belong() -> None:
    """What is typed in one burst behind a key that opens something is not lost and not taken for commands."""
    with look("sweeper") as terminal:
        terminal.wait_for("Whole vehicle")
        terminal.send("/hydraulic\r")
        terminal.wait_for(lambda text: "C03 hydraulic oil cooler fan; load 11.20 A" in text)
        terminal.send("w\x7f\x7f\x7fjson\r")
        terminal.wait_for("Wrote 58 lines to sweeper-zone-parts.json.")
        terminal.send("l\x1b[B\x1b[B\r")
        terminal.wait_for("undecided: the limit of a channel is not known")
        terminal.send("\x1b[A\x1b[Ax")
        terminal.wait_for("step 0 of ZREA:load_current_a")
        terminal.send("x\x10first line\r\x10last line\r")
        terminal.wait_for("board, 1.4 dm2; parts 2.5200 EUR")
        terminal.send("vv\r/stop\rn")
        terminal.wait_for(lambda text: "distributed" in text.splitlines()[0])
        terminal.wait_for("L12 stop lamp right, 21 W; load 0.75 A")
        terminal.send("/\x11")
        assert terminal.wait_for_end() == 0


@pytest.mark.slow
def test_the_terminal_can_shrink_and_grow() -> None:
    """Any size leaves a screen, and the large one is whole again."""
    with look("sweeper") as terminal:
        terminal.wait_for("Whole vehicle")
        for columns, rows in ((20, 5), (59, 40), (1, 1), (200, 60), (60, 15), (120, 40)):
            terminal.resize(columns, rows)
            terminal.wait_for("ctrl+q quit" if columns >= 60 and rows >= 15 else lambda text: "vehicle" not in text)
            if columns in {20, 59}:
                terminal.wait_for("needs at least 60x15")
            if columns >= 60:
                # Laid out for this size, not for the one before.
                terminal.wait_for(lambda text: ">   Whole vehicle" in text and "? keys" in text.splitlines()[-1])
        terminal.send("\x11")
        assert terminal.wait_for_end() == 0


def test_a_plain_terminal_gets_ascii_and_no_colour() -> None:
    """With ASCII and NO_COLOR every line is ASCII, states are words, and the cursor has its own sign."""
    surroundings = {"TERM": "vt100", "COLORTERM": "", "NO_COLOR": "1"}
    with look("sweeper", environment=surroundings) as terminal:
        terminal.wait_for("X 2 errors")
        terminal.send("d")
        terminal.wait_for("vehicle in full")
        assert terminal.text.isascii()
        assert ">   Whole vehicle" in terminal.text


@pytest.mark.slow
def test_two_thousand_loads_scroll_to_the_end_and_back() -> None:
    """The sheet of a large vehicle follows held keys; every row in between may be skipped, the last may not."""
    with look("large", "sweeper") as terminal:
        terminal.wait_for("Whole vehicle")
        terminal.send("+" + "\x1b[B" * 300)
        terminal.wait_for("L279 load number 279; load 2.79 A")
        terminal.send("\x1b[F")
        terminal.wait_for("M149 module; no finding")
        terminal.send("\x1b[H")
        terminal.wait_for(">   Whole vehicle")
        terminal.send("\x11")
        assert terminal.wait_for_end() == 0
