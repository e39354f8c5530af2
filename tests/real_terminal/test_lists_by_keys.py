"""Lists as a customer's office sends them, taken in by keys alone in a terminal of their own."""

from pathlib import Path

import pytest

from bomtui.services.load_import import import_loads
from bomtui.services.open import open_proposal
from bomtui.storage.frozen_parts import parts_path, parts_text
from bomtui.storage.proposal.write import proposal_text
from tests.edit.small import small
from tests.real_terminal.hands import Hands, meters, start
from tests.samples.hostile_list import write_hostile_list
from tests.samples.load_list import write_load_list

# A whole job of a person: some ten seconds.
pytestmark = pytest.mark.slow


def small_proposal(folder: Path) -> Path:
    """Write the small proposal into a folder."""
    folder.mkdir()
    path = folder / "small.toml"
    path.write_text(proposal_text(small().proposal), encoding="utf-8")
    parts_path(path).write_text(parts_text(small().parts), encoding="utf-8")
    return path


@pytest.mark.parametrize(("columns", "rows"), [(80, 24), (120, 40)])
def test_the_vans_list_in_a_hostile_form(columns: int, rows: int, tmp_path: Path) -> None:
    """Semicolons, decimal commas, merged cells, milliamperes and a code page become the loads of the clean list."""
    clean = small_proposal(tmp_path / "clean")
    count = write_load_list("van", tmp_path / "clean.csv")
    import_loads(clean, tmp_path / "clean.csv", folder=tmp_path / "journals")
    hostile = small_proposal(tmp_path / "hostile")
    write_hostile_list("van", tmp_path / "van.csv")
    with start(tmp_path, "hostile", columns=columns, rows=rows) as terminal:
        hands = Hands(terminal)
        hands.wait_for(lambda text: bool(meters(text)))
        hands.press("I", "Take in a list of what?")
        hands.press("\r", "Take in the list of loads in file:")
        hands.press("van.csv\r", 'the column "Widerstand ?" is not known; what is it?')
        hands.press("\r", "Which one?")
        hands.point("resistance")
        hands.press("\r", "has numbers without a unit")
        hands.press("\r", "Which one?")
        hands.point("resistance [ohm]")
        hands.press("\r", "rows were refused.")
        hands.press("\r", "Which one?")
        hands.point("subsystem")
        hands.press("\r", "i takes all of it in as one step; undo takes it back.")
        hands.do("i", f"import {count} loads from van.csv")
        hands.press("\x1b", lambda text: bool(meters(text)))
        hands.save()
        hands.quit()
    assert open_proposal(hostile).snapshot.proposal.loads == open_proposal(clean).snapshot.proposal.loads
    assert len(open_proposal(hostile).snapshot.proposal.loads) >= count


@pytest.mark.parametrize(("columns", "rows"), [(80, 24), (120, 40)])
def test_placements_and_a_matrix_of_distances(columns: int, rows: int, tmp_path: Path) -> None:
    """A load is placed, the unit of the matrix is asked and a contradiction decided, and all of it saved."""
    path = small_proposal(tmp_path / "offer")
    (tmp_path / "p.csv").write_text("Verbraucher;Kanal\nL3;REAR.U4.2\nL9;REAR.U4.1\n", encoding="cp1252")
    (tmp_path / "d.csv").write_text("from;Z1;Z2\nZ1;0;3,25\nZ2;4;0\n", encoding="utf-8")
    with start(tmp_path, "offer", columns=columns, rows=rows) as terminal:
        hands = Hands(terminal)
        hands.wait_for(lambda text: bool(meters(text)))
        hands.press("I", "Take in a list of what?")
        hands.point("placements")
        hands.press("\r", "Take in the list of placements in file:")
        hands.press("p.csv\r", "1 line refused")
        hands.press("i", "Take the others in?")
        hands.point("take the others in")
        hands.do("\r", "import 1 placement from p.csv")
        hands.press("\x1b", lambda text: bool(meters(text)))
        hands.press("I", "Take in a list of what?")
        hands.point("distances")
        hands.press("\r", "Take in the list of distances in file:")
        hands.press("d.csv\r", "numbers without a unit")
        hands.press("\r", "Which one?")
        hands.point("zone [m]")
        hands.press("\r", "some rows set the same thing twice")
        hands.press("\r", "Which one?")
        hands.point("replace")
        hands.press("\r", "i takes all of it in as one step; undo takes it back.")
        hands.do("i", "import 1 distance")
        hands.press("\x1b", lambda text: bool(meters(text)))
        hands.save()
        hands.quit()
    proposal = open_proposal(path).snapshot.proposal
    assert proposal.variants["one"].placements["L3"].on == ("REAR.U4.2",)
    assert proposal.zones["Z1"].distance_m["Z2"] == 4.0
