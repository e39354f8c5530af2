"""The catalog searched, filtered, changed and taken back, and a part refreshed, by keys alone in a terminal."""

import shutil
from pathlib import Path

import pytest

from tests.real_terminal.hands import DOWN, Hands, cursor_row, meters, start

# A whole job of a person: some ten seconds.
pytestmark = pytest.mark.slow

SAMPLES = Path(__file__).parents[2] / "sample_projects"
ESCAPE = "\x1b"


def in_list(text: str) -> bool:
    """Whether the list of the catalog is in front."""
    return text.startswith(" Catalog of parts")


@pytest.mark.parametrize(("columns", "rows"), [(80, 24), (120, 40)])
def test_a_part_is_found_changed_and_refreshed(columns: int, rows: int, tmp_path: Path) -> None:
    """What is written in the catalog reaches the proposal by a refresh only, and each has an undo of its own."""
    shutil.copytree(SAMPLES / "street_sweeper", tmp_path / "sweeper")
    before = (tmp_path / "sweeper" / "street_sweeper.parts.toml").read_bytes()
    place = {"BOMTUI_CATALOG": str(tmp_path / "catalog.sqlite")}
    with start(tmp_path, "sweeper", columns=columns, rows=rows, environment=place) as terminal:
        hands = Hands(terminal)
        hands.wait_for(lambda text: bool(meters(text)))
        hands.press("K", in_list)
        hands.press("hs24\r", lambda text: cursor_row(text).startswith("hs24-"))
        hands.press("frds_on <= 4 V\r", "expected a resistance")
        hands.press("\x7fmohm\r", lambda text: "filters rds_on <= 4 mohm" in text and " 1 of " in text)
        hands.press("m", "Marked 1: hs24-1x4")
        hands.press("r", lambda text: "Search: every part" in text)
        hands.press("/hs24-1x4\r", lambda text: "1 of 1: hs24-1x4" in text)
        hands.press("\r", lambda text: text.startswith(" hs24-1x4"))
        hands.press("amoq = 1 V\r", "moq")
        hands.press("\x15moq = 4321\r", "1 field typed")
        hands.press("w", "Write this into the catalog?")
        hands.press(f"{DOWN}\r", "Written: hs24-1x4, 1 field changed.")
        hands.press("u", lambda text: cursor_row(text).startswith("where used"))
        hands.press(ESCAPE, in_list)
        hands.press(ESCAPE, lambda text: bool(meters(text)))
        hands.press("R", lambda text: cursor_row(text).startswith("hs24-1x4"))
        assert "1 differs" in terminal.text
        hands.press("y", "Nothing to take")
        hands.press(ESCAPE, lambda text: bool(meters(text)))
        hands.press("u", "Undone: ")
        hands.press("K", "Search (enter")
        hands.press(ESCAPE, lambda text: in_list(text) and "Search (enter" not in text)
        hands.press("h", "edit hs24-1x4")
        hands.press("u", "Take the last step of the catalog back?")
        hands.press(f"{DOWN}\r", lambda text: "go ahead" not in text and "aken back" in text)
        hands.press(ESCAPE, in_list)
        hands.press(ESCAPE, lambda text: bool(meters(text)))
        hands.press("R", "The catalog says the same")
        hands.press(ESCAPE, lambda text: bool(meters(text)))
        hands.quit()
    assert (tmp_path / "sweeper" / "street_sweeper.parts.toml").read_bytes() == before
