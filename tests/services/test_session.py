"""An open proposal in a running program: its steps, and what a killed program left."""

import os
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from bomtui.edit.edits.load import RemoveLoad
from bomtui.edit.edits.part import FreezePart
from bomtui.edit.edits.placement import TakeOff
from bomtui.services.errors import BomtuiError
from bomtui.services.open import open_proposal
from bomtui.services.open_here import OPEN_ELSEWHERE, journal_folder
from bomtui.services.rollup import compute
from bomtui.services.saving import ConflictError
from bomtui.services.session import Session, open_session
from bomtui.storage import atomic
from bomtui.storage.journal import find_journal
from bomtui.storage.proposal.write import proposal_text
from tests.edit.small import small
from tests.samples.rollups import sample_path
from tests.services.small_session import NEW_PART, POWER, change_outside, do, fail, leave, names


def test_opening_and_looking_leaves_no_trace(path: Path, journals: Path) -> None:
    """A proposal that is only looked at has no journal, nothing to undo and nothing unsaved."""
    session = open_session(path.parent, journals)
    assert session.path == path
    assert (session.unsaved, session.labels, session.recovered, session.offer) == (False, (), 0, None)
    assert session.undo() == session.redo() == ""
    assert session.last_step is None
    assert session.next_step is None
    session.save()
    session.close()
    assert names(path.parent) == ["small.parts.toml", "small.toml"]
    assert names(journals) == []


def test_steps_have_names_and_the_saved_state_is_known(session: Session) -> None:
    """Each step can be undone and done again by name, and whether the files hold the state is told by content."""
    start = session.snapshot
    do(session, POWER, "55 W")
    assert session.unsaved
    assert session.labels == ("set rated power of L1",)
    assert session.last_step is not None
    assert session.last_step.label == "set rated power of L1"
    assert session.undo() == "set rated power of L1"
    assert session.snapshot is start
    assert not session.unsaved
    assert session.next_step is not None
    assert session.next_step.label == "set rated power of L1"
    assert session.redo() == "set rated power of L1"
    session.save()
    assert not session.unsaved
    session.undo()
    assert session.unsaved
    session.redo()
    assert not session.unsaved


def test_typing_on_in_one_field_is_one_step(session: Session, path: Path, journals: Path) -> None:
    """Typing in one go is one step, after a kill too; typing on after a save begins a step of its own."""
    for text in ("5 W", "55 W", "55.5 W"):
        assert session.set_text(POWER, text, continues=True) is None
    assert session.labels == ("set rated power of L1",)
    session.save()
    assert session.set_text(POWER, "6 W", continues=True) is None
    assert session.set_text(POWER, "66 W", continues=True) is None
    assert len(session.labels) == 2
    leave(session)
    again = open_session(path, journals)
    assert again.recovered == 1
    assert again.snapshot.proposal.loads["L1"].rated_power_w == 66.0
    again.undo()
    assert again.snapshot.proposal.loads["L1"].rated_power_w == 55.5
    again.close()


def test_acknowledged_steps_survive_a_kill(session: Session, path: Path, journals: Path) -> None:
    """Steps, an undo and a redo are there again after a kill, and can be undone one by one."""
    do(session, POWER, "55 W")
    do(session, "loads.L1.name", "[/] \x1b[31m \u03a9")
    do(session, "loads.L2.name", "gone")
    session.undo()
    session.undo()
    session.redo()
    state = session.snapshot.proposal
    leave(session)
    again = open_session(path, journals)
    assert again.recovered == 2
    assert again.unsaved
    assert again.snapshot.proposal == state
    assert again.labels == ("set rated power of L1", "set name of L1")
    again.undo()
    again.undo()
    assert again.snapshot.proposal == open_proposal(path).snapshot.proposal
    assert again.undo() == ""
    again.save()
    again.close()
    assert names(journals) == []


