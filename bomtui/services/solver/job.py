"""A search by the solver's process, as the program sees it: news, then an answer or a reason why there is none.

Whatever becomes of the process, killed, hung or talking nonsense, the caller gets an answer and goes on.
"""

import os
import queue
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Literal

import msgspec

from bomtui.packing.problem import Packing, Problem
from bomtui.packing.proof import Certificate
from bomtui.services.solver.messages import Effort, Failed, Found, Message, News, Question

Stop = Literal["matched", "work", "stuck", "time", "cancelled", "failed"]
"""Why a search ended: bound and packing met, its work was done, neither would move, the time was up, somebody wanted no
more of it, or its process broke off."""

COMMAND = (sys.executable, "-m", "bomtui.services.solver.child")
LOOK_S = 0.05
"""How often it is looked whether the search is still wanted."""

_ROOT = Path(__file__).resolve().parents[3]
_STOPS: dict[str, Stop] = {"matched": "matched", "work": "work", "stuck": "stuck"}


@dataclass(frozen=True, slots=True)
class Solved:
    """What came of a search.

    Attributes:
        packing: Best packing, not checked; None where it found none.
        certificate: What its bound rests on, not checked.
        bound: Its own bound; 0 where it gave none.
        stopped_by: Why it ended.
        reason: What broke it, in words; empty where nothing did.
    """

    packing: Packing | None
    certificate: Certificate
    bound: int
    stopped_by: Stop
    reason: str = ""


def solve(
    problem: Problem,
    start: Packing | None,
    effort: Effort,
    report: Callable[[News], None] = lambda _: None,
    is_wanted: Callable[[], bool] = lambda: True,
    seconds: float | None = None,
    command: Sequence[str] = COMMAND,
) -> Solved:
    """Search in a process of its own until it answers, nobody wants it any more, or the time is up.

    Args:
        problem: The problem.
        start: A packing to begin with.
        effort: How far to go; work, so that equal input gives equal output.
        report: Gets news.
        is_wanted: Asked now and then whether to go on.
        seconds: Longest time; a search that it ends is not reproducible. None for as long as it takes.
        command: Command line of the process.
    """
    question = msgspec.json.encode(Question(problem=problem, start=start, effort=effort)) + b"\n"
    paths = os.pathsep.join((str(_ROOT), *filter(None, [os.environ.get("PYTHONPATH")])))
    try:
        process = subprocess.Popen(  # noqa: S603 - our own program
            list(command),
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            env={**os.environ, "PYTHONPATH": paths},
            start_new_session=True,
        )
    except OSError as error:
        return Solved(None, Certificate(), 0, "failed", f"the solver's process does not start: {error}")
    try:
        return _Listening(process, report).answer(question, is_wanted, seconds)
    finally:
        _end(process)


class _Listening:
    def __init__(self, process: subprocess.Popen[bytes], report: Callable[[News], None]) -> None:
        self._process = process
        self._report = report
        self._lines: queue.SimpleQueue[bytes | None] = queue.SimpleQueue()
        self._bound = 0
        self._packing: Packing | None = None
        self._certificate = Certificate()

    def answer(self, question: bytes, is_wanted: Callable[[], bool], seconds: float | None) -> Solved:
        threading.Thread(target=_write, args=(self._process.stdin, question), daemon=True).start()
        threading.Thread(target=self._read, daemon=True).start()
        end = None if seconds is None else time.monotonic() + seconds
        while True:
            if not is_wanted():
                return self._without("cancelled")
            if end is not None and time.monotonic() >= end:
                return self._without("time")
            try:
                line = self._lines.get(timeout=LOOK_S)
            except queue.Empty:
                continue
            if line is None:
                return self._without("failed", "the solver's process ended without an answer")
            message = _understood(line)
            if isinstance(message, News):
                self._bound = max(self._bound, message.bound)
                self._packing = message.packing or self._packing
                self._certificate = message.certificate or self._certificate
                self._report(message)
            elif isinstance(message, Failed):
                return self._without("failed", message.reason)
            elif isinstance(message, Found):
                stopped_by = _STOPS.get(message.stopped_by, "work")
                return Solved(message.packing, message.certificate, message.bound, stopped_by)

    def _without(self, stop: Stop, reason: str = "") -> Solved:
        """Return what was told before the search was ended, not checked."""
        return Solved(self._packing, self._certificate, self._bound, stop, reason)

    def _read(self) -> None:
        with suppress(OSError, ValueError):
            for line in self._process.stdout or ():
                self._lines.put(line)
        self._lines.put(None)


def _understood(line: bytes) -> Message | None:
    """Return a message; None for anything else that the process may print."""
    try:
        message: Message = msgspec.json.decode(line, type=Message)
    except (msgspec.DecodeError, UnicodeDecodeError):
        return None
    return message


def _write(stdin: IO[bytes] | None, question: bytes) -> None:
    """Write the question; stdin stays open, because the process lives as long as it does."""
    with suppress(OSError, ValueError):
        if stdin is not None:
            stdin.write(question)
            stdin.flush()


def _end(process: subprocess.Popen[bytes]) -> None:
    """End the process, whatever state it is in, and wait for it, so that nothing is left of it."""
    process.kill()
    process.wait()
    for stream in (process.stdin, process.stdout):
        with suppress(OSError, ValueError):
            if stream is not None:
                stream.close()
