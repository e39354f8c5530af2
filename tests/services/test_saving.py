"""Saving: whole files, in order, never over somebody else's, never losing something unasked."""

import shutil
from pathlib import Path

import pytest

from bomtui.edit.edits.device import AddDevice
from bomtui.edit.edits.part import DropUnusedParts, FreezePart, RefreshPart
from bomtui.edit.edits.placement import TakeOff
from bomtui.model.part import Part
from bomtui.services.editing import with_parts
from bomtui.services.errors import BomtuiError
from bomtui.services.files import FileExistsAlreadyError
from bomtui.services.open import open_proposal
from bomtui.services.saving import ConflictError, LossError
from bomtui.services.session import Session, open_session
from bomtui.storage.frozen_parts import parts_path, parts_text
from bomtui.storage.journal import Journal
from tests.samples.rollups import sample_path
from tests.services.small_session import NEW_PART, POWER, change_outside, do, fail, leave, names


def test_a_saved_proposal_reads_back_equal(session: Session, path: Path, journals: Path) -> None:
    """Both files hold what was on the screen, the comment at the top is kept, and no journal is left."""
    do(session, POWER, "55 W")
    assert (
        session.do(
            with_parts(session.snapshot, AddDevice(variant="one", module_id="REAR", part="new"), {"new": NEW_PART})
        )
        is None
    )
    assert session.labels[-1] == "add new to REAR"
    session.save()
    again = open_proposal(path)
    assert again.snapshot.proposal == session.snapshot.proposal
    assert again.snapshot.parts == session.snapshot.parts
    assert again.leading_comment == "# kept\n# comment"
    assert again.content_hash == session.opened.content_hash
    session.close()
    assert names(journals) == []


def test_undoing_everything_and_saving_gives_the_same_bytes(tmp_path: Path, journals: Path) -> None:
    """All edits undone, a saved sample is byte by byte what it was."""
    shutil.copytree(sample_path("sweeper").parent, tmp_path / "sweeper")
    path = tmp_path / "sweeper" / sample_path("sweeper").name
    before = path.read_bytes(), parts_path(path).read_bytes()
    session = open_session(path, journals)
    loads = tuple(session.snapshot.proposal.variants["zone"].placements)[:20]
    assert session.do(TakeOff(variant="zone", loads=loads)) is None
    assert session.do(FreezePart(key="new", part=NEW_PART)) is None
    session.save()
    assert (path.read_bytes(), parts_path(path).read_bytes()) != before
    while session.undo():
        pass
    session.save()
    assert (path.read_bytes(), parts_path(path).read_bytes()) == before
    session.close()


@pytest.mark.parametrize("which", ["proposal", "parts", "deleted"])
def test_a_file_changed_outside_is_not_overwritten(session: Session, path: Path, which: str) -> None:
    """A change by somebody else, to either file, is told before anything is written; the person can insist."""
    do(session, POWER, "55 W")
    if which == "proposal":
        change_outside(path)
    elif which == "parts":
        parts_path(path).write_text(parts_text({}), encoding="utf-8")
    else:
        path.unlink()
    before = names(path.parent), [file.read_bytes() for file in path.parent.iterdir()]
    with pytest.raises(ConflictError, match="was changed by somebody else since it was opened") as error:
        session.save()
    assert error.value.path == (parts_path(path) if which == "parts" else path)
    assert (names(path.parent), [file.read_bytes() for file in path.parent.iterdir()]) == before
    assert session.unsaved
    session.save(force=True)
    again = open_proposal(path)
    assert (again.snapshot.proposal, again.snapshot.parts) == (session.snapshot.proposal, session.snapshot.parts)
    assert not session.unsaved
    session.close()


def test_a_save_says_what_it_would_lose(path: Path, journals: Path) -> None:
    """Comments between the tables and faulty entries are named before the first save; afterwards nothing is lost."""
    text = path.read_text(encoding="utf-8").replace("[loads.L1]", "# between\n[loads.L1]\nwings = 2")
    path.write_text(text, encoding="utf-8")
    session = open_session(path, journals)
    do(session, POWER, "55 W")
    comment, fault = session.losses
    assert "1 comment below the first lines (line " in comment
    assert "1 faulty entry; what cannot be read is not saved" in fault
    with pytest.raises(LossError, match="saving would lose something"):
        session.save()
    assert path.read_text(encoding="utf-8") == text
    session.save(losing=True)
    assert (session.losses, session.problems, session.opened.problems) == ((), (), ())
    assert session.opened.file_hash == open_proposal(path).file_hash
    do(session, POWER, "56 W")
    session.save()
    assert open_proposal(path).snapshot.proposal == session.snapshot.proposal
    session.close()


def test_a_file_that_does_not_change_is_not_written(path: Path, journals: Path) -> None:
    """Saving parts leaves the proposal as somebody wrote it, and the other way round."""
    text = path.read_text(encoding="utf-8").replace("[loads.L1]", "# between\n[loads.L1]")
    path.write_text(text, encoding="utf-8")
    session = open_session(path, journals)
    assert session.do(FreezePart(key="new", part=NEW_PART)) is None
    assert session.losses == ()
    session.save()
    assert path.read_text(encoding="utf-8") == text
    session.close()


