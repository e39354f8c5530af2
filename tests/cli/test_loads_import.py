"""`bomtui loads import`: an option for every answer, a dry run, and an exit code that tells of refused rows."""

from pathlib import Path

import pytest

from bomtui.model.fields import field_table
from bomtui.services.open import open_proposal
from bomtui.services.sheets import Answers
from bomtui.storage.proposal.write import proposal_text
from tests.cli.running import Command
from tests.edit.small import small
from tests.samples.hostile_list import write_hostile_list

UNUSED = {"kind", "currency", "supplier"}


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with a proposal, in which the program works."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "small.toml").write_text(proposal_text(small().proposal), encoding="utf-8")
    (tmp_path / "list.csv").write_text("Load;Qty;Strom\nlamp;2;450\nfan;1;1500\n", encoding="utf-8")
    return tmp_path


ANSWERED = ("--ids", "number", "--subsystem", "EXT", "--pieces", "each", "--column", "Strom=test_current [mA]")


def test_questions_stop_the_import_and_say_how_they_are_answered(folder: Path, bomtui: Command) -> None:
    """Nothing is written, every question names its option, and the exit code is not 0."""
    before = (folder / "small.toml").read_bytes()
    result = bomtui("loads", "import", "small.toml", "list.csv")
    questions = [line for line in result.err if line.startswith("question: ")]
    assert result.code == 1
    assert any("--ids number" in line for line in questions)
    assert any("--column 'Strom=test_current [mA]'" in line for line in questions)
    assert result.err[-1] == "nothing was written: 3 questions are open"
    assert (folder / "small.toml").read_bytes() == before


def test_answers_are_options_and_are_kept(folder: Path, bomtui: Command) -> None:
    """With them the list comes in; kept in a file they serve the next list of the same form."""
    dry = bomtui("loads", "import", "small.toml", "list.csv", *ANSWERED, "--dry-run", "--save-answers", "form.json")
    assert (dry.code, dry.err[-1]) == (0, "nothing was written: a dry run")
    result = bomtui("loads", "import", "small.toml", "list.csv", "--answers", "form.json", "--format", "json")
    assert (result.code, result.json["written"]) == (0, True)
    assert [row["becomes"] for row in result.json["rows"]] == ["new", "new", "new"]
    loads = open_proposal(folder / "small.toml").snapshot.proposal.loads
    found = [load.test_current_a for load in loads.values() if load.name in {"lamp", "fan"}]
    assert found == [0.45, 0.45, 1.5]


def test_refused_rows_are_no_success(folder: Path, bomtui: Command) -> None:
    """They stop everything, and where somebody takes the rest all the same the exit code still says so."""
    (folder / "list.csv").write_text("id,subsystem,current [A]\nN1,EXT,1\nN2,EXT,6 V\n", encoding="utf-8")
    stopped = bomtui("loads", "import", "small.toml", "list.csv")
    assert (stopped.code, stopped.err[-1]) == (1, "nothing was written: 1 row was refused")
    rest = bomtui("loads", "import", "small.toml", "list.csv", "--without-refused")
    assert (rest.code, rest.err[-1]) == (1, "small.toml: written")
    assert "N1" in open_proposal(folder / "small.toml").snapshot.proposal.loads


def test_a_hostile_list_by_options(folder: Path, bomtui: Command) -> None:
    """Every question of it can be answered on the command line."""
    count = write_hostile_list("van", folder / "van.csv")
    answers = ("--fill-down", "subsystem", "--column", "Widerstand ?=resistance [ohm]")
    result = bomtui("loads", "import", "small.toml", "van.csv", *answers)
    assert result.code == 0, result.err
    assert len(open_proposal(folder / "small.toml").snapshot.proposal.loads) >= count


@pytest.mark.usefixtures("folder")
def test_every_answer_has_an_option(bomtui: Command) -> None:
    """Whatever can be asked of a list can be said beforehand."""
    text = bomtui("loads", "import", "--help").out
    names = {info.name for info in field_table(Answers)} - UNUSED
    options = {{"columns": "column"}.get(name, name).replace("_", "-") for name in names}
    assert [option for option in sorted(options) if f"--{option}" not in text] == []


@pytest.mark.usefixtures("folder")
@pytest.mark.parametrize(
    ("words", "code", "sentence"),
    [
        (("small.toml", "none.csv"), 1, "there is no such file or folder"),
        (("none.toml", "list.csv"), 3, "there is no such file or folder"),
        (("small.toml", "list.csv", "--column", "Strom"), 2, "expected --column HEADER=FIELD"),
        (("small.toml", "list.csv", "--encoding", "klingon"), 2, "invalid choice: 'klingon'"),
        (("small.toml", "list.csv", "--answers", "list.csv"), 3, "expected answers about a list (JSON)"),
        (("small.toml", "list.csv", "--column", "Nix=ignore"), 1, 'expected a column "Nix"'),
    ],
)
def test_what_cannot_be_done_is_one_sentence(bomtui: Command, words: tuple[str, ...], code: int, sentence: str) -> None:
    """Each with its exit code, and nothing written."""
    before = Path("small.toml").read_bytes()
    result = bomtui("loads", "import", *words)
    assert result.code == code
    assert any(sentence in line for line in result.err), result.err
    assert Path("small.toml").read_bytes() == before


def test_other_lists_of_a_proposal(folder: Path, bomtui: Command) -> None:
    """Wire runs, placements and quantities come in the same way, by the word that says what they are."""
    (folder / "runs.csv").write_text("from;to;length [mm]\nZ1;Z2;3250\n", encoding="utf-8")
    result = bomtui("loads", "import", "small.toml", "runs.csv", "--what", "distances")
    assert (result.code, result.err[-1]) == (0, "small.toml: written")
    assert open_proposal(folder / "small.toml").snapshot.proposal.zones["Z1"].distance_m == {"Z2": 3.25}
    (folder / "items.csv").write_text("module,part,quantity\nREAR,board,much\n", encoding="utf-8")
    refused = bomtui("loads", "import", "small.toml", "items.csv", "--what", "quantities", "--variant", "one")
    assert (refused.code, refused.err[-1]) == (1, "nothing was written: 1 row was refused")
    assert bomtui("loads", "import", "small.toml", "items.csv", "--what", "quantities", "--variant", "x").code == 2
