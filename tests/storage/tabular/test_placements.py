"""Placements as lists of loads, and as lists of channels (invented lists)."""

from pathlib import Path

import pytest

from bomtui.storage.tabular.answers import EMPTY
from bomtui.storage.tabular.placements import read_placements
from bomtui.storage.tabular.plain_rows import PlainRows


def read(folder: Path, text: str) -> PlainRows:
    """What a list says."""
    path = folder / "list.csv"
    path.write_text(text, encoding="utf-8")
    return read_placements(path, EMPTY)


@pytest.mark.parametrize(
    "text",
    [
        pytest.param("load,on,joined\nL1,ZA.U1.1 ZA.U1.2,parallel\nL2,ZA.U1.3,\nL3,ZA,\n", id="by load"),
        pytest.param(
            "module,ref,channel,load,joined\nZA,U1,1,L1,parallel\nZA,U1,2,L1,parallel\nZA,U1,3,L2,\nZA,U1,4,,\nZA,,,L3,\n",
            id="by channel",
        ),
        pytest.param(
            "Modul;Treiber;Kanal;Verbraucher;joined;Farbe\nZA;U1;2;L1;parallel;rot\nZA;U1;3;L2;;\nZA;U1;1;feed F1;;\n"
            "ZA;U1;1;L1;parallel;blau\nZA;;;L3;;\nabout;nothing;;;;\n",
            id="by channel in German, in another order, with more",
        ),
    ],
)
def test_both_forms_place_the_same_loads(text: str, tmp_path: Path) -> None:
    """Channels of one load come together in the order of the list; what carries no load places nothing."""
    found = read(tmp_path, text)
    placed = {row.values["load"]: (set(row.values["on"]), row.values.get("joined")) for row in found.rows}
    assert placed == {
        "L1": ({"ZA.U1.1", "ZA.U1.2"}, "parallel"), "L2": ({"ZA.U1.3"}, None), "L3": ({"ZA"}, None)
    }  # fmt: skip
    assert found.problems == ()
    assert found.questions == ()


def test_what_places_nothing_is_counted(tmp_path: Path) -> None:
    """Spare channels, feeds, and rows of anything else are told."""
    found = read(tmp_path, "module,ref,channel,load\nZA,U1,1,\nZA,U1,2,feed F1\nabout,a note,,\nZA,U1,3,L1\n")
    assert [row.values["load"] for row in found.rows] == ["L1"]
    assert sum("1 left out" in notice for notice in found.notices) == 3


def test_a_channel_that_is_no_number_is_refused_by_line(tmp_path: Path) -> None:
    """The other rows are taken."""
    found = read(tmp_path, "module,ref,channel,load\nZA,U1,left,L1\nZA,U1,2,L2\n")
    assert [problem.line for problem in found.problems] == [2]
    assert [row.values["load"] for row in found.rows] == ["L2"]