def test_undoing_past_the_last_save_survives_a_kill(session: Session, path: Path, journals: Path) -> None:
    """What was saved can be undone, and what that leads to is not lost either; the saved state is one undo away."""
    start = session.snapshot.proposal
    do(session, POWER, "55 W")
    assert session.do(FreezePart(key="new", part=NEW_PART)) is None
    session.save()
    saved = session.snapshot
    session.undo()
    session.undo()
    assert session.snapshot.proposal is start
    do(session, POWER, "7 W")
    session.undo()
    leave(session)
    again = open_session(path, journals)
    assert again.snapshot.proposal == start
    assert "new" not in again.snapshot.parts
    assert again.labels == ("undo freeze new", "undo set rated power of L1")
    again.undo()
    again.undo()
    assert (again.snapshot.proposal, again.snapshot.parts) == (saved.proposal, saved.parts)
    leave(again)
    once_more = open_session(path, journals)
    assert once_more.snapshot.proposal == saved.proposal
    assert not once_more.unsaved
    once_more.close()


def test_closing_keeps_what_is_unsaved_and_discarding_does_not(path: Path, journals: Path) -> None:
    """A closed session comes back with its steps; a discarded one does not."""
    session = open_session(path, journals)
    do(session, POWER, "55 W")
    session.close()
    again = open_session(path, journals)
    assert again.recovered == 1
    again.discard()
    assert names(journals) == []
    assert open_session(path, journals).recovered == 0


def test_steps_for_other_contents_are_offered(session: Session, path: Path, journals: Path) -> None:
    """After a kill and a change outside, the steps are not done in silence; taken, those that fit are done."""
    do(session, POWER, "55 W")
    do(session, "loads.L3.name", "horn")
    assert session.do(RemoveLoad(load_id="L1")) is not None
    leave(session)
    text = proposal_text(small().proposal).replace("[loads.L3]", "[loads.L9]").replace('"L3"', '"L9"')
    path.write_text(text, encoding="utf-8")
    again = open_session(path, journals)
    assert (again.recovered, again.unsaved, again.labels) == (0, False, ())
    assert again.offer is not None
    assert again.offer.labels == ("set rated power of L1", "set name of L3")
    assert again.take_offer() == ("set name of L3: there is no 'loads.L3' in this proposal",)
    assert again.offer is None
    assert again.labels == ("set rated power of L1",)
    leave(again)
    once_more = open_session(path, journals)
    assert (once_more.recovered, once_more.offer) == (1, None)
    once_more.discard()


def test_an_offer_stays_until_it_is_answered(session: Session, path: Path, journals: Path) -> None:
    """Nobody's steps go unasked: an offer comes again at the next opening, until it is taken or given up."""
    do(session, POWER, "55 W")
    leave(session)
    change_outside(path)
    again = open_session(path, journals)
    assert again.offer is not None
    do(again, "loads.L2.name", "x")
    again.save()
    again.close()
    once_more = open_session(path, journals)
    assert once_more.offer is not None
    once_more.drop_offer()
    assert once_more.offer is None
    assert once_more.take_offer() == ()
    once_more.close()
    assert names(journals) == []


def test_two_programs_have_a_journal_each(path: Path, journals: Path) -> None:
    """A second program does not take up what the first one is doing, and sees the first one's save as a change."""
    first, second = open_session(path, journals), open_session(path, journals)
    do(first, POWER, "1 W")
    do(second, POWER, "2 W")
    another = open_session(path, journals)
    assert another.recovered == 0
    another.close()
    first.save()
    with pytest.raises(ConflictError):
        second.save()
    leave(second)
    third = open_session(path, journals)
    assert third.offer is not None
    assert third.offer.labels == ("set rated power of L1",)
    third.drop_offer()
    third.close()
    first.close()
    assert names(journals) == []


def test_a_second_program_is_told_and_a_killed_one_is_not_counted(path: Path, journals: Path) -> None:
    """Who opens what is open elsewhere hears of it once; who comes when all others are gone, however, does not."""
    first = open_session(path, journals)
    assert first.notices == []
    second = open_session(path.parent, journals)
    assert second.notices == [OPEN_ELSEWHERE]
    first.close()
    third = open_session(path, journals)
    assert third.notices == [OPEN_ELSEWHERE]
    third.discard()
    leave(second)
    fourth = open_session(path, journals)
    assert fourth.notices == []
    other = path.with_name("other.toml")
    fourth.save_as(other)
    assert open_session(path, journals).notices == []
    assert open_session(other, journals).notices == [OPEN_ELSEWHERE]


