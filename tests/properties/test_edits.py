"""Laws of edits and their history, over generated proposals and random lists of edits of every kind."""

import random
import tempfile
from collections.abc import Mapping
from pathlib import Path

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bomtui.edit.edit import Edit, Refusal, apply
from bomtui.edit.edits.part import RefreshPart
from bomtui.edit.edits.state import RestoreState
from bomtui.edit.history import History, Step
from bomtui.edit.kinds import KINDS
from bomtui.model.base import Base
from bomtui.model.proposal import Snapshot
from bomtui.storage.edit_record import edit_from_record, edit_record
from bomtui.storage.frozen_parts import parts_text, read_parts
from bomtui.storage.proposal.read import read_proposal
from bomtui.storage.proposal.write import proposal_text
from tests.edit.random_edits import MAKERS, Maker, random_edit, random_history
from tests.samples.rollups import snapshot as sample
from tests.strategies import snapshots

SEEDS = st.integers(0, 2**32)
EDITS = 12


def frozen_copy(snapshot: Snapshot) -> tuple[str, str]:
    """A snapshot as text, to see later whether anybody changed it in place."""
    return proposal_text(snapshot.proposal), parts_text(snapshot.parts)


def replayed(start: Snapshot, edits: list[Edit]) -> Snapshot:
    """A snapshot after edits, done one by one from the start."""
    for edit in edits:
        after = apply(edit, start)
        assert isinstance(after, Snapshot), after
        start = after
    return start


def shared(before: object, after: object, path: str = "") -> list[str]:
    """Places of records that are equal and yet not the very same objects."""
    if before is after:
        return []
    if isinstance(before, Base) and type(before) is type(after):
        found = [
            place
            for name in before.__struct_fields__
            for place in shared(getattr(before, name), getattr(after, name), f"{path}.{name}")
        ]
        return found + ([path] if before == after else [])
    if isinstance(before, Mapping) and isinstance(after, Mapping):
        found = [
            place for key in before.keys() & after.keys() for place in shared(before[key], after[key], f"{path}.{key}")
        ]
        return found + ([path] if before == after else [])
    return []


@given(snapshots(), SEEDS)
@settings(max_examples=15)
def test_undo_hands_back_the_very_same_snapshots(start: Snapshot, seed: int) -> None:
    """Undoing any list of edits walks back over the very snapshots that were there, and redoing forward over them."""
    history, _ = random_history(seed, start, EDITS)
    steps = history.done
    line = [step.before for step in steps] + [history.current]
    assert line[0] is start
    for step, former in zip(reversed(steps), reversed(line[:-1]), strict=True):
        assert history.undo() is step
        assert history.current is former
    assert history.undo() is None
    for step, later in zip(steps, line[1:], strict=True):
        assert history.redo() is step
        assert history.current is later
    assert history.redo() is None


@given(snapshots(), SEEDS)
@settings(max_examples=15)
def test_replaying_the_edits_gives_an_equal_proposal(start: Snapshot, seed: int) -> None:
    """The edits of a history, read back from their records and done again from the start, lead to the same content."""
    history, _ = random_history(seed, start, EDITS)
    edits = [edit_from_record(msgspec.json.decode(msgspec.json.encode(edit_record(s.edit)))) for s in history.done]
    again = replayed(start, edits)
    assert again.proposal == history.current.proposal
    assert again.parts == history.current.parts


@given(snapshots(), SEEDS)
@settings(max_examples=15)
def test_an_edit_changes_nothing_in_place(start: Snapshot, seed: int) -> None:
    """Neither an edit that is done nor one that is refused touches the snapshot it was given, or its number."""
    before = frozen_copy(start)
    rng = random.Random(seed)
    for _ in range(EDITS):
        after = apply(random_edit(rng, start), start)
        assert isinstance(after, Refusal) or after is start or after.number == start.number + 1
        assert not isinstance(after, Refusal) or (after.sentence and "\n" not in after.sentence)
    assert frozen_copy(start) == before


@given(snapshots(), SEEDS)
@settings(max_examples=15)
def test_a_refused_edit_leaves_the_history_alone(start: Snapshot, seed: int) -> None:
    """After a refusal the current snapshot, the steps and what can be done again are what they were."""
    history, _ = random_history(seed, start, EDITS)
    history.undo()
    rng = random.Random(seed)
    current, steps, after = history.current, history.done, history.next
    for _ in range(EDITS):
        history.attempt(random_edit(rng, history.current))
        assert history.current is current
        assert history.done == steps
        assert history.next is after


@given(snapshots(), SEEDS)
@settings(max_examples=15)
def test_what_does_not_change_is_shared(start: Snapshot, seed: int) -> None:
    """An edit makes new records only where something in them changes; whatever is equal is the very same object.

    A whole state that is put back, and new data of a part, come from elsewhere as a whole.
    """
    rng = random.Random(seed)
    kinds = tuple(kind for kind in MAKERS if kind not in {RestoreState, RefreshPart})
    for _ in range(EDITS):
        after = apply(random_edit(rng, start, kinds), start)
        if isinstance(after, Snapshot):
            assert shared(start.proposal, after.proposal) == []
            assert shared(start.parts, after.parts) == []
            start = after


@given(snapshots(), SEEDS)
@settings(max_examples=15)
def test_what_edits_leave_reads_back_without_a_problem(start: Snapshot, seed: int) -> None:
    """After any edits the written files are read back equal, with no name that leads nowhere and no faulty value."""
    history, _ = random_history(seed, start, EDITS)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "p.toml"
        path.write_text(proposal_text(history.current.proposal), encoding="utf-8", newline="")
        read = read_proposal(path)
        beside = Path(folder) / "p.parts.toml"
        beside.write_text(parts_text(history.current.parts), encoding="utf-8", newline="")
        parts, problems = read_parts(beside)
    assert [str(problem) for problem in (*read.problems, *problems)] == []
    assert read.proposal == history.current.proposal
    assert parts == history.current.parts


@given(snapshots(), SEEDS)
@settings(max_examples=15)
def test_no_number_is_given_twice(start: Snapshot, seed: int) -> None:
    """Whatever is done, undone and done otherwise, a number names one snapshot: stale results are told by it."""
    rng = random.Random(seed)
    history = History(start)
    seen: dict[int, Snapshot] = {start.number: start}
    for _ in range(3 * EDITS):
        if rng.random() < 0.4:
            history.undo()
        elif rng.random() < 0.3:
            history.redo()
        else:
            step = history.attempt(random_edit(rng, history.current), continues=rng.random() < 0.5)
            if isinstance(step, Step):
                history.take(step)
        assert seen.setdefault(history.current.number, history.current) is history.current


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.__name__)
def test_every_kind_is_done_on_a_sample_and_round_trips(kind: type[Edit]) -> None:
    """Each kind can be done, says in words what it does, and comes back from its record equal and doing the same."""
    rng = random.Random(kind.__name__)
    history, _ = random_history(2, sample("van"), 120)
    done = 0
    for _ in range(400):
        start = rng.choice(history.done).after
        edit = MAKERS[kind](Maker(rng, start))
        record = msgspec.json.decode(msgspec.json.encode(edit_record(edit)))
        assert edit_from_record(record) == edit
        assert edit.label
        after = apply(edit, start)
        again = apply(edit_from_record(record), start)
        assert after == again
        done += isinstance(after, Snapshot) and after is not start
        if done == 5:
            return
    assert done, f"{kind.__name__} was never done"