def test_save_as_goes_on_under_the_new_name(session: Session, path: Path, journals: Path) -> None:
    """Both files stand under the new name, the old ones are untouched, and later saves go to the new ones."""
    before = path.read_bytes(), parts_path(path).read_bytes()
    do(session, POWER, "55 W")
    other = path.parent / "other.toml"
    session.save_as(other)
    assert (session.path, session.unsaved) == (other, False)
    assert (path.read_bytes(), parts_path(path).read_bytes()) == before
    assert list(journals.glob("*.journal")) == []
    do(session, POWER, "56 W")
    session.save()
    again = open_proposal(other)
    assert (again.snapshot.proposal, again.snapshot.parts) == (session.snapshot.proposal, session.snapshot.parts)
    assert again.leading_comment == "# kept\n# comment"
    with pytest.raises(FileExistsAlreadyError):
        session.save_as(path)
    session.save_as(path, overwrite=True)
    assert open_proposal(path).snapshot.proposal == session.snapshot.proposal
    session.close()


@pytest.mark.parametrize("name", ["x.txt", "x.parts.toml", ".x.toml", "none/x.toml"])
def test_save_as_takes_names_of_proposals_only(session: Session, path: Path, name: str) -> None:
    """A name under which the proposal would not be found again is refused, and nothing is written."""
    do(session, POWER, "55 W")
    with pytest.raises(BomtuiError):
        session.save_as(path.parent / name)
    assert names(path.parent) == ["small.parts.toml", "small.toml"]
    assert (session.path, session.unsaved) == (path, True)
    session.discard()


@pytest.mark.parametrize("failing", ["small.parts.toml", "small.toml"])
def test_a_save_that_fails_halfway_loses_nothing(
    session: Session, path: Path, journals: Path, monkeypatch: pytest.MonkeyPatch, failing: str
) -> None:
    """After a failed save the steps are still unsaved, a kill keeps them, and the next save ends well."""
    do(session, POWER, "55 W")
    assert session.do(FreezePart(key="new", part=NEW_PART)) is None
    replace = Path.replace

    def blocked(source: Path, target: Path) -> Path:
        if target.name == failing:
            fail()
        return replace(source, target)

    monkeypatch.setattr(Path, "replace", blocked)
    with pytest.raises(BomtuiError, match="it cannot be written"):
        session.save()
    monkeypatch.undo()
    assert session.unsaved
    do(session, POWER, "56 W")
    session.undo()
    leave(session)
    again = open_session(path, journals)
    assert (again.recovered, again.offer) == (2, None)
    assert again.snapshot.proposal == session.snapshot.proposal
    assert again.snapshot.parts == session.snapshot.parts
    again.save()
    last = open_proposal(path)
    assert (last.snapshot.proposal, last.snapshot.parts) == (again.snapshot.proposal, again.snapshot.parts)
    again.close()
    assert names(journals) == []


def test_a_save_needs_no_journal(session: Session, path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the journal fails the save is still made: it is what keeps the work now."""
    do(session, POWER, "55 W")
    monkeypatch.setattr(Journal, "append", fail)
    monkeypatch.setattr(Journal, "clear", fail)
    session.save()
    monkeypatch.undo()
    assert open_proposal(path).snapshot.proposal == session.snapshot.proposal
    assert len(session.notices) == 1
    do(session, POWER, "56 W")
    session.discard()


def test_the_order_of_a_save(session: Session, monkeypatch: pytest.MonkeyPatch) -> None:
    """What the files will hold is noted first, then the parts are written, then the proposal, then the journal goes."""
    do(session, POWER, "55 W")
    assert session.do(FreezePart(key="new", part=NEW_PART)) is None
    order: list[str] = []
    replace, append, clear = Path.replace, Journal.append, Journal.clear

    def noted_replace(source: Path, target: Path) -> Path:
        order.append(target.name)
        return replace(source, target)

    def noted_append(journal: Journal, line: object, base: object) -> None:
        order.append(type(line).__name__)
        append(journal, line, base)  # type: ignore[arg-type]

    def noted_clear(journal: Journal) -> None:
        order.append("clear")
        clear(journal)

    monkeypatch.setattr(Path, "replace", noted_replace)
    monkeypatch.setattr(Journal, "append", noted_append)
    monkeypatch.setattr(Journal, "clear", noted_clear)
    session.save()
    assert order == ["Saving", "small.parts.toml", "small.toml", "clear"]
    session.close()


@pytest.mark.parametrize("kept", [0, 1, 2, 3])
def test_a_save_that_a_kill_ends_after_a_step(path: Path, journals: Path, kept: int) -> None:
    """Noted, parts written, proposal written, journal gone: after each of them nothing is lost and nothing asked."""
    session = open_session(path, journals)
    do(session, POWER, "55 W")
    assert session.do(RefreshPart(key="fet", part=Part(kind="fet", mpn="9"))) is None
    assert session.do(DropUnusedParts()) is None
    state = session.snapshot
    old = {file: file.read_bytes() for file in (parts_path(path), path)}
    journal_after_noting = b""
    append = Journal.append

    def noted(journal: Journal, line: object, base: object) -> None:
        nonlocal journal_after_noting
        append(journal, line, base)  # type: ignore[arg-type]
        journal_after_noting = journal.path.read_bytes()

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Journal, "append", noted)
        session.save()
    (journal,) = journals.glob("*.journal")
    leave(session)
    # Put back what the steps after the kill would have changed.
    if kept < 3:
        journal.write_bytes(journal_after_noting)
    for file in list(old)[kept:]:
        file.write_bytes(old[file])
    again = open_session(path, journals)
    assert again.offer is None
    assert again.notices == []
    assert again.recovered == (3 if kept < 2 else 0)
    assert (again.snapshot.proposal, again.snapshot.parts) == (state.proposal, state.parts)
    again.save()
    last = open_proposal(path)
    assert (last.snapshot.proposal, last.snapshot.parts) == (state.proposal, state.parts)
    again.close()
    assert names(journals) == []
