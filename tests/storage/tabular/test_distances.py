"""Wire runs between zones as people send them: pairs, and matrices in every usual form (invented lists)."""

from pathlib import Path

import pytest

from bomtui.storage.tabular.answers import EMPTY, Answers
from bomtui.storage.tabular.distances import read_distances
from bomtui.storage.tabular.plain_rows import PlainRows

ZONES = {"Z1": "front", "Z2": "cabin", "Z3": ""}
RUNS = {("Z1", "Z2"): 2.5, ("Z1", "Z3"): 4.0, ("Z2", "Z3"): 1.75}


def read(folder: Path, text: str, answers: Answers = EMPTY) -> PlainRows:
    """What a list says."""
    path = folder / "list.csv"
    path.write_text(text, encoding="utf-8")
    return read_distances(path, ZONES, answers)


def runs(found: PlainRows) -> dict[tuple[str, str], float]:
    """The runs of a list in which each pair stands once, or twice alike."""
    own: dict[tuple[str, str], float] = {}
    for row in found.rows:
        one, other = sorted((row.values["zone"], row.values["to"]))
        assert own.setdefault((one, other), row.values["distance_m"]) == row.values["distance_m"]
    return own


@pytest.mark.parametrize(
    "text",
    [
        pytest.param("from,to,run [m]\nZ1,Z2,2.5\nZ3,Z1,4\nZ2,Z3,1.75\n", id="pairs"),
        pytest.param("[m],Z1,Z2,Z3\nZ1,,2.5,4\nZ2,,,1.75\nZ3,,,\n", id="upper half"),
        pytest.param("zone (mm),Z1,Z2,Z3\nZ1,,,\nZ2,2500,,\nZ3,4000,1750,\n", id="lower half in mm"),
        pytest.param("runs in m;Z1;Z2;Z3\nZ1;0;2,5;4\nZ2;2,5;0;1,75\nZ3;4;1,75;0\n", id="both halves, zeros, comma"),
        pytest.param(",front,cabin,z3\nfront,-,2.5 m,4 m\ncabin,x,-,175 cm\nZ3,,,-\n", id="names, units in cells"),
        pytest.param("Van\n\nm,Z1 [m],Z2 [cm],Z3\nZ1,-,250,4\nZ2,-,-,1.75\nZ3,,,\n", id="title, own units"),
        pytest.param(";;;\n;from/to [m];Z1;Z2;Z3\n;Z1;;2.5;4\n;Z2;;;1.75\n;Z3;;;\n", id="empty column before it"),
    ],
)
def test_every_form_gives_the_same_runs(text: str, tmp_path: Path) -> None:
    """Whichever half is filled, whatever the unit and the decimal mark."""
    found = read(tmp_path, text)
    assert runs(found) == pytest.approx(RUNS), (found.problems, found.questions)
    assert found.problems == ()
    assert found.questions == ()


def test_the_unit_is_asked_once_and_the_answer_is_for_all(tmp_path: Path) -> None:
    """Bare numbers are never guessed; one answer, about the corner, gives the unit of the matrix."""
    text = "from,Z1,Z2,Z3\nZ1,,2500,4000\nZ2,,,1750\nZ3,,,\n"
    (question,) = read(tmp_path, text).questions
    assert question.subject == "from"
    assert "zone [mm]" in question.choices
    answered = read(tmp_path, text, Answers(columns={"from": "zone [mm]"}))
    assert runs(answered) == pytest.approx(RUNS)
    assert (answered.questions, answered.problems) == ((), ())


def test_two_halves_that_contradict_are_both_there(tmp_path: Path) -> None:
    """The one who takes them in is asked which of the two counts."""
    found = read(tmp_path, "[m],Z1,Z2\nZ1,,2.5\nZ2,3,\n")
    assert [row.values["distance_m"] for row in found.rows] == [2.5, 3.0]


def test_the_diagonal_is_the_run_inside_a_zone_but_for_a_zero(tmp_path: Path) -> None:
    """0 in the diagonal is how people fill it: nothing is taken, and that is said."""
    found = read(tmp_path, "[m],Z1,Z2\nZ1,0.8,2.5\nZ2,,0\n")
    assert [(row.values["zone"], row.values["to"]) for row in found.rows] == [("Z1", "Z1"), ("Z1", "Z2")]
    assert any("0 on the diagonal" in notice for notice in found.notices)


def test_what_is_no_zone_and_no_length_is_refused_by_line(tmp_path: Path) -> None:
    """A row of an unknown zone, a voltage and a word, each with its line."""
    found = read(tmp_path, "[m],Z1,Z2,Z3\nZ1,,2.5 V,4\nroof,1,1,1\nZ3,,far,\n")
    assert [problem.line for problem in found.problems] == [2, 3, 4]
    assert "expected a zone at the beginning of the row" in found.problems[1].message
    assert runs(found) == {("Z1", "Z3"): 4.0}
    unknown = read(tmp_path, "[m],Z1,Z2,Z9\nZ1,,2.5,4\nZ2,,,1\n")
    assert [question.subject for question in unknown.questions] == ["Z9"]
