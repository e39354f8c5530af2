"""The line of steps: names, depth, and typing that goes on in one field."""

import msgspec

from bomtui.edit.edit import Edit, Refusal
from bomtui.edit.edits.field import SetField
from bomtui.edit.history import History, Step
from tests.edit.small import small


def power(watts: float, load: str = "L1") -> SetField:
    """Set the power of a load."""
    return SetField(place=f"loads.{load}.rated_power", value=watts)


def do(history: History, edit: Edit, *, continues: bool = False) -> int:
    """Do an edit that must give a step; return how many more steps there are."""
    step = history.attempt(edit, continues=continues)
    assert isinstance(step, Step)
    return history.take(step)


def labels(history: History) -> list[str]:
    """Names of the steps that can be undone."""
    return [step.edit.label for step in history.done]


def test_a_new_step_ends_what_could_be_done_again() -> None:
    """After undoing, a new edit clears the redo line; the undone snapshot's number is not given again."""
    start = small()
    history = History(start)
    do(history, power(10.0))
    undone = history.current
    history.undo()
    assert history.current is start
    assert history.next is not None
    do(history, power(11.0))
    assert history.next is None
    assert history.current.number == undone.number + 1


def test_the_oldest_steps_are_forgotten() -> None:
    """Only so many steps are kept; the rest stays done."""
    history = History(small(), depth=3)
    for number in range(5):
        do(history, power(100.0 + number))
    assert len(history.done) == 3
    while history.undo():
        pass
    assert history.current.proposal.loads["L1"].rated_power_w == 101.0


def test_typing_on_in_one_field_is_one_step() -> None:
    """Values of one field that follow each other in one go are one step, whose undo leads to before the first."""
    start = small()
    history = History(start)
    assert do(history, power(1.0), continues=True) == 1
    assert do(history, power(12.0), continues=True) == 0
    assert do(history, power(12.5), continues=True) == 0
    assert labels(history) == ["set rated power of L1"]
    assert do(history, power(3.0, "L2"), continues=True) == 1
    history.undo()
    assert history.current.proposal.loads["L1"].rated_power_w == 12.5
    history.undo()
    assert history.current is start


def test_typing_back_leaves_no_step() -> None:
    """Where the field ends as it began, the very snapshot before is back and nothing can be undone."""
    start = small()
    history = History(start)
    do(history, power(1.0))
    assert do(history, power(21.0), continues=True) == -1
    assert history.current is start
    assert history.done == ()
    assert history.attempt(power(21.0)) is None


def test_steps_that_do_not_go_on_stay_apart() -> None:
    """Another go in the same field, and one after an undo, are steps of their own."""
    history = History(small())
    do(history, power(1.0))
    do(history, power(2.0))
    assert len(history.done) == 2
    history.undo()
    do(history, power(3.0), continues=True)
    assert [step.after.proposal.loads["L1"].rated_power_w for step in history.done] == [1.0, 3.0]


def test_a_refused_attempt_is_no_step() -> None:
    """The refusal comes back, and the line stays."""
    history = History(small())
    refusal = history.attempt(SetField(place="loads.L9.name", value="x"))
    assert isinstance(refusal, Refusal)
    assert history.done == ()
    assert msgspec.structs.replace(refusal, sentence="") == Refusal(sentence="")
