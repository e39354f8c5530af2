"""A load list into a proposal: a dry run first, then one step, all or nothing."""

from pathlib import Path

import pytest

from bomtui.edit.edits.load import AddLoad
from bomtui.model.load import Load
from bomtui.services.errors import BomtuiError
from bomtui.services.load_import import LoadImport, import_loads, plan_loads
from bomtui.services.open import open_proposal
from bomtui.services.session import open_session
from bomtui.services.sheets import Answers
from bomtui.storage.proposal.write import proposal_text
from tests.edit.small import small
from tests.samples.hostile_list import ANSWERS, write_hostile_list
from tests.samples.load_list import write_load_list

HEAD = "id,subsystem,name,zone,test_current [A],time_share.RUN [%]\n"


@pytest.fixture
def target(tmp_path: Path) -> Path:
    """A small proposal in a file."""
    path = tmp_path / "small.toml"
    path.write_text(proposal_text(small().proposal), encoding="utf-8")
    return path


def listed(path: Path, text: str) -> Path:
    """Write a list beside a proposal."""
    file = path.with_name("list.csv")
    file.write_text(text, encoding="utf-8")
    return file


def run(target: Path, text: str, **options: object) -> LoadImport:
    """Import a list with answers."""
    answers = Answers(**options)  # type: ignore[arg-type]
    return import_loads(target, listed(target, text), answers, folder=target.parent / "state")


def states(plan: LoadImport) -> dict[str, str]:
    """What becomes of each row."""
    return {row.name: row.state for row in plan.sheet.rows}


def test_new_loads_come_with_what_they_name(target: Path) -> None:
    """Zones, modes and subsystems that the proposal lacks are made, those that it has are found in any capitals."""
    before = open_proposal(target).snapshot.proposal
    subsystem = next(iter(before.subsystems))
    plan = run(target, f"{HEAD}N1,{subsystem.lower()},lamp,Z77,1.5,20\nN2,Cabin lights,lamp,Z77,0.5,\n")
    after = open_proposal(target).snapshot.proposal
    assert states(plan) == {"N1": "new", "N2": "new"}
    assert after.loads["N1"].subsystem == subsystem
    assert after.loads["N2"].subsystem == "Cabin-lights"
    assert after.subsystems["Cabin-lights"].name == "Cabin lights"
    assert set(after.zones) - set(before.zones) == {"Z77"}
    assert set(after.modes) - set(before.modes) <= {"RUN"}
    assert {key: load for key, load in after.loads.items() if key in before.loads} == before.loads


def test_an_import_is_one_step(target: Path) -> None:
    """One undo takes all of it back, to the very same proposal."""
    session = open_session(target, target.parent / "state")
    before = session.snapshot.proposal
    plan = plan_loads(before, listed(target, f"{HEAD}N1,A,x,Z8,1,\nN2,B,y,Z9,2,5\n"))
    assert plan.edit is not None
    assert session.do(plan.edit) is None
    assert {"N1", "N2"} <= set(session.snapshot.proposal.loads)
    assert session.undo() == "import 2 loads from list.csv"
    assert session.snapshot.proposal is before
    session.discard()


@pytest.mark.parametrize(
    ("rows", "options"),
    [
        ("N1,A,x,Z1,1,\nN2,A,x,Z1,much,\n", {}),
        ("N1,A,x,Z1,1,\nN1,A,y,Z1,2,\n", {}),
        ("N1,A,x,Z1,1,\n,A,y,Z1,2,\n", {}),
        ("N1,A,x,Z1,1,\nN2,A,x,Z1,6 V,\n", {"existing": "replace"}),
    ],
)
def test_one_refused_row_stops_all(target: Path, rows: str, options: dict[str, str]) -> None:
    """Not a byte of the proposal changes, and nothing waits in a journal."""
    before = target.read_bytes()
    plan = run(target, HEAD + rows, **options)
    assert plan.sheet.obstacle(without_refused=False)
    assert target.read_bytes() == before
    assert list((target.parent / "state").glob("*.journal*")) == []


