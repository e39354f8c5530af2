"""A variant copied, changed, compared with the original and written out, by keys alone in a terminal of its own."""

import shutil
from pathlib import Path

import pytest

from bomtui.services.open import open_proposal
from tests.real_terminal.hands import Hands, cursor_row, meters, row_with, start

# A whole job of a person: some ten seconds.
pytestmark = pytest.mark.slow

PAGE = "DEMO-pump" + ".md"
SAMPLES = Path(__file__).parents[2] / "sample_projects"


@pytest.mark.parametrize(("columns", "rows"), [(80, 24), (120, 40)])
def test_another_pump_driver_against_the_original(columns: int, rows: int, tmp_path: Path) -> None:
    """Zone copied, the rear module's water pump driver replaced, compared with zone, the waterfall read and written."""
    folder = Path(shutil.copytree(SAMPLES / "street_sweeper", tmp_path / "sweeper"))
    with start(tmp_path, "sweeper", columns=columns, rows=rows) as terminal:
        hands = Hands(terminal)
        hands.wait_for(lambda text: bool(meters(text)))
        hands.press("v", "Which variant?")
        hands.do("cpump\r", "copy variant zone to pump.")
        hands.press("\r", lambda text: "variant pump" in text.splitlines()[0] and bool(meters(text)))
        hands.go("W09 water pump")
        hands.press("\x1b[D", lambda text: cursor_row(text).startswith("U1 hs24-1x4"))
        hands.terminal.send("s")
        hands.see_candidates("Which part for ZREA.U1?")
        hands.press("/hs24-2x10\r", lambda text: cursor_row(text).startswith("hs24-2x10"))
        hands.do("\r", "swap ZREA.U1 for hs24-2x10.")
        hands.wait_for(lambda text: "641.0034" in text)
        hands.press("C", "Compare pump with which variant?")
        hands.point("zone")
        hands.press("\r", "pump costs 0.1600 EUR a vehicle less than zone.")
        text = hands.wait_for(lambda text: row_with(text, "cost of the second").rstrip().endswith("|"))
        assert "zone (first) and pump (second)" in text
        assert "Scope: both serve 108 loads, and only these." in text
        waterfall = {
            name: row_with(text, name).split() for name in ("cost of the first", "part change", "cost of the second")
        }
        assert [row[-2] for row in waterfall.values()] == ["641.1634", "-0.1600", "641.0034"]
        assert set(waterfall["part change"][-1]) == {"-"}
        hands.press(f"w\x15{PAGE}\r", "Wrote the comparison of zone and pump to")
        hands.press("x", "pump (first) and zone (second)")
        hands.wait_for(lambda text: "+0.1600" in row_with(text, "part change"))
        hands.press("\x1b", lambda text: bool(meters(text)))
        hands.save()
        hands.quit()
    page = (tmp_path / PAGE).read_text(encoding="utf-8")
    assert page.startswith("# DEMO DATA - Comparison: Street sweeper, depot series, zone and pump\n")
    assert "| part change | -0.1600 |" in page
    assert "| hs24-1x4 | " in page
    saved = open_proposal(folder).snapshot.proposal.variants
    assert saved["pump"].modules["ZREA"].devices["U1"].part == "hs24-2x10"
    assert saved["zone"].modules["ZREA"].devices["U1"].part == "hs24-1x4"
