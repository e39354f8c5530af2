"""First-fit decreasing: a packing at once, so that there is always an answer; nothing is proved by it."""

from collections.abc import Iterator, Sequence

from bomtui.packing.problem import CHANNELS, Filled, Packing, Problem, ProblemError, Way, checked_cost, level_of
from bomtui.packing.totals import Totals

ORDERS = ("hardest", "channels", "given")
"""Orders in which loads are tried: few ways first, many channels first, as they stand."""

AHEAD = 40
"""How many loads to come are looked at before a chip is opened."""


class Bin:
    """A chip that is being filled.

    Attributes:
        chip: Number of the chip.
        left: Room that is left.
        loads: What it serves.
    """

    def __init__(self, chip: int, rooms: Sequence[int]) -> None:
        self.chip = chip
        self.left = list(rooms)
        self.loads: list[tuple[int, int]] = []

    def takes(self, way: Way) -> bool:
        """Tell whether there is room for one more load."""
        return all(room >= own for room, own in zip(self.left, way.takes, strict=True))

    def add(self, number: int, way_number: int, way: Way) -> None:
        """Serve one more load."""
        self.left = [room - own for room, own in zip(self.left, way.takes, strict=True)]
        self.loads.append((number, way_number))

    def drop(self, way: Way) -> None:
        """Take off the load that was added last."""
        self.left = [room + own for room, own in zip(self.left, way.takes, strict=True)]
        self.loads.pop()


def sure_ways(ways: Sequence[Way]) -> dict[int, list[tuple[int, Way]]]:
    """Return the sure ways of a load by chip, each with its number."""
    found: dict[int, list[tuple[int, Way]]] = {}
    for number, way in enumerate(ways):
        if way.sure:
            found.setdefault(way.chip, []).append((number, way))
    return found


def enemies(problem: Problem) -> list[frozenset[int]]:
    """Return for each kind of load those that must not be on a chip with it."""
    found: list[set[int]] = [set() for _ in problem.alike]
    for one, other in problem.apart:
        found[one].add(other)
        found[other].add(one)
    return list(map(frozenset, found))


def greedy(problem: Problem) -> Packing | None:
    """Return the cheapest packing of several first-fit-decreasing runs; None where none of them serves every load."""
    best: tuple[int, Packing] | None = None
    for order in ORDERS:
        for by_cost in (True, False):
            packing = _lightened(problem, _Run(problem, by_cost=by_cost).packed(_sorted(problem, order)))
            if packing is None:
                continue
            cost = checked_cost(problem, packing)
            if best is None or cost < best[0]:
                best = cost, packing
    return None if best is None else best[1]


def _sorted(problem: Problem, order: str) -> list[int]:
    numbers = list(range(len(problem.alike)))

    def share(number: int) -> float:
        """Largest share of a chip that the load takes on the chip that suits it best."""
        return min(
            (
                max(own / room for own, room in zip(way.takes, problem.chips[way.chip].rooms, strict=True) if room)
                for way in problem.alike[number].ways
            ),
            default=1.0,
        )

    if order == "hardest":
        numbers.sort(key=lambda number: (len({way.chip for way in problem.alike[number].ways}), -share(number)))
    elif order == "channels":
        numbers.sort(key=lambda number: -share(number))
    return [number for number in numbers for _ in problem.alike[number].loads]


