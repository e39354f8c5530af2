"""`bomtui new`: a proposal from a load list, with every row that is not taken reported."""

from pathlib import Path

import pytest

from bomtui.model.lists import load_columns
from tests.cli.running import Command

LIST = """\
id,subsystem,name,kind,zone,drive,test_current [A],peak_time [ms],time_share.PARK [%],time_share.DAY [%]
L1,EXT,stop lamp,filament,Z1,HS,1.7,,0,20
L2,EXT,tail lamp,filament,Z2,HS,much,,0,20
L3,,nobody's,filament,Z2,HS,0.4,,0,20
L4,HVC,fan,fan,Z3,HSP,10,250,0,
"""


@pytest.fixture
def load_list(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A load list with two rows that can be taken, in the working folder."""
    monkeypatch.chdir(tmp_path)
    path = tmp_path / "loads.csv"
    path.write_text(LIST, encoding="utf-8")
    return path


@pytest.mark.usefixtures("load_list")
def test_a_list_becomes_a_proposal(bomtui: Command) -> None:
    """What the list names is made with unknown values, what it cannot give is reported, and the proposal opens."""
    result = bomtui("new", "van", "--loads", "loads.csv")
    text = Path("van/van.toml").read_text(encoding="utf-8")
    assert result.code == 0
    assert "van/van.toml: written with 2 loads" in result.out
    assert [line.partition(": ")[0] for line in result.err] == ["loads.csv:3", "loads.csv:4", "note", "question"]
    assert "L2" in result.err[0]
    assert "L3" in result.err[1]
    for table in ("[zones.Z1]\n\n", "[zones.Z3]\n\n", "[modes.DAY]\n\n", "[modes.PARK]\n\n", "[subsystems.HVC]\n\n"):
        assert table in text
    assert 'peak_time = "250 ms"' in text
    rollup = bomtui("rollup", "van", "--format", "json")
    assert (rollup.code, rollup.err) == (0, [])
    assert rollup.json["unplaced"] == ["L1", "L4"]
    (day, park) = sorted(rollup.json["modes"], key=lambda mode: str(mode["id"]))
    assert (day["load_current_a"]["bound"], park["load_current_a"]["typ"]) == ("at_least", 0.0)


@pytest.mark.usefixtures("load_list")
def test_what_is_taken_for_granted_is_written_down(bomtui: Command) -> None:
    """A currency that nobody named stands as an assumption, a supply stays unknown; named ones are neither."""
    bomtui("new", "one", "--loads", "loads.csv")
    bomtui("new", "two", "--loads", "loads.csv", "--supply", "24 V", "--currency", "CHF")
    one, two = (Path(f"{name}/{name}.toml").read_text(encoding="utf-8") for name in ("one", "two"))
    assert "supply" not in one
    assert 'text = "the currency is EUR"' in one
    assert "assumptions" not in two
    assert 'supply = "24 V"' in two
    assert 'currency = "CHF"' in two


@pytest.mark.usefixtures("load_list")
def test_nothing_is_overwritten(bomtui: Command) -> None:
    """A second run leaves the proposal as it is and says so."""
    bomtui("new", "van", "--loads", "loads.csv")
    Path("van/van.toml").write_text("mine", encoding="utf-8")
    result = bomtui("new", "van", "--loads", "loads.csv")
    assert (result.code, result.stdout) == (3, b"")
    assert result.err == ["bomtui: van: it holds van.toml already; nothing was written"]
    assert Path("van/van.toml").read_text(encoding="utf-8") == "mine"


@pytest.mark.parametrize(
    ("name", "content", "code", "word"),
    [
        ("van", None, 3, "there is no such file or folder"),
        ("van", "id,subsystem\n", 3, "no load could be taken"),
        ("van", "colour;taste\nred;sweet\n", 3, "no load could be taken"),
        ("no/such/van", LIST, 3, "there is no folder no/such"),
        ("my van", LIST, 3, "expected a name of letters"),
        ("loads.csv", LIST, 3, "expected a name of letters"),
        (".", LIST, 2, "expected the name of a new folder"),
    ],
)
def test_what_cannot_begin_leaves_nothing(
    bomtui: Command, load_list: Path, name: str, content: str | None, code: int, word: str
) -> None:
    """A missing or useless list, a missing folder and an unlawful name are refused, and nothing is made."""
    if content is None:
        load_list.unlink()
    else:
        load_list.write_text(content, encoding="utf-8")
    before = sorted(entry.name for entry in load_list.parent.iterdir())
    result = bomtui("new", name, "--loads", "loads.csv")
    assert (result.code, result.stdout) == (code, b"")
    assert any(word in line for line in result.err)
    assert sorted(entry.name for entry in load_list.parent.iterdir()) == before


@pytest.mark.usefixtures("load_list")
def test_the_report_as_data(bomtui: Command) -> None:
    """The JSON report names the file, what was made and every fault."""
    found = bomtui("new", "van", "--loads", "loads.csv", "--format", "json").json
    assert (found["path"], found["loads"]) == ("van/van.toml", 2)
    assert (found["zones"], found["modes"], found["subsystems"]) == (["Z1", "Z3"], ["PARK", "DAY"], ["EXT", "HVC"])
    assert len(found["problems"]) == 2
    assert len(found["assumed"]) == 1


def test_the_help_names_the_headers_of_a_load_list(bomtui: Command) -> None:
    """Who makes the first list sees every header that is taken, with a unit where it has numbers."""
    text = " ".join(bomtui("new", "--help").out.split())
    assert all(column.header in text for column in load_columns(("MODE",)))
    assert "time_share.MODE [%]" in text


@pytest.mark.usefixtures("load_list")
def test_answers_about_the_list_are_options(bomtui: Command) -> None:
    """A list without ids and units becomes a proposal once somebody has said what they are; names are kept."""
    Path("raw.csv").write_text("Load;Gruppe;Strom\nlamp;Cabin lights;450\n", encoding="utf-8")
    asked = bomtui("new", "raw", "--loads", "raw.csv")
    assert asked.code == 3
    assert any("number its rows?" in line for line in asked.err)
    assert not Path("raw").exists()
    done = bomtui("new", "raw", "--loads", "raw.csv", "--ids", "number", "--column", "Strom=test_current [mA]")
    text = Path("raw/raw.toml").read_text(encoding="utf-8")
    assert done.code == 0
    assert 'test_current = "450 mA"' in text
    assert 'name = "Cabin lights"' in text
