"""Ctrl-C while a search runs: the first ends the search and keeps its best, the second ends the command."""

import signal
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from types import FrameType


@contextmanager
def ended_by_interrupt() -> Iterator[Callable[[], bool]]:
    """Yield a question whether to go on, which the first interrupt answers with no."""
    asked = [True]
    former = signal.getsignal(signal.SIGINT)

    def end(_signal: int, _frame: FrameType | None) -> None:
        asked[0] = False
        signal.signal(signal.SIGINT, signal.default_int_handler)

    signal.signal(signal.SIGINT, end)
    try:
        yield lambda: asked[0]
    finally:
        signal.signal(signal.SIGINT, former)
