"""A program that keeps a catalog step by step and is killed at its n-th moment: `PLACE N`.

A moment is just before a statement, just after one, or just before a transaction is kept. It says the number of each
step that it has come back from. With 0 it comes to its end.
"""

import os
import signal
import sys
from collections.abc import Callable

from sqlalchemy import Engine, event

from bomtui.services.catalog_upkeep import add_part, edit_parts, retire_parts, take_out, undo

KEYS = (
    "can-1", "can-2", "fet40-1", "fet60-2", "hs24-1x4", "hs24-2x10", "hs24-4x50", "ls-2x40", "mcu-24", "mcu-48",
    "mcu-100", "mcu-144",
)  # fmt: skip

STEPS: tuple[Callable[[str], object], ...] = (
    lambda place: edit_parts(KEYS, {"lead_weeks": "30", "note": "asked again"}, place),
    lambda place: add_part("own-1", "fet", {"mpn": "OWN 1", "breaks": "1: 0.5; 100: 0.4"}, place),
    lambda place: retire_parts(KEYS[:6], place),
    lambda place: take_out(("own-1",), place),
    undo,
    lambda place: edit_parts((*KEYS, "own-1"), {"breaks": "1: 2.5; 1000: 2.25"}, place),
)


def main(place: str, last: int) -> None:
    """Take the steps, as far as they come."""
    moments = 0

    def count(*_: object) -> None:
        nonlocal moments
        moments += 1
        if moments == last:
            os.kill(os.getpid(), signal.SIGKILL)

    for name in ("before_cursor_execute", "after_cursor_execute", "commit"):
        event.listen(Engine, name, count)
    for number, step in enumerate(STEPS, start=1):
        step(place)
        print(number, flush=True)  # noqa: T201 - what the test reads
    print(moments, file=sys.stderr, flush=True)  # noqa: T201 - how many there are


if __name__ == "__main__":
    main(sys.argv[1], int(sys.argv[2]))
