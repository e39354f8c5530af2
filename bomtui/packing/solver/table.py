"""Good fillings of a chip by a table in numpy: channels by cells of everything else, with what was chosen on the way.

Quick where a search from best to worst is slow: many loads, each a little different, on a chip that its heat fills.
What it finds fits; it need not be the best by less than its cells.
"""

from collections.abc import Sequence

import numpy as np

from bomtui.packing.fill_table import MOST_CHANNELS
from bomtui.packing.fills import Piece
from bomtui.packing.problem import CHANNELS

CELLS = 1_000
"""Cells into which the room beside channels is divided."""


def good_filling(pieces: Sequence[Piece], rooms: Sequence[int]) -> tuple[tuple[int, int], ...]:
    """Return loads that one chip can carry and that are worth much; nothing where it has too many channels.

    Args:
        pieces: What it may serve.
        rooms: Its room.
    """
    channels = rooms[CHANNELS]
    if channels > MOST_CHANNELS:
        return ()
    width = CELLS + 1
    table = np.zeros((channels + 1, width), dtype=np.int64)
    taken: list[tuple[Piece, int, np.ndarray]] = []
    for own in pieces:
        needed = own.takes[CHANNELS]
        # Its largest share of any room, rounded up: what is found fits.
        cells = max((_share(own, index, room) for index, room in enumerate(rooms) if index != CHANNELS), default=0)
        for _ in range(own.most):
            before = table
            table = before.copy()
            with_own = before[: channels + 1 - needed, : width - cells] + own.price
            target = table[needed:, cells:]
            better = np.zeros(table.shape, dtype=bool)
            better[needed:, cells:] = with_own > target
            if not better.any():
                break
            np.maximum(target, with_own, out=target)
            taken.append((own, cells, better))
    row, column = channels, CELLS
    chosen: list[tuple[int, int]] = []
    for own, cells, better in reversed(taken):
        if better[row, column]:
            chosen.append((own.number, own.way))
            row -= own.takes[CHANNELS]
            column -= cells
    return tuple(sorted(chosen))


def _share(own: Piece, index: int, room: int) -> int:
    """Return the cells of a room that one load takes; it fits by itself."""
    return -(-own.takes[index] * CELLS // room) if own.takes[index] else 0