def test_a_folder_without_room_for_the_mark_is_told(path: Path, tmp_path: Path) -> None:
    """Where the system cannot say who has the proposal open, the proposal opens and that is said."""
    blocked = tmp_path / "blocked"
    blocked.write_text("no folder")
    session = open_session(path, blocked)
    assert "whether another program has this proposal open cannot be told" in session.notices[0]


def test_a_damaged_journal_is_kept_and_told(session: Session, path: Path, journals: Path) -> None:
    """Steps that cannot be read are not dropped: the journal stays under another name, and the proposal opens."""
    do(session, POWER, "55 W")
    do(session, POWER, "56 W")
    leave(session)
    (journal,) = journals.glob("*.journal")
    journal.write_bytes(journal.read_bytes().replace(b'"55 W"', b'"55 V"'))
    again = open_session(path, journals)
    assert again.recovered == 0
    assert len(again.notices) == 1
    assert "line 2 cannot be read" in again.notices[0]
    again.close()
    assert names(journals) == [f"{journal.name}.damaged"]


def test_a_step_that_cannot_be_kept_is_not_done(
    session: Session, path: Path, journals: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where the journal cannot be written nothing counts as done: no edit, no undo, no redo."""
    do(session, POWER, "55 W")
    do(session, POWER, "56 W")
    session.undo()
    state = session.snapshot, session.labels, session.next_step
    actions: list[Callable[[], object]] = [session.undo, session.redo, lambda: session.set_text(POWER, "57 W")]
    for action in actions:
        monkeypatch.setattr(os, "fsync", fail)
        with pytest.raises(BomtuiError, match="the step cannot be kept"):
            action()
        monkeypatch.undo()
        assert (session.snapshot, session.labels, session.next_step) == state
    do(session, POWER, "58 W")
    leave(session)
    again = open_session(path, journals)
    assert again.labels == ("set rated power of L1", "set rated power of L1")
    assert again.snapshot.proposal.loads["L1"].rated_power_w == 58.0
    again.discard()


def test_a_folder_of_journals_that_cannot_be_used_keeps_nobody_from_reading(path: Path, tmp_path: Path) -> None:
    """A proposal opens without a place for journals; its first step says why it is refused."""
    blocked = tmp_path / "file"
    blocked.write_text("", encoding="utf-8")
    session = open_session(path, blocked / "journals")
    assert session.snapshot.proposal == small().proposal
    with pytest.raises(BomtuiError, match="the step cannot be kept"):
        session.set_text(POWER, "55 W")
    session.close()


def test_a_computed_variant_reuses_what_did_not_change(tmp_path: Path, journals: Path) -> None:
    """After an edit in one module the others keep their very results, and the figures are those of a fresh rollup."""
    shutil.copytree(sample_path("sweeper").parent, tmp_path / "sweeper")
    session = open_session(tmp_path / "sweeper", journals)
    first = session.computed("zone")
    assert session.do(TakeOff(variant="zone", loads=("L11",))) is None
    second = session.computed("zone")
    changed = [key for key in first.rollup.modules if second.rollup.modules[key] is not first.rollup.modules[key]]
    assert len(changed) == 1
    assert second.rollup.snapshot_number == session.snapshot.number
    assert second.rollup == compute(session.opened, "zone").rollup
    assert second.opened.content_hash != first.opened.content_hash
    session.undo()
    assert session.computed("zone").rollup == first.rollup
    assert session.computed().variant == session.snapshot.proposal.proposal.default_variant
    session.discard()


def test_journals_lie_in_the_persons_own_folder() -> None:
    """They lie below the state folder of the person, where no proposal is looked for."""
    assert journal_folder().is_relative_to(os.environ["XDG_STATE_HOME"])
    assert atomic.NO_FILE == ""
    assert find_journal(journal_folder(), Path("none.toml")) is None
