"""Prices of a chip's room: what a channel and a microwatt are worth, so that no filling is worth more than its room.

Any prices that are not below 0 give a valid bound (Lagrange multipliers of the room; Fisher, "The Lagrangian relaxation
method for solving integer programming problems", 1981, from memory); these are good ones, found by steps along the
subgradient and then resource by resource.
"""

from collections.abc import Sequence

FINE = 1 << 40
"""Parts of a price of a load in which prices of room are given: microwatts are many, and worth little each."""

ROUNDS = 40
"""Steps along the subgradient."""


def room_prices(
    prices: Sequence[int], takes: Sequence[tuple[int, ...]], most: Sequence[int], rooms: Sequence[int]
) -> list[int]:
    """Return a price of each resource of a chip, in parts of a load's price.

    Args:
        prices: Price of one of each piece.
        takes: What one takes of each resource.
        most: How many there are of each.
        rooms: Room of each resource.
    """
    scarce = [
        index
        for index, room in enumerate(rooms)
        if room and sum(own[index] * count for own, count in zip(takes, most, strict=True)) > room
    ]
    # Shares of the room in place of amounts, so that a step means the same for every resource.
    shares = [[own[index] / rooms[index] for index in scarce] for own in takes]
    worth = _Worth(prices, shares, most)
    best = worth.by_resource([0.0] * len(scarce))
    if len(scarce) > 1:
        best = min((best, worth.by_resource(worth.by_steps(best))), key=worth.of)
    found = [0] * len(rooms)
    for index, price in zip(scarce, best, strict=True):
        found[index] = int(price * FINE) // rooms[index]
    return found


class _Worth:
    """What a chip's room is worth at most at given prices of it: the bound that is to be as low as it can be."""

    def __init__(self, prices: Sequence[int], shares: Sequence[list[float]], most: Sequence[int]) -> None:
        self.pieces = list(zip(prices, shares, most, strict=True))

    def of(self, per_room: Sequence[float]) -> float:
        """Return the worth."""
        return self.with_slope(per_room)[0]

    def with_slope(self, per_room: Sequence[float]) -> tuple[float, list[float]]:
        """Return the worth and what it changes by with each price."""
        total, slope = sum(per_room), [1.0] * len(per_room)
        for price, share, count in self.pieces:
            gain: float = price
            for own, taken in zip(per_room, share, strict=True):
                gain -= own * taken
            if gain > 0:
                total += gain * count
                for index, taken in enumerate(share):
                    slope[index] -= taken * count
        return total, slope

    def by_steps(self, per_room: Sequence[float]) -> list[float]:
        """Return better prices by steps against the slope, which become shorter."""
        now, best = list(per_room), list(per_room)
        least, slope = self.with_slope(now)
        for number in range(ROUNDS):
            length = sum(own * own for own in slope)
            if not length:
                break
            step = 0.3 * least / (number + 3) / length**0.5
            now = [max(0.0, own - step * change) for own, change in zip(now, slope, strict=True)]
            total, slope = self.with_slope(now)
            if total < least:
                least, best = total, now
        return best

    def by_resource(self, per_room: Sequence[float]) -> list[float]:
        """Return the best price of each resource in turn, the others staying.

        What the others leave of each piece's price is shared out over this one, the best first; the last that finds
        room says the price.
        """
        found = list(per_room)
        for index in range(len(found)):
            gains = []
            for price, share, count in self.pieces:
                if share[index]:
                    rest = price - sum(
                        own * taken for at, (own, taken) in enumerate(zip(found, share, strict=True)) if at != index
                    )
                    gains.append((rest / share[index], share[index] * count))
            gains.sort(reverse=True)
            room, found[index] = 1.0, 0.0
            for gain, needed in gains:
                if gain <= 0:
                    break
                room -= needed
                if room < 0:
                    found[index] = gain
                    break
        return found
