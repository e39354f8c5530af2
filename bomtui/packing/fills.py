"""The most that one chip can carry of loads that have a price each: exact, in whole numbers.

A bound on the cost of a packing asks this of every chip; a proof asks it again, independently of whoever found the
prices. The search takes the most promising choice first, as a bound by prices of the chip's room says, so that the
first complete choice is the best; cut short, what is left open still says how much there may be at most.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from heapq import heappop, heappush

from bomtui.packing.fill_table import MOST_CHANNELS, FillTable
from bomtui.packing.problem import CHANNELS, Problem
from bomtui.packing.room_prices import FINE, room_prices

STEPS = 8_000
"""Steps of one search after which an upper bound is returned in place of the exact value (work, not time)."""

TABLE_STEPS = 1_000
"""Steps after which a search begins anew with a table, which bounds what is to come more closely."""


@dataclass(frozen=True, slots=True)
class Fill:
    """The most valuable loads of one chip.

    Attributes:
        value: Sum of the prices of what it carries, or an upper bound of it.
        loads: What it carries then, with the number of the way; of what was found where the search was cut short.
        exact: Whether the value is that of these loads.
    """

    value: int
    loads: tuple[tuple[int, int], ...]
    exact: bool


@dataclass(frozen=True, slots=True)
class Piece:
    """Loads of one kind served in one way.

    Attributes:
        number: Number of the kind.
        way: Number of the way.
        takes: What one takes of each resource.
        price: Price of one.
        most: How many of them a chip can carry at most.
    """

    number: int
    way: int
    takes: tuple[int, ...]
    price: int
    most: int


class Filler:
    """Fills chips of one problem.

    Args:
        problem: The problem.
        planned: Count with what a plan takes, in sure ways only, in place of what it takes at least.
    """

    def __init__(self, problem: Problem, *, planned: bool = False) -> None:
        self._problem = problem
        self._planned = planned

    @cached_property
    def _ways(self) -> list[list[tuple[int, int, tuple[int, ...], int]]]:
        """Per chip, the loads that it may serve: number, way, what one takes, how many there are."""
        found: list[list[tuple[int, int, tuple[int, ...], int]]] = [[] for _ in self._problem.chips]
        for number, own in enumerate(self._problem.alike):
            for index, way in enumerate(own.ways):
                if self._planned and not way.sure:
                    continue
                takes = way.takes if self._planned else way.least
                rooms = self.rooms(way.chip)
                fits = [room // take for room, take in zip(rooms, takes, strict=True) if take > 0]
                most = min([len(own.loads), *fits])
                if most > 0:
                    found[way.chip].append((number, index, takes, most))
        return found

    @cached_property
    def enemies(self) -> list[frozenset[int]]:
        """Per kind of load, those that must not be on a chip with it."""
        found: list[set[int]] = [set() for _ in self._problem.alike]
        for one, other in self._problem.apart:
            found[one].add(other)
            found[other].add(one)
        return list(map(frozenset, found))

    def rooms(self, chip: int) -> tuple[int, ...]:
        """Return the room of a chip, as this filler counts with it."""
        own = self._problem.chips[chip]
        return own.rooms if self._planned else own.loosest

    def pieces(self, chip: int, prices: Sequence[int]) -> list[Piece]:
        """Return what a chip may serve and is worth something, without what there is always something better than.

        Args:
            chip: Number of the chip.
            prices: Price of one load of each kind, none below 0.
        """
        found = [
            Piece(number, way, takes, prices[number], most)
            for number, way, takes, most in self._ways[chip]
            if prices[number] > 0
        ]
        found.sort(key=lambda own: (-own.price, own.takes, own.number, own.way))
        least = min((own.takes[CHANNELS] for own in found), default=0)
        return self._undominated(found, self.rooms(chip)[CHANNELS] // least) if least > 0 else found

    def _undominated(self, pieces: Sequence[Piece], at_most: int) -> list[Piece]:
        """Leave out a piece where so many better ones are there that one of them is always free to take its place.

        Better is: worth no less, takes no more of anything, is kept apart from nothing else. Where a chip carries at
        most so many loads, and there are as many better ones, one of these is not on it.

        Args:
            pieces: Pieces, the dearest first.
            at_most: How many loads the chip can carry at most.
        """
        kept: list[Piece] = []
        for own in pieces:
            better: dict[int, int] = {}
            for other in kept:
                if self.enemies[other.number] <= self.enemies[own.number] and all(
                    more <= less for more, less in zip(other.takes, own.takes, strict=True)
                ):
                    if other.number == own.number:
                        better[own.number] = at_most
                        break
                    better[other.number] = max(better.get(other.number, 0), other.most)
            if sum(better.values()) < at_most:
                kept.append(own)
        return kept

    def most_valuable(self, chip: int, prices: Sequence[int], steps: int = STEPS) -> Fill:
        """Return the most valuable loads of one chip.

        Args:
            chip: Number of the chip.
            prices: Price of one load of each kind, none below 0.
            steps: Steps after which an upper bound does.
        """
        search = _Search(self.pieces(chip, prices), self.rooms(chip), self.enemies)
        found = search.best(min(steps, TABLE_STEPS))
        return found if found.exact or steps <= TABLE_STEPS else search.best_by_table(steps, found)


class _Taken:
    """A load that was taken, and those before it."""

    __slots__ = ("before", "piece")

    def __init__(self, piece: Piece, before: "_Taken | None") -> None:
        self.piece = piece
        self.before = before


class _Search:
    """Best first over the pieces: take one more of the piece at hand, or go on to the next."""

    def __init__(self, pieces: Sequence[Piece], rooms: tuple[int, ...], enemies: Sequence[frozenset[int]]) -> None:
        self.table: FillTable | None = None
        self.rooms = rooms
        self.enemies = enemies
        self.per_room = room_prices(
            [own.price for own in pieces], [own.takes for own in pieces], [own.most for own in pieces], rooms
        )
        ranked = sorted((-self._gain(own), own.number, own.way, index) for index, own in enumerate(pieces))
        self.pieces = [pieces[index] for _, _, _, index in ranked]
        # What pieces from here on can gain at most, whatever room there is.
        self.gains = [max(-loss, 0) for loss, _, _, _ in ranked]
        self.after = [0] * (len(self.pieces) + 1)
        for index in range(len(self.pieces) - 1, -1, -1):
            self.after[index] = self.after[index + 1] + self.gains[index] * self.pieces[index].most
        numbers = [own.number for own in self.pieces]
        there = frozenset(numbers)
        # Where a load has one way only and no enemy here, what was taken need not be looked through.
        self.most_of = {own: max(other.most for other in self.pieces if other.number == own) for own in there}
        self.is_plain = len(there) == len(numbers) and all(enemies[number].isdisjoint(there) for number in there)

    def _gain(self, own: Piece) -> int:
        return own.price * FINE - sum(price * take for price, take in zip(self.per_room, own.takes, strict=True))

    def best_by_table(self, steps: int, former: Fill) -> Fill:
        """Search anew with a table; what the former search left open stays an upper bound."""
        if self.rooms[CHANNELS] <= MOST_CHANNELS:
            self.table = FillTable(
                [own.price for own in self.pieces],
                [own.takes for own in self.pieces],
                [own.most for own in self.pieces],
                self.rooms,
                self.per_room,
            )
        found = self.best(steps)
        return found if found.exact else Fill(min(found.value, former.value), found.loads, exact=False)

    def best(self, steps: int) -> Fill:
        """Search until the best is found, or the steps are done."""
        if not self.pieces:
            return Fill(0, (), exact=True)
        value, found = 0, None
        number = 0
        heap: list[tuple[int, int, int, int, int, tuple[int, ...], _Taken | None]] = []
        root = self._bound(0, self.pieces[0].most, 0, self.rooms)
        heappush(heap, (-root, 0, 0, 0, self.pieces[0].most, self.rooms, None))
        for _ in range(steps):
            if not heap or -heap[0][0] <= value:
                return Fill(value, _listed(found), exact=True)
            _, now, _, index, copies, left, taken = heappop(heap)
            now = -now
            own = self.pieces[index]
            rest = self._room_after(own, copies, left, taken)
            if rest:
                more, with_own = now + own.price, _Taken(own, taken)
                if more > value:
                    value, found = more, with_own
                bound = self._bound(index, copies - 1, more, rest)
                if bound > value:
                    number += 1
                    heappush(heap, (-bound, -more, number, index, copies - 1, rest, with_own))
            following = index + 1
            if following < len(self.pieces):
                bound = self._bound(following, self.pieces[following].most, now, left)
                if bound > value:
                    number += 1
                    heappush(heap, (-bound, -now, number, following, self.pieces[following].most, left, taken))
        if not heap or -heap[0][0] <= value:
            return Fill(value, _listed(found), exact=True)
        return Fill(-heap[0][0], _listed(found), exact=False)

    def _bound(self, index: int, copies: int, value: int, left: tuple[int, ...]) -> int:
        """Return what there may be at most, with so many copies of the piece at hand and all later pieces to come."""
        room = sum(price * own for price, own in zip(self.per_room, left, strict=True))
        more = (room + self.after[index + 1] + self.gains[index] * copies) // FINE
        return value + (more if self.table is None else min(more, self.table.at_most(index, left)))

    def _room_after(self, own: Piece, copies: int, left: tuple[int, ...], taken: _Taken | None) -> tuple[int, ...]:
        """Return the room that one more of a piece leaves; nothing where it may not come or does not fit."""
        if not copies or not self._may_come(own, taken):
            return ()
        rest = tuple(room - take for room, take in zip(left, own.takes, strict=True))
        return rest if min(rest) >= 0 else ()

    def _may_come(self, own: Piece, taken: _Taken | None) -> bool:
        """Tell whether one more is there, and nothing that it is kept apart from."""
        if self.is_plain:
            return True
        alike = 0
        while taken is not None:
            if taken.piece.number in self.enemies[own.number]:
                return False
            alike += taken.piece.number == own.number
            taken = taken.before
        return alike < self.most_of[own.number]


def _listed(taken: _Taken | None) -> tuple[tuple[int, int], ...]:
    found = []
    while taken is not None:
        found.append((taken.piece.number, taken.piece.way))
        taken = taken.before
    return tuple(sorted(found))
