"""The most that one chip can carry of loads that have a price each: exact, in whole numbers.

A bound on the cost of a packing asks this of every chip; a proof asks it again, independently of whoever found the
prices.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property

from bomtui.packing.problem import CHANNELS, Problem

STEPS = 20_000
"""Steps of one search after which an upper bound is returned in place of the exact value (work, not time)."""


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
class _Piece:
    """Loads of one kind served in one way."""

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
                rooms = self._rooms(way.chip)
                fits = [room // take for room, take in zip(rooms, takes, strict=True) if take > 0]
                most = min([len(own.loads), *fits])
                if most > 0:
                    found[way.chip].append((number, index, takes, most))
        return found

    @cached_property
    def _enemies(self) -> list[frozenset[int]]:
        found: list[set[int]] = [set() for _ in self._problem.alike]
        for one, other in self._problem.apart:
            found[one].add(other)
            found[other].add(one)
        return list(map(frozenset, found))

    def _rooms(self, chip: int) -> tuple[int, ...]:
        own = self._problem.chips[chip]
        return own.rooms if self._planned else own.loosest

    def most_valuable(self, chip: int, prices: Sequence[int], steps: int = STEPS) -> Fill:
        """Return the most valuable loads of one chip.

        Args:
            chip: Number of the chip.
            prices: Price of one load of each kind, none below 0.
            steps: Steps after which an upper bound does.
        """
        pieces = [
            _Piece(number, way, takes, prices[number], most)
            for number, way, takes, most in self._ways[chip]
            if prices[number] > 0
        ]
        rooms = self._rooms(chip)
        # Most price per channel first; ties by how little else it takes, then by number, so that runs are alike.
        pieces.sort(key=lambda own: (-own.price / max(own.takes[CHANNELS], 1), own.takes, own.number))
        search = _Search(pieces, rooms, self._enemies, steps)
        return search.best()


class _Search:
    """Depth first over the pieces, bounded by the price that channels that are left can bring at most."""

    def __init__(self, pieces: list[_Piece], rooms: tuple[int, ...], enemies: list[frozenset[int]], steps: int) -> None:
        self.pieces = pieces
        self.rooms = rooms
        self.enemies = enemies
        self.steps = steps
        self.value = 0
        self.found: tuple[tuple[int, int], ...] = ()
        # The scarce resources beside channels: each bounds the rest as a fractional knapsack of its own.
        tight = [
            index
            for index, room in enumerate(rooms)
            if index != CHANNELS and sum(own.takes[index] * own.most for own in pieces) > room
        ]
        self.orders = {
            index: sorted(range(len(pieces)), key=lambda own: -pieces[own].price / max(pieces[own].takes[index], 1))
            for index in tight
        }

    def best(self) -> Fill:
        root = self._bound(0, list(self.rooms), {})
        self._deeper(0, list(self.rooms), 0, [], {})
        if self.steps <= 0:
            return Fill(root, self.found, exact=False)
        return Fill(self.value, self.found, exact=True)

    def _deeper(
        self, start: int, left: list[int], value: int, loads: list[tuple[int, int]], taken: dict[int, int]
    ) -> None:
        if value > self.value:
            self.value, self.found = value, tuple(sorted(loads))
        if self.steps <= 0 or start == len(self.pieces):
            return
        self.steps -= 1
        if value + self._bound(start, left, taken) <= self.value:
            return
        own = self.pieces[start]
        most = min(
            [own.most - taken.get(own.number, 0)]
            + [room // take for room, take in zip(left, own.takes, strict=True) if take > 0]
        )
        if most > 0 and not self.enemies[own.number].isdisjoint(taken):
            most = 0
        for count in range(most, -1, -1):
            if count:
                now = [room - count * take for room, take in zip(left, own.takes, strict=True)]
                with_own = {**taken, own.number: taken.get(own.number, 0) + count}
                added = [*loads, *[(own.number, own.way)] * count]
                self._deeper(start + 1, now, value + count * own.price, added, with_own)
            else:
                self._deeper(start + 1, left, value, loads, taken)

    def _bound(self, start: int, left: list[int], taken: dict[int, int]) -> int:
        """Return what the rest can bring at most, by channels alone or by one scarce resource alone."""
        del taken
        bound = self._fractional(range(start, len(self.pieces)), CHANNELS, left[CHANNELS])
        for index, order in self.orders.items():
            rest = (own for own in order if own >= start)
            bound = min(bound, self._fractional(rest, index, left[index]))
        return bound

    def _fractional(self, order: Iterable[int], index: int, room: int) -> int:
        total = 0
        for number in order:
            own = self.pieces[number]
            take = own.takes[index]
            if take * own.most <= room:
                total += own.price * own.most
                room -= take * own.most
            else:
                # The part of a piece that still goes in, rounded up.
                return total - (-own.price * room // take)
        return total