class _Run:
    """One run; a load goes to the first open chip that takes it, else to a new one."""

    def __init__(self, problem: Problem, *, by_cost: bool) -> None:
        self.problem = problem
        self.by_cost = by_cost
        self.enemies = enemies(problem)
        self.bins: list[Bin] = []
        self.used = [0] * len(problem.chips)
        self.bought = [0] * len(problem.costs)
        self.ways = [sure_ways(own.ways) for own in problem.alike]
        # Bins before this one do not take a load of the kind at hand: they did not take the one before it.
        self.first = 0
        self.kind = -1

    def packed(self, numbers: Sequence[int]) -> Packing | None:
        for place, number in enumerate(numbers):
            if not (self._placed(number) or self._opened(number, numbers[place:])):
                return None
        self._meet_floors()
        return self._packing()

    def _placed(self, number: int) -> bool:
        if number != self.kind:
            self.kind, self.first = number, 0
        ways, apart = self.ways[number], self.enemies[number]
        for index in range(self.first, len(self.bins)):
            own = self.bins[index]
            if own.chip not in ways or (apart and not apart.isdisjoint(other for other, _ in own.loads)):
                continue
            for way_number, way in ways[own.chip]:
                if own.takes(way):
                    own.add(number, way_number, way)
                    self.first = index
                    return True
        self.first = len(self.bins)
        return False

    def _opened(self, number: int, rest: Sequence[int]) -> bool:
        best: tuple[float, int] | None = None
        for number_of_chip, ways in self.ways[number].items():
            chip = self.problem.chips[number_of_chip]
            own = Bin(number_of_chip, chip.rooms)
            way_number, way = ways[0]
            if self.used[number_of_chip] >= chip.most or not own.takes(way):
                continue
            price = self._price(number_of_chip)
            rank: float = price
            if self.by_cost:
                own.add(number, way_number, way)
                rank = price / (1 + self._more(own, rest[1 : 1 + AHEAD]))
            if best is None or rank < best[0]:
                best = rank, number_of_chip
        if best is None:
            return False
        fresh = Bin(best[1], self.problem.chips[best[1]].rooms)
        fresh.add(number, *self.ways[number][best[1]][0])
        self._open(fresh)
        return True

    def _open(self, fresh: Bin) -> None:
        self.bins.append(fresh)
        self.used[fresh.chip] += 1
        self.bought[self.problem.chips[fresh.chip].price] += 1

    def _more(self, own: Bin, rest: Sequence[int]) -> int:
        """Return how many of the loads to come the chip would take as well."""
        count = 0
        for number in rest:
            if own.left[CHANNELS] <= 0:
                break
            if self.enemies[number] and not self.enemies[number].isdisjoint(other for other, _ in own.loads):
                continue
            for way_number, way in self.ways[number].get(own.chip, ()):
                if own.takes(way):
                    own.add(number, way_number, way)
                    count += 1
                    break
        return count

    def _price(self, chip: int) -> int:
        """Return what one more of a chip costs."""
        number = self.problem.chips[chip].price
        table, used = self.problem.costs[number], self.bought[number]
        return table[used + 1] - table[used] if used + 1 < len(table) else table[-1]

    def _meet_floors(self) -> None:
        for floor in self.problem.floors:
            level = level_of(self.problem, floor, self._packing())
            while level < floor.least:
                able = [
                    chip
                    for chip, weight in enumerate(floor.weights)
                    if weight > 0 and self.used[chip] < self.problem.chips[chip].most
                ]
                if not able:
                    return
                chip = min(able, key=lambda chip: self._price(chip) / floor.weights[chip])
                self._open(Bin(chip, self.problem.chips[chip].rooms))
                level += floor.weights[chip]

    def _packing(self) -> Packing:
        return tuple(Filled(own.chip, tuple(sorted(own.loads))) for own in self.bins)


def _lightened(problem: Problem, packing: Packing | None) -> Packing | None:
    """Put each chip in turn down to the cheapest one that serves the same loads; None where the packing is none."""
    if packing is None:
        return None
    try:
        checked_cost(problem, packing)
    except ProblemError:
        return None
    totals = Totals(problem, packing)
    bins = list(packing)
    # Chips that carry the same become the same, so each such filling is looked up once.
    known: dict[Filled, list[Filled]] = {}
    for index, own in enumerate(packing):
        if own not in known:
            known[own] = list(same_on_other_chips(problem, own))
        for other in known[own]:
            if totals.is_cheaper(bins[index], other):
                totals.replace(bins[index], other)
                bins[index] = other
    return tuple(bins)


def same_on_other_chips(problem: Problem, own: Filled) -> Iterator[Filled]:
    """Yield the loads of a chip on each other chip that takes all of them."""
    if not own.loads:
        return
    for number in range(len(problem.chips)):
        if number == own.chip or problem.chips[number].place != problem.chips[own.chip].place:
            continue
        filled = filled_with(problem, number, [load for load, _ in own.loads])
        if filled is not None:
            yield filled


def filled_with(problem: Problem, chip: int, numbers: Sequence[int]) -> Filled | None:
    """Return a chip with the loads named, each served the first way that fits; None where they do not fit so."""
    own = Bin(chip, problem.chips[chip].rooms)
    for number in numbers:
        for way_number, way in enumerate(problem.alike[number].ways):
            if way.chip == chip and way.sure and own.takes(way):
                own.add(number, way_number, way)
                break
        else:
            return None
    return Filled(chip, tuple(sorted(own.loads)))
