"""Somebody at the keys of the program: what is pressed, and what must stand on the screen before the next thing is."""

import sys
from collections.abc import Callable
from pathlib import Path

from tests.real_terminal.terminal import Terminal

REPOSITORY = Path(__file__).parents[2]
UP, DOWN, RIGHT, HOME, END = "\x1b[A", "\x1b[B", "\x1b[C", "\x1b[H", "\x1b[F"
REDO, SAVE, QUIT = "\x12", "\x13", "\x11"
FOLDS = "▸▾"
"""Signs in front of a row with rows inside."""


def start(
    folder: Path,
    *words: str,
    columns: int = 80,
    rows: int = 24,
    environment: dict[str, str] | None = None,
    module: str = "bomtui",
) -> Terminal:
    """The program, started in a folder, with settings and journals of its own there.

    Args:
        folder: The folder.
        words: Its arguments.
        columns: Width of the terminal.
        rows: Height of the terminal.
        environment: What else is added to its environment.
        module: What is run.
    """
    own = {"XDG_CONFIG_HOME": str(folder / "settings"), "XDG_STATE_HOME": str(folder / "state")}
    surroundings = {"PYTHONPATH": str(REPOSITORY), **own, **(environment or {})}
    program = f"import os, runpy, sys; os.chdir(sys.argv.pop(1)); runpy.run_module({module!r}, run_name='__main__')"
    return Terminal([sys.executable, "-c", program, str(folder), *words], columns, rows, surroundings)


def files_in(folder: Path) -> dict[str, bytes]:
    """What a proposal and its frozen parts hold."""
    return {path.name: path.read_bytes() for path in folder.glob("*.toml")}


def row_with(text: str, start: str) -> str:
    """The row of the sheet whose name begins so; empty where it is not in sight."""
    return next((line for line in text.splitlines() if line[2:].lstrip(f" {FOLDS}").startswith(start)), "")


def cursor_row(text: str) -> str:
    """Name and cells of the row under the cursor; empty where there is none."""
    return next((line[2:].lstrip(f" {FOLDS}") for line in text.splitlines() if line.startswith("> ")), "")


def meters(text: str) -> str:
    """The figures above the sheet of the working screen; empty on any other screen, and before they are computed."""
    lines = text.splitlines()
    heads = [number for number, line in enumerate(lines) if line.startswith("    Modules  ")]
    return "\n".join(lines[1 : heads[0]]).strip() if heads else ""


class Hands:
    """Presses keys and looks.

    Args:
        terminal: Where the program runs.

    Attributes:
        steps: How many steps were acknowledged.
    """

    def __init__(self, terminal: Terminal) -> None:
        self.terminal = terminal
        self.steps = 0

    def wait_for(self, fact: str | Callable[[str], bool]) -> str:
        """Wait for a fact; return what stands on the screen then."""
        self.terminal.wait_for(fact)
        return self.terminal.text

    def press(self, keys: str, fact: str | Callable[[str], bool]) -> str:
        """Press keys in one burst and wait for what they must lead to."""
        self.terminal.send(keys)
        return self.wait_for(fact)

    def do(self, keys: str, *labels: str) -> None:
        """Press the keys of some steps in one burst and wait until the screen acknowledges the last one."""
        self.press(keys, f"Done: {labels[-1]}")
        self.steps += len(labels)

    def at(self, start: str) -> None:
        """Wait until the cursor is on a row."""
        self.wait_for(lambda text: cursor_row(text).startswith(start))

    def go(self, start: str) -> None:
        """Find the row whose name begins so, and go there."""
        self.terminal.send(f"/{start}\r")
        self.at(start)

    def point(self, title: str) -> None:
        """Go to a row that is in sight in a list of choices."""
        text = self.wait_for(lambda text: bool(row_with(text, title)) and bool(cursor_row(text)))
        lines = text.splitlines()
        now = next(number for number, line in enumerate(lines) if line.startswith("> "))
        distance = lines.index(row_with(text, title)) - now
        self.terminal.send(DOWN * distance or UP * -distance)
        self.at(title)

    def see_candidates(self, question: str) -> None:
        """Wait until the candidates that answer a question are listed."""
        self.wait_for(lambda text: question in text.splitlines()[0] and " to choose from, " in text)

    def take_first(self, label: str) -> str:
        """Take the best candidate, which the cursor is on at first; return the key of its part."""
        row = cursor_row(self.terminal.text)
        assert not row.startswith("rejected"), self.terminal.text
        self.do("\r", label)
        return row.partition(",")[0]

    def add_device(self, module: str, kind: str, word: str = "") -> str:
        """Add a device to the module that the cursor is in.

        Args:
            module: Id of the module.
            kind: Its kind, as the list of kinds has it.
            word: Text that the part must hold.

        Returns:
            Catalog key of the best part for it.
        """
        self.press("a\r", f"A device of which kind for {module}?")
        self.point(kind)
        self.terminal.send("\r")
        self.see_candidates(f"Which {kind} for {module}?")
        if word:
            self.press(f"/{word}\r", " hidden by what is looked for")
        return self.take_first("add ")

    def undo_all(self) -> None:
        """Undo in one burst until nothing is left."""
        self.press("u" * (self.steps + 1), "Nothing to undo.")

    def redo_all(self) -> None:
        """Do all of it again in one burst."""
        self.press(REDO * (self.steps + 1), "Nothing to do again.")

    def save(self) -> None:
        """Save; there is something to save, and what a former save has said is gone once the screen is drawn."""
        self.wait_for(lambda text: "Saved to " not in text)
        self.press(SAVE, "Saved to ")

    def quit(self) -> None:
        """Leave; nothing is unsaved."""
        self.terminal.send(QUIT)
        assert self.terminal.wait_for_end() == 0
        assert self.terminal.is_left_in_order
