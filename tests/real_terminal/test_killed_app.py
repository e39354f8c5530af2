"""The program itself is killed, at work or while it saves: reopened, it has every step that the screen acknowledged."""

import random
import signal
from functools import partial
from pathlib import Path
from typing import NamedTuple

import pytest

from bomtui.tui.glyphs import FULL
from bomtui.tui.screens.rollup.frame import meter_lines
from tests.real_terminal.hands import (
    END,
    HOME,
    REDO,
    SAVE,
    Hands,
    files_in,
    meters,
    start,
)
from tests.real_terminal.killed_app import ORDER_VARIABLE
from tests.services.test_session_killed import small_proposal
from tests.tui.from_services.real import opened

# Programs started thirty times: most of a minute each.
pytestmark = pytest.mark.slow

KILLS = 30
SAVE_CALLS = 14
"""Calls by which a save of both files changes the disk: journal 2, frozen parts 5, proposal 5, journal emptied 2."""
MOMENTS = (
    (1, "half"), (2, "after"), (5, "before"), (5, "after"), (10, "before"), (10, "after"), (13, "before"), (14, "after")
)  # fmt: skip
"""Where a save is killed: within its note in the journal and behind it, before and after each of the two files takes
the place of the old one, and before and after the journal is emptied."""
COLUMNS = 80


class Action(NamedTuple):
    """Something done by keys on the sheet.

    Attributes:
        keys: The keys, from the sheet back to it.
        acknowledged: What the screen says when it is done and kept.
        steps: How many steps it adds to those that can be undone.
    """

    keys: str
    acknowledged: str
    steps: int = 1


ACTIONS = (
    Action("/L1\rk", "Done: take off L1."),
    Action("/L2\rP", "Done: pin L2."),
    Action(f"{HOME}a\rZNEW\r\rnew box\r", "Done: add module ZNEW."),
    Action("r\x15ZBOX\r", "Done: rename module ZNEW to ZBOX."),
    Action("/REAR\rcZCOPY\r\r", "Done: copy module REAR to ZCOPY."),
    Action("u", "Undone: copy module REAR to ZCOPY.", -1),
    Action(REDO, "Done again: copy module REAR to ZCOPY."),
    Action(f"{HOME}a{END}\rNEW\rlights\r", "Done: add subsystem NEW."),
    Action("/L2\rk", "Done: take off L2."),
    Action("/L4\rk", "Done: take off L4."),
)


class State(NamedTuple):
    """The proposal after some actions: what a save writes, what the meters show, and how much can be undone."""

    files: dict[str, bytes]
    figures: str
    steps: int


def figures_of(proposal: Path) -> str:
    """What the meters of the sheet show of a proposal that nobody has changed since it was saved."""
    source = opened(proposal, proposal.parent / "other settings")
    lines = meter_lines(source.view("one").meters, COLUMNS, FULL)
    return "\n".join("".join(text for text, _ in line).rstrip() for line in lines).strip()


def undisturbed(folder: Path) -> list[State]:
    """The states of a run that nobody kills, the first one before any action."""
    proposal = small_proposal(folder / "undisturbed").parent
    states = [State(files_in(proposal), figures_of(proposal), 0)]
    with start(folder, "undisturbed", columns=COLUMNS) as terminal:
        hands = Hands(terminal)
        hands.wait_for(lambda text: meters(text) == states[0].figures)
        for action in ACTIONS:
            hands.press(action.keys, action.acknowledged)
            hands.save()
            states.append(State(files_in(proposal), figures_of(proposal), states[-1].steps + action.steps))
        hands.wait_for(lambda text: meters(text) == states[-1].figures)
        hands.quit()
    return states


def acknowledged(text: str, first: int) -> int:
    """How many actions the screen acknowledges; 0 where it is fewer than `first`."""
    seen = [number for number, action in enumerate(ACTIONS, 1) if number >= first and action.acknowledged in text]
    return max(seen, default=0)


