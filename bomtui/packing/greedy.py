"""First-fit decreasing: a packing at once, so that there is always an answer; nothing is proved by it."""

from collections.abc import Iterator, Sequence

from bomtui.packing.problem import CHANNELS, Filled, Packing, Problem, ProblemError, Way, checked_cost, level_of

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

    def packed(self, numbers: Sequence[int]) -> Packing | None:
        for place, number in enumerate(numbers):
            if not (self._placed(number) or self._opened(number, numbers[place:])):
                return None
        self._meet_floors()
        return self._packing()

    def _placed(self, number: int) -> bool:
        ways = self.problem.alike[number].ways
        for own in self.bins:
            if not self.enemies[number].isdisjoint(other for other, _ in own.loads):
                continue
            for way_number, way in enumerate(ways):
                if way.chip == own.chip and way.sure and own.takes(way):
                    own.add(number, way_number, way)
                    return True
        return False

    def _opened(self, number: int, rest: Sequence[int]) -> bool:
        best: tuple[float, int, Bin] | None = None
        for way_number, way in enumerate(self.problem.alike[number].ways):
            chip = self.problem.chips[way.chip]
            if not way.sure or self.used[way.chip] >= chip.most or way_number != self._first(number, way.chip):
                continue
            own = Bin(way.chip, chip.rooms)
            if not own.takes(way):
                continue
            own.add(number, way_number, way)
            served = 1 + self._more(own, rest[1 : 1 + AHEAD])
            price = self._price(way.chip)
            rank = price / served if self.by_cost else price
            if best is None or rank < best[0]:
                best = rank, way_number, Bin(way.chip, chip.rooms)
        if best is None:
            return False
        _, way_number, fresh = best
        fresh.add(number, way_number, self.problem.alike[number].ways[way_number])
        self.bins.append(fresh)
        self.used[fresh.chip] += 1
        return True

    def _first(self, number: int, chip: int) -> int:
        return next(index for index, way in enumerate(self.problem.alike[number].ways) if way.chip == chip and way.sure)

    def _more(self, own: Bin, rest: Sequence[int]) -> int:
        """Return how many of the loads to come the chip would take as well."""
        count = 0
        for number in rest:
            if own.left[CHANNELS] <= 0:
                break
            if not self.enemies[number].isdisjoint(other for other, _ in own.loads):
                continue
            for way_number, way in enumerate(self.problem.alike[number].ways):
                if way.chip == own.chip and way.sure and own.takes(way):
                    own.add(number, way_number, way)
                    count += 1
                    break
        return count

    def _price(self, chip: int) -> int:
        """Return what one more of a chip costs."""
        table = self.problem.costs[self.problem.chips[chip].price]
        used = sum(
            count
            for own, count in zip(self.problem.chips, self.used, strict=True)
            if own.price == self.problem.chips[chip].price
        )
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
                self.bins.append(Bin(chip, self.problem.chips[chip].rooms))
                self.used[chip] += 1
                level += floor.weights[chip]

    def _packing(self) -> Packing:
        return tuple(Filled(own.chip, tuple(sorted(own.loads))) for own in self.bins)


def _lightened(problem: Problem, packing: Packing | None) -> Packing | None:
    """Put each chip in turn down to the cheapest one that serves the same loads; None where the packing is none."""
    if packing is None:
        return None
    try:
        cost = checked_cost(problem, packing)
    except ProblemError:
        return None
    bins = list(packing)
    for index, own in enumerate(bins):
        for other in same_on_other_chips(problem, own):
            bins[index], former = other, bins[index]
            try:
                lower = checked_cost(problem, tuple(bins))
            except ProblemError:
                lower = cost
            if lower < cost:
                cost = lower
            else:
                bins[index] = former
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
