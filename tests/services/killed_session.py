"""A program that edits and saves by a seed, and kills itself: after some acknowledged step, or within some call.

Its arguments are PROPOSAL JOURNALS LOG SEED STEPS CALL WHEN. After each acknowledged action it appends the action's
name to LOG. CALL 0 kills after the last of STEPS actions; a higher one at the CALLth call of the system that changes
what is on the disk, and WHEN says whether before, half through or after it.
"""

import os
import random
import signal
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

from bomtui.model.proposal import Snapshot
from bomtui.services.session import Session, open_session
from tests.edit.random_edits import MAKERS, random_edit

# A random save as a whole state would make everything else of a list vanish.
KINDS = tuple(kind for kind in MAKERS if kind.__name__ not in {"RestoreState", "DeleteVariant"})


def act(rng: random.Random, session: Session) -> str:
    """Do one action of a person; return its name."""
    chance = rng.random()
    if chance < 0.12:
        session.save()
        return "save"
    if chance < 0.27:
        return f"undo {session.undo()}"
    if chance < 0.37:
        return f"redo {session.redo()}"
    # Its own chance, so that what is saved and undone does not follow from how edits are made.
    edit = random_edit(random.Random(rng.random()), session.snapshot, KINDS)
    refusal = session.do(edit, continues=rng.random() < 0.2)
    return f"{'refused' if refusal else 'do'} {edit.label}"


def states_of(seed: int, steps: int, path: Path, journals: Path) -> list[Snapshot]:
    """The snapshots after each action of an undisturbed run."""
    rng, session = random.Random(seed), open_session(path, journals)
    states = [session.snapshot]
    for _ in range(steps):
        act(rng, session)
        states.append(session.snapshot)
    session.discard()
    return states


def kill_at(number: int, when: str) -> None:
    """Have the process killed at a call that changes the disk: before, half through or after it."""
    calls = 0

    def counted(real: Callable[..., Any], halve: Callable[..., Any]) -> Callable[..., Any]:
        def call(*arguments: Any, **options: Any) -> Any:  # noqa: ANN401 - stands in for a call of the system
            nonlocal calls
            calls += 1
            if calls == number:
                if when == "after":
                    real(*arguments, **options)
                elif when == "half":
                    halve(*arguments)
                os.kill(os.getpid(), signal.SIGKILL)
            return real(*arguments, **options)

        return call

    write = os.write

    def nothing(*_: Any) -> None:  # noqa: ANN401 - stands in for a call of the system
        """Half of a rename is none."""

    def half_write(descriptor: int, data: bytes) -> None:
        write(descriptor, data[: len(data) // 2])

    for owner, name, halve in (
        (os, "write", half_write),
        (os, "fsync", nothing),
        (os, "ftruncate", nothing),
        (os, "fdopen", nothing),
        (Path, "replace", nothing),
        (Path, "unlink", nothing),
    ):
        setattr(owner, name, counted(getattr(owner, name), halve))


def main() -> None:
    """Run to the kill."""
    path, journals, log = map(Path, sys.argv[1:4])
    seed, steps, call = map(int, sys.argv[4:7])
    rng, session = random.Random(seed), open_session(path, journals)
    with log.open("a", encoding="utf-8") as file:
        descriptor, write = file.fileno(), os.write
        if call:
            kill_at(call, sys.argv[7])
        for _ in range(steps):
            name = act(rng, session)
            write(descriptor, f"{name!r}\n".encode())
    os.kill(os.getpid(), signal.SIGKILL)


if __name__ == "__main__":
    main()
