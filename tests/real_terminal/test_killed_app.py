"""The program itself is killed, at work or while it saves: reopened, it has every step that the screen acknowledged."""

import random
import shutil
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
    REPOSITORY,
    SAVE,
    Hands,
    files_in,
    meters,
    start,
)
from tests.real_terminal.killed_app import ORDER_VARIABLE
from tests.tui.from_services.real import opened

# Programs started thirty times: most of a minute each.
pytestmark = pytest.mark.slow

SWEEPER = REPOSITORY / "sample_projects" / "street_sweeper"
KILLS = 30
SAVE_CALLS = 14
"""Calls by which a save of both files changes the disk: journal 2, frozen parts 5, proposal 5, journal emptied 2."""
COLUMNS = 80
MOMENTS = ("before", "half", "after")


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
    Action("/L13 \rk", "Done: take off L13."),
    Action("/L11 \rP", "Done: pin L11."),
    Action(f"{HOME}a\rZNEW\r\rnew box\r", "Done: add module ZNEW."),
    Action("r\x15ZBOX\r", "Done: rename module ZNEW to ZBOX."),
    Action("/ZREA \rcZCOPY\r\r", "Done: copy module ZREA to ZCOPY."),
    Action("u", "Undone: copy module ZREA to ZCOPY.", -1),
    Action(REDO, "Done again: copy module ZREA to ZCOPY."),
    Action(f"{HOME}a{END}\rNEW\rlights\r", "Done: add subsystem NEW."),
    Action("/L14 \rk", "Done: take off L14."),
    Action("/L24 \rk", "Done: take off L24."),
)


class State(NamedTuple):
    """The proposal after some actions: what a save writes, what the meters show, and how much can be undone."""

    files: dict[str, bytes]
    figures: str
    steps: int


def copy_of_sweeper(folder: Path, name: str) -> Path:
    """A copy of the sweeper that may be changed."""
    return Path(shutil.copytree(SWEEPER, folder / name, ignore=shutil.ignore_patterns("expected")))


def figures_of(proposal: Path) -> str:
    """What the meters of the sheet show of a proposal that nobody has changed since it was saved."""
    source = opened(proposal, proposal.parent / "other settings")
    lines = meter_lines(source.view("zone").meters, COLUMNS, FULL)
    return "\n".join("".join(text for text, _ in line).rstrip() for line in lines).strip()


def undisturbed(folder: Path) -> list[State]:
    """The states of a run that nobody kills, the first one before any action."""
    proposal = copy_of_sweeper(folder, "undisturbed")
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
    proposal = copy_of_sweeper(tmp_path, "killed")
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
    hands.do("/L13 \rk", "take off L13.")
    hands.go("ZREA ")
    hands.add_device("ZREA", "controller", "mcu-24")
    hands.at("U12 mcu-24")


def check_saved(hands: Hands, proposal: Path, state: State) -> None:
    """Save, unless all of it is saved, and hold figures and files against a state."""
    hands.wait_for(lambda text: meters(text) == state.figures)
    hands.press(SAVE, lambda text: "Saved to " in text or "Nothing to save" in text)
    assert files_in(proposal) == state.files


def test_a_save_outlives_a_kill_at_each_of_its_calls(tmp_path: Path) -> None:
    """Killed before, half through or after each call by which a save changes the disk, both steps are there again."""
    copies = [copy_of_sweeper(tmp_path, f"copy{number}") for number in range(SAVE_CALLS + 2)]
    order = tmp_path / "order"
    run = partial(start, tmp_path, environment={ORDER_VARIABLE: str(order)}, module="tests.real_terminal.killed_app")
    with run("copy0") as terminal:
        hands = Hands(terminal)
        hands.wait_for(lambda text: bool(meters(text)))
        change_both_files(hands)
        hands.save()
        original, state = figures_of(copies[1]), State(files_in(copies[0]), figures_of(copies[0]), 2)
        hands.quit()
    assert not [name for name, data in files_in(SWEEPER).items() if data == state.files[name]]
    # Each program checks what the one before it has left, and is killed over the next copy.
    for call in range(1, SAVE_CALLS + 2):
        with run(f"copy{call - 1}") as terminal:
            hands = Hands(terminal)
            check_saved(hands, copies[call - 1], state)
            hands.press(f"oocopy{call}\r", lambda text: meters(text) == original)
            change_both_files(hands)
            order.write_text(f"{call} {MOMENTS[call % len(MOMENTS)]}", encoding="utf-8")
            if call > SAVE_CALLS:
                # No call is left to be killed at: the save goes through.
                hands.save()
                check_saved(hands, copies[call], state)
                break
            terminal.send(SAVE)
            assert terminal.wait_for_end() == -signal.SIGKILL
