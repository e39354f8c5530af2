"""The program as it is started, over the real samples, in a terminal of its own, by keys alone."""

import signal
from pathlib import Path

import pytest

from bomtui.cli.main import main
from bomtui.services.open import open_proposal
from bomtui.services.review import review
from bomtui.services.rollup import compute
from tests.real_terminal.hands import REPOSITORY, start

SWEEPER = REPOSITORY / "sample_projects" / "street_sweeper"


def first_place() -> str:
    """Where the first finding of the sweeper is."""
    return review(compute(open_proposal(SWEEPER), "zone")).review.findings[0].place


@pytest.mark.slow
def test_a_parts_list_is_written_by_keys_typed_ahead(tmp_path: Path) -> None:
    """Variant, place, explanation, parts list and quit in bursts; the file holds what the command line writes."""
    with start(tmp_path, str(SWEEPER)) as terminal:
        terminal.wait_for("Parts 439.2334 EUR")
        terminal.wait_for("963.7 uA typ")
        terminal.wait_for("Parking 119.8 typ")
        terminal.send("/L24\rx")
        terminal.wait_for("<- loads.L24.test_current")
        terminal.send("xvv\r")
        terminal.wait_for("Parts 476.5482 EUR")
        terminal.send("w\x7f\x7f\x7fjson\r")
        terminal.wait_for("Wrote 60 lines to")
        terminal.send("\x11")
        assert terminal.wait_for_end() == 0
        assert terminal.is_left_in_order
    by_command = tmp_path / "command.json"
    assert main(["parts-list", str(SWEEPER), "--variant", "distributed", "-o", str(by_command)]) == 0
    by_keys = tmp_path / "street_sweeper_distributed_parts-list_DEMO-DATA.json"
    assert by_keys.read_bytes() == by_command.read_bytes()


@pytest.mark.slow
def test_details_survive_any_size(tmp_path: Path) -> None:
    """With details open the terminal shrinks below what can be shown and grows again; every size is laid out anew."""
    place = first_place()
    with start(tmp_path, str(SWEEPER), columns=120, rows=40) as terminal:
        terminal.wait_for("Parts 439.2334 EUR")
        terminal.send("fd")
        terminal.wait_for(f"✗ error  {place}: ")
        for columns, rows in ((30, 8), (90, 28), (59, 15), (160, 50), (80, 24)):
            terminal.resize(columns, rows)
            if columns < 60:
                terminal.wait_for("needs at least 60x15")
            else:
                terminal.wait_for(lambda text: "Street sweeper" in text.splitlines()[0])
                terminal.wait_for(lambda text: "ctrl+q quit" in text.splitlines()[-1])
        terminal.wait_for(f"✗ error  {place}: ")
        assert "Parts 439.2334 EUR" in terminal.text


@pytest.mark.slow
def test_a_killed_program_opens_again(tmp_path: Path) -> None:
    """Nothing is lost by a kill: the next start offers the proposal, and enter opens it."""
    with start(tmp_path, str(SWEEPER)) as terminal:
        terminal.wait_for("Parts 439.2334 EUR")
        terminal.signal(signal.SIGKILL)
        assert terminal.wait_for_end() == -signal.SIGKILL
    with start(tmp_path) as terminal:
        terminal.wait_for("Opened last")
        terminal.send("\r")
        terminal.wait_for("Parts 439.2334 EUR")
        terminal.signal(signal.SIGTERM)
        assert terminal.wait_for_end() == 128 + signal.SIGTERM
        assert terminal.is_left_in_order


@pytest.mark.slow
def test_sixteen_colours_or_none_show_the_same_words(tmp_path: Path) -> None:
    """Without true colour, without colour and without more than ASCII every state has its sign and word."""
    words = {"TERM": "xterm", "COLORTERM": "", "NO_COLOR": "1", "BOMTUI_ASCII": "1"}
    place = first_place()
    with start(tmp_path, str(SWEEPER), environment=words) as terminal:
        terminal.wait_for("! max over")
        assert terminal.text.isascii()
        terminal.send("fd")
        terminal.wait_for(lambda text: text.count(f"X error  {place}: ") == 2)
        assert terminal.text.isascii()
