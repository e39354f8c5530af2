"""How soon the screen stands and follows a key, as ratios measured in one run (`pytest tests/benchmarks`).

Both sides run in a pseudo-terminal of their own; what counts is the first time a text is among the bytes they write.
"""

import fcntl
import os
import pty
import select
import shutil
import signal
import struct
import sys
import termios
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from statistics import median
from time import perf_counter

import pytest

from bomtui.services.session import open_session
from bomtui.storage.frozen_parts import parts_text
from bomtui.storage.proposal.write import proposal_text
from tests.generated import generated_snapshot

REPOSITORY = Path(__file__).parents[2]
ROUNDS = 9
PATIENCE_S = 20.0
COLUMNS, ROWS = 120, 40
UNDO, REDO = b"u", b"\x12"


class RawTerminal:
    """A program in a pseudo-terminal, whose bytes are looked at and not drawn."""

    def __init__(self, words: list[str], environment: Mapping[str, str]) -> None:
        self.started_s = perf_counter()
        self.pid, self.fd = pty.fork()
        if self.pid == 0:
            surroundings = {name: value for name, value in os.environ.items() if name != "NO_COLOR"}
            surroundings |= {"TERM": "xterm-256color", "COLORTERM": "truecolor", "LANG": "C.UTF-8"}
            surroundings |= {"TEXTUAL_ANIMATIONS": "none", "PYTHONPATH": str(REPOSITORY), **environment}
            os.execvpe(sys.executable, [sys.executable, *words], surroundings)  # noqa: S606 - the program under test
        fcntl.ioctl(self.fd, termios.TIOCSWINSZ, struct.pack("HHHH", ROWS, COLUMNS, 0, 0))

    def seconds_until(self, text: bytes, since_s: float) -> float:
        """How long after a moment a text was written; what was written earlier does not count."""
        seen = bytearray()
        while text not in seen:
            assert select.select([self.fd], [], [], PATIENCE_S)[0], f"never saw {text!r}"
            seen += os.read(self.fd, 65536)
        return perf_counter() - since_s

    def seconds_of(self, keys: bytes, text: bytes) -> float:
        """How long it takes from a key to a text."""
        since_s = perf_counter()
        os.write(self.fd, keys)
        return self.seconds_until(text, since_s)

    def rest(self) -> None:
        """Read until nothing comes any more, so that the next key finds the program idle."""
        while select.select([self.fd], [], [], 0.2)[0]:
            os.read(self.fd, 65536)


@contextmanager
def running(words: list[str], environment: Mapping[str, str]) -> Iterator[RawTerminal]:
    """A program that is ended in the end."""
    terminal = RawTerminal(words, environment)
    try:
        yield terminal
    finally:
        os.kill(terminal.pid, signal.SIGKILL)
        os.waitpid(terminal.pid, 0)
        os.close(terminal.fd)


def user_folders(folder: Path) -> dict[str, str]:
    """Folders of a person of their own, so that nothing is recovered but what a benchmark has left there."""
    return {f"XDG_{kind}_HOME": str(folder / kind.lower()) for kind in ("CACHE", "CONFIG", "DATA", "STATE")}


def sample(folder: Path) -> Path:
    """A copy of the sweeper."""
    return Path(shutil.copytree(REPOSITORY / "sample_projects" / "street_sweeper", folder / "street_sweeper"))


def generated(folder: Path) -> Path:
    """A proposal of 2,000 loads in 154 modules."""
    snapshot = generated_snapshot(2_000, 13)
    (folder / "large.toml").write_text(proposal_text(snapshot.proposal), encoding="utf-8")
    (folder / "large.parts.toml").write_text(parts_text(snapshot.parts), encoding="utf-8")
    return folder / "large.toml"


def with_a_step(path: Path, folder: Path) -> tuple[bytes, bytes]:
    """Leave a step that is not saved, which the next opening takes up; the parts cost before and with it."""
    journals = folder / "state" / "bomtui" / "journals"
    session = open_session(path, journals)
    before = session.computed().rollup.cost.elements["parts"].amount
    assert session.set_text("vehicle.volume_per_year", "50") is None
    after = session.computed().rollup.cost.elements["parts"].amount
    session.close()
    assert before != after
    return f"{before} EUR".encode(), f"{after} EUR".encode()


def test_first_paint(tmp_path: Path, record_property: Callable[[str, object], None]) -> None:
    """From start to the first screen takes at most 1.2 times a bare app; when all totals stand is told beside it."""
    path = sample(tmp_path)
    ratios, totals = [], []
    for _ in range(ROUNDS):
        with running(["-m", "tests.benchmarks.bare_screens", "first"], user_folders(tmp_path)) as terminal:
            least_s = terminal.seconds_until(b"load-1", terminal.started_s)
        with running(["-m", "bomtui", str(path)], user_folders(tmp_path)) as terminal:
            ratios.append(terminal.seconds_until(b"quit", terminal.started_s) / least_s)
            totals.append(terminal.seconds_until(b"439.2334", terminal.started_s) / least_s)
    record_property("first paint over bare app", round(median(ratios), 2))
    print(f"first paint over bare app: {median(ratios):.2f}; all totals: {median(totals):.2f}")  # noqa: T201
    assert median(ratios) <= 1.2


@pytest.mark.parametrize(("make", "limit"), [(sample, 2.0), (generated, None)], ids=["sample", "2000 loads"])
def test_key_to_paint(
    make: Callable[[Path], Path], limit: float | None, tmp_path: Path, record_property: Callable[[str, object], None]
) -> None:
    """From a key that undoes a step to all totals takes at most twice a bare grid that rewrites a cell and totals."""
    path = make(tmp_path)
    before, after = with_a_step(path, tmp_path)
    least, own = [], []
    with running(["-m", "tests.benchmarks.bare_screens", "grid"], user_folders(tmp_path)) as terminal:
        terminal.seconds_until(b"total 0", terminal.started_s)
        for number in range(1, 2 * ROUNDS):
            terminal.rest()
            least.append(terminal.seconds_of(b"e", f"total {number + 9}".encode()))
    with running(["-m", "bomtui", str(path)], user_folders(tmp_path)) as terminal:
        terminal.seconds_until(after, terminal.started_s)
        for _ in range(ROUNDS):
            terminal.rest()
            own.append(terminal.seconds_of(UNDO, before))
            terminal.rest()
            own.append(terminal.seconds_of(REDO, after))
    ratio = median(own) / median(least)
    record_property("key to paint over bare grid", round(ratio, 2))
    own_ms, least_ms = median(own) * 1e3, median(least) * 1e3
    print(f"key to all totals over bare grid: {ratio:.2f} ({own_ms:.0f} ms over {least_ms:.0f} ms)")  # noqa: T201
    assert limit is None or ratio <= limit