def kill_at_work(hands: Hands, wanted: int, typed: int) -> int:
    """Type some actions in one burst, and kill the program when that many are acknowledged; return how many are."""
    keys = "".join(action.keys for action in ACTIONS[:typed])
    text = hands.press(keys, lambda text: acknowledged(text, wanted) > 0)
    hands.terminal.signal(signal.SIGKILL)
    assert hands.terminal.wait_for_end() == -signal.SIGKILL
    return acknowledged(text, wanted)


def check_recovered(hands: Hands, proposal: Path, allowed: list[State]) -> None:
    """Hold what a killed program left against the states it may be in: figures, saved bytes, and all of it undone."""
    text = hands.wait_for("Recovered ")
    hands.save()
    found = [state for state in allowed if state.files == files_in(proposal)]
    assert found, f"neither of {len(allowed)} states; the screen was:\n{text}"
    hands.wait_for(lambda text: meters(text) == found[0].figures)
    assert f"Recovered {found[0].steps} step" in text
    hands.press("u" * (found[0].steps + 1), "Nothing to undo.")
    hands.save()


def test_what_the_screen_has_acknowledged_outlives_a_kill(tmp_path: Path) -> None:
    """Thirty times: n actions by keys, some more typed ahead, killed when the n-th is acknowledged, opened again.

    The screen then shows the figures of an undisturbed run, a save writes its bytes, and undo leads back to the sample.
    """
    states = undisturbed(tmp_path)
    proposal = small_proposal(tmp_path / "killed").parent
    rng, least, most = random.Random(3), 0, 0
    for number in range(KILLS + 1):
        with start(tmp_path, "killed") as terminal:
            hands = Hands(terminal)
            if number:
                check_recovered(hands, proposal, states[least : most + 1])
            hands.wait_for(lambda text: meters(text) == states[0].figures)
            assert files_in(proposal) == states[0].files
            if number == KILLS:
                hands.quit()
                break
            wanted = rng.randint(1, len(ACTIONS))
            most = min(wanted + rng.choice((0, 0, 1, 3)), len(ACTIONS))
            least = kill_at_work(hands, wanted, most)


def change_both_files(hands: Hands) -> None:
    """Do two steps, one of them with a part that is not frozen yet."""
    hands.do("/L1\rk", "take off L1.")
    hands.go("REAR rear")
    hands.at(f"U5 {hands.add_device('REAR', 'controller', '32-bit')}")


def check_saved(hands: Hands, proposal: Path, state: State) -> None:
    """Save, unless all of it is saved, and hold figures and files against a state."""
    hands.wait_for(lambda text: meters(text) == state.figures)
    hands.press(SAVE, lambda text: "Saved to " in text or "Nothing to save" in text)
    assert files_in(proposal) == state.files


def test_a_save_outlives_a_kill_at_any_of_its_calls(tmp_path: Path) -> None:
    """Killed before, half through or after a call by which a save changes the disk, both steps are there again."""
    copies = [small_proposal(tmp_path / f"copy{number}").parent for number in range(len(MOMENTS) + 2)]
    original, order = copies[0], tmp_path / "order"
    begun, begun_figures = files_in(original), figures_of(original)
    run = partial(start, tmp_path, environment={ORDER_VARIABLE: str(order)}, module="tests.real_terminal.killed_app")
    with run("copy0") as terminal:
        hands = Hands(terminal)
        hands.wait_for(lambda text: meters(text) == begun_figures)
        change_both_files(hands)
        hands.save()
        state = State(files_in(original), figures_of(original), hands.steps)
        hands.quit()
    assert not [name for name, data in begun.items() if data == state.files[name]]
    # Each program checks what the one before it has left, and is killed over the next copy; the last save outlasts the
    # number of its calls.
    for number, (call, when) in enumerate((*MOMENTS, (SAVE_CALLS + 1, "before")), 1):
        with run(f"copy{number - 1}") as terminal:
            hands = Hands(terminal)
            check_saved(hands, copies[number - 1], state)
            hands.press(f"oocopy{number}\r", lambda text: meters(text) == begun_figures)
            change_both_files(hands)
            order.write_text(f"{call} {when}", encoding="utf-8")
            if call > SAVE_CALLS:
                hands.save()
                check_saved(hands, copies[number], state)
            else:
                terminal.send(SAVE)
                assert terminal.wait_for_end() == -signal.SIGKILL
