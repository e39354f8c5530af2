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

from bomtui.edit.edit import Edit
from bomtui.edit.edits.device import SwapDevice
from bomtui.edit.edits.field import SetField
from bomtui.model.proposal import Snapshot
from bomtui.services.session import open_session
from bomtui.storage.frozen_parts import parts_text
from bomtui.storage.proposal.write import proposal_text
from bomtui.tui.from_services.source import SessionSource
from tests.generated import generated_snapshot

REPOSITORY = Path(__file__).parents[2]
ROUNDS = 9
PATIENCE_S = 20.0
COLUMNS, ROWS = 120, 40
UNDO, REDO = b"u", b"\x12"
QUIET_S = 1.5
"""How long nothing has come when the rules have been asked of a large vehicle, too."""


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

    def rest(self, quiet_s: float = 0.2) -> None:
        """Read until nothing comes any more, so that the next key finds the program idle."""
        while select.select([self.fd], [], [], quiet_s)[0]:
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


Change = Callable[[Snapshot, str], Edit]


def another_driver(snapshot: Snapshot, variant: str) -> Edit:
    """Another part of the same kind in the place of the first driver."""
    modules, parts = snapshot.proposal.variants[variant].modules, snapshot.parts
    module_id, ref, former = next(
        (module_id, ref, device.part)
        for module_id, module in modules.items()
        for ref, device in module.devices.items()
        if parts[device.part].kind == "high_side"
    )
    part = next(
        key
        for key, own in parts.items()
        if key != former
        and (own.kind, own.supplies.keys()) == (parts[former].kind, parts[former].supplies.keys())
        and (own.channels or 0) >= (parts[former].channels or 0)
    )
    return SwapDevice(variant=variant, module_id=module_id, ref=ref, part=part)


def another_volume(snapshot: Snapshot, variant: str) -> Edit:
    """Another volume, which changes every price there is."""
    del snapshot, variant
    return SetField(place="vehicle.volume_per_year", value=50)


def with_a_step(path: Path, folder: Path, change: Change) -> tuple[bytes, bytes]:
    """Leave a step that is not saved, which the next opening takes up; the last total that it changes, before and with.

    Totals stand in reading order: where the last of them has changed on the screen, all of them have.
    """
    session = open_session(path, folder / "state" / "bomtui" / "journals")
    source = SessionSource(session)
    variant = source.variants()[0].id
    before = [meter.value for meter in source.figures(variant).meters]
    assert session.do(change(session.snapshot, variant)) is None
    after = [meter.value for meter in source.figures(variant).meters]
    session.close()
    changed = [(old, new) for old, new in zip(before, after, strict=True) if old != new]
    return changed[-1][0].encode(), changed[-1][1].encode()


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


KEYS = (
    pytest.param(sample, another_driver, id="sample, a driver"),
    pytest.param(sample, another_volume, id="sample, the volume"),
    pytest.param(generated, another_driver, id="2000 loads, a driver"),
    pytest.param(generated, another_volume, id="2000 loads, the volume"),
)


@pytest.mark.parametrize(("make", "change"), KEYS)
def test_key_to_paint(
    make: Callable[[Path], Path],
    change: Change,
    tmp_path: Path,
    record_property: Callable[[str, object], None],
) -> None:
    """From a key that undoes or redoes a step to all totals takes at most twice a bare grid, on the sample.

    What a large vehicle takes, and a step that changes every price, is told beside it.
    """
    path = make(tmp_path)
    before, after = with_a_step(path, tmp_path, change)
    least, own = [], []
    with running(["-m", "tests.benchmarks.bare_screens", "grid"], user_folders(tmp_path)) as terminal:
        terminal.seconds_until(b"total 0", terminal.started_s)
        for number in range(1, 2 * ROUNDS):
            terminal.rest()
            least.append(terminal.seconds_of(b"e", f"total {number + 9}".encode()))
    with running(["-m", "bomtui", str(path)], user_folders(tmp_path)) as terminal:
        terminal.seconds_until(after, terminal.started_s)
        terminal.rest(QUIET_S)
        for _ in range(ROUNDS):
            own.append(terminal.seconds_of(UNDO, before))
            terminal.rest(QUIET_S)
            own.append(terminal.seconds_of(REDO, after))
            terminal.rest(QUIET_S)
    ratio = median(own) / median(least)
    record_property("key to paint over bare grid", round(ratio, 2))
    own_ms, least_ms = median(own) * 1e3, median(least) * 1e3
    print(f"key to all totals over bare grid: {ratio:.2f} ({own_ms:.1f} ms over {least_ms:.1f} ms)")  # noqa: T201
    assert (make, change) != (sample, another_driver) or ratio <= 2
