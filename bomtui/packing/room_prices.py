"""Prices of a chip's room: what a channel and a microwatt are worth, so that no filling is worth more than its room.

Any prices that are not below 0 give a valid bound (Lagrange); these are good ones, found resource by resource.
"""

from collections.abc import Sequence

FINE = 1 << 40
"""Parts of a price of a load in which prices of room are given: microwatts are many, and worth little each."""

ROUNDS = 6
"""Rounds over the resources."""


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
    found = [0] * len(rooms)
    scarce = [
        index
        for index, room in enumerate(rooms)
        if sum(own[index] * count for own, count in zip(takes, most, strict=True)) > room
    ]
    for number in range(ROUNDS if len(scarce) > 1 else 1):
        former = list(found)
        for index in scarce:
            # What the other resources leave of each piece's price is shared out over this one, the best first.
            gains = []
            for price, own, count in zip(prices, takes, most, strict=True):
                if own[index]:
                    others = sum(
                        there * take for at, (there, take) in enumerate(zip(found, own, strict=True)) if at != index
                    )
                    gains.append(((price * FINE - others) // own[index], own[index] * count))
            gains.sort(reverse=True)
            room, last = rooms[index], 0
            for gain, needed in gains:
                if gain <= 0:
                    break
                last = gain
                room -= needed
                if room < 0:
                    break
            found[index] = last if room < 0 else 0
        if number and found == former:
            break
    return found
