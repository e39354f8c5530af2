"""The most that one chip can carry at most, by a table over channels and coarse cells of everything else.

Where a search for the exact value takes too long this still comes close: what a load takes beside channels is added up
by the prices of room and rounded down to cells, so that nothing that fits is missed.
"""

from collections.abc import Sequence

from bomtui.packing.problem import CHANNELS

CELLS = 400
"""Cells into which the room beside channels is divided."""

MOST_CHANNELS = 64
"""Channels up to which there is a table."""


class FillTable:
    """What a chip can carry at most of the pieces from each one on, by channels and cells that are left.

    Args:
        prices: Price of one of each piece.
        takes: What one takes of each resource.
        most: How many there are of each.
        rooms: Room of each resource; at most `MOST_CHANNELS` channels.
        per_room: Price of each resource; any that are not below 0 will do.
    """

    def __init__(
        self,
        prices: Sequence[int],
        takes: Sequence[tuple[int, ...]],
        most: Sequence[int],
        rooms: Sequence[int],
        per_room: Sequence[int],
    ) -> None:
        self._per_room = [0 if index == CHANNELS else price for index, price in enumerate(per_room)]
        self._room = self._size(rooms)
        channels, width = rooms[CHANNELS], CELLS + 1 if self._room else 1
        rows = [[0] * width for _ in range(channels + 1)]
        self._from = [rows] * (len(prices) + 1)
        for index in range(len(prices) - 1, -1, -1):
            price, needed, size = prices[index], takes[index][CHANNELS], self._cells(takes[index])
            rows = list(rows)
            for _ in range(most[index]):
                # From the most channels down, so that each copy is taken once.
                for row in range(channels, needed - 1, -1):
                    before, own = rows[row - needed], rows[row]
                    with_own = [value + price for value in (before[: width - size] if size else before)]
                    rows[row] = [*own[:size], *map(max, own[size:], with_own)]
            self._from[index] = rows

    def _size(self, amounts: Sequence[int]) -> int:
        return sum(price * own for price, own in zip(self._per_room, amounts, strict=True))

    def _cells(self, amounts: Sequence[int]) -> int:
        return self._size(amounts) * CELLS // self._room if self._room else 0

    def at_most(self, index: int, left: Sequence[int]) -> int:
        """Return what the pieces from one on can bring at most in the room that is left."""
        return self._from[index][left[CHANNELS]][self._cells(left)]