def test_the_rest_is_taken_where_somebody_says_so(target: Path) -> None:
    """What was understood comes in, what was refused stays out."""
    file = listed(target, f"{HEAD}N1,A,x,Z1,1,\nN2,A,x,Z1,much,\n")
    plan = import_loads(target, file, without_refused=True, folder=target.parent / "state")
    loads = open_proposal(target).snapshot.proposal.loads
    assert ("N1" in loads, "N2" in loads, plan.sheet.refused_lines) == (True, False, (3,))


def test_what_is_there_already_is_asked(target: Path) -> None:
    """Kept or replaced, as somebody says; replacing changes only what the list gives."""
    run(target, f"{HEAD}N1,A,lamp,Z1,1,20\n")
    changed = "id,subsystem,test_current [A],time_share.NIGHT [%]\nN1,A,2,50\n"
    asked = run(target, changed)
    assert [question.about for question in asked.sheet.questions] == ["existing"]
    assert states(run(target, changed, existing="keep")) == {"N1": "kept"}
    assert open_proposal(target).snapshot.proposal.loads["N1"].test_current_a == 1
    assert states(run(target, changed, existing="replace")) == {"N1": "changed"}
    load = open_proposal(target).snapshot.proposal.loads["N1"]
    assert (load.name, load.test_current_a, load.time_share_ratio) == ("lamp", 2.0, {"RUN": 0.2, "NIGHT": 0.5})
    assert states(run(target, changed)) == {"N1": "as it is"}


def test_numbered_rows_are_found_again(target: Path) -> None:
    """A list without ids can be imported twice and gives its loads once."""
    text = "load,current [A]\nlamp,1\nfan,2\n"
    answers = {"ids": "number", "subsystem": "A", "id_prefix": "K"}
    assert states(run(target, text, **answers)) == {"K1": "new", "K2": "new"}
    assert states(run(target, text, **answers)) == {"K1": "as it is", "K2": "as it is"}


def test_steps_that_wait_are_not_saved_by_an_import(target: Path) -> None:
    """What the app has not saved is for its person to decide; the import is refused and the steps stay."""
    session = open_session(target, target.parent / "state")
    subsystem = next(iter(session.snapshot.proposal.subsystems))
    session.do(AddLoad(load_id="W1", load=Load(subsystem=subsystem)))
    session.close()
    before = target.read_bytes()
    with pytest.raises(BomtuiError, match="steps that were not saved wait"):
        run(target, f"{HEAD}N1,A,x,Z1,1,\n")
    assert target.read_bytes() == before
    again = open_session(target, target.parent / "state")
    assert "W1" in again.snapshot.proposal.loads
    again.discard()


@pytest.mark.parametrize("vehicle", ["van", "sweeper"])
def test_a_hostile_list_gives_the_loads_of_the_clean_one(tmp_path: Path, vehicle: str) -> None:
    """Semicolons, decimal commas, merged cells, milliamperes, a code page and a lost sign change no load."""
    clean, hostile = tmp_path / "clean.csv", tmp_path / "hostile.csv"
    count = write_load_list(vehicle, clean)
    write_hostile_list(vehicle, hostile)
    asked = plan_loads(small().proposal, hostile)
    assert {question.about for question in asked.sheet.questions} >= {"columns"}
    (first, second) = (tmp_path / name for name in ("first.toml", "second.toml"))
    for path, file, answers in ((first, clean, Answers()), (second, hostile, Answers(**ANSWERS))):  # type: ignore[arg-type]
        path.write_text(proposal_text(small().proposal), encoding="utf-8")
        plan = import_loads(path, file, answers, folder=tmp_path / "state")
        assert plan.sheet.obstacle(without_refused=False) == ""
        assert len(plan.sheet.rows) == count
    assert second.read_bytes() == first.read_bytes()
    assert clean.read_bytes() != hostile.read_bytes()
