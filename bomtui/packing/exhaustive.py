"""Whether given chips can carry all loads of a place: every way is tried, or it is said that this was too much work."""

from collections.abc import Iterator

from bomtui.packing.counting import TooMuchWorkError
from bomtui.packing.greedy import enemies
from bomtui.packing.problem import CHANNELS, Counts, Filled, Problem

STEPS = 300_000
"""Steps of one search (work, not time)."""


def packed_exactly(
    problem: Problem, place: int, counts: Counts, *, planned: bool, steps: int = STEPS
) -> tuple[Filled, ...] | None:
    """Pack the loads of a place on given chips; None where that is impossible, every way having been tried.

    Args:
        problem: The problem.
        place: Number of the place.
        counts: Counts of all chips; those of other places are left aside.
        planned: Count with what a plan takes, in sure ways only, in place of what loads take at least.
        steps: Steps after which the search gives up.

    Raises:
        TooMuchWorkError: It was not finished within its steps.
    """
    return _Search(problem, place, counts, steps, planned=planned).found()


class _Search:
    """Depth first, load by load; chips that are alike and hold the same are tried once."""

    def __init__(self, problem: Problem, place: int, counts: Counts, steps: int, *, planned: bool) -> None:
        self.problem = problem
        self.steps = steps
        self.planned = planned
        self.enemies = enemies(problem)
        chips = [
            number for number, chip in enumerate(problem.chips) if chip.place == place for _ in range(counts[number])
        ]
        self.chips = chips
        self.left = [
            list(problem.chips[number].rooms if planned else problem.chips[number].loosest) for number in chips
        ]
        self.loads: list[list[tuple[int, int]]] = [[] for _ in chips]
        own = [number for number, kind in enumerate(problem.alike) if kind.place == place]
        there = set(chips)
        # Loads that few of the chips may serve come first, then those that take most.
        own.sort(key=lambda number: (self._able(number, there), -self._largest(number), number))
        self.queue = [number for number in own for _ in problem.alike[number].loads]
        # How many loads of the same kind are still to come, to stop as soon as no room for the rest is left.
        self.channels_after = self._suffix([self._fewest(number, there) for number in self.queue])

    def _able(self, number: int, there: set[int]) -> int:
        able = {way.chip for way in self.problem.alike[number].ways} & there
        return sum(chip in able for chip in self.chips)

    def _largest(self, number: int) -> float:
        return max(
            (
                own / room
                for way in self.problem.alike[number].ways
                for own, room in zip(way.takes, self.problem.chips[way.chip].rooms, strict=True)
                if room
            ),
            default=0.0,
        )

    def _fewest(self, number: int, there: set[int]) -> int:
        ways = [way for way in self.problem.alike[number].ways if way.chip in there]
        return min(((way.takes if self.planned else way.least)[CHANNELS] for way in ways), default=0)

    @staticmethod
    def _suffix(numbers: list[int]) -> list[int]:
        found = [0]
        for number in reversed(numbers):
            found.append(found[-1] + number)
        return found[::-1]

    def found(self) -> tuple[Filled, ...] | None:
        if not self._deeper(0, 0):
            return None
        return tuple(Filled(chip, tuple(sorted(loads))) for chip, loads in zip(self.chips, self.loads, strict=True))

    def _deeper(self, index: int, former: int) -> bool:
        if index == len(self.queue):
            return True
        if sum(left[0] for left in self.left) < self.channels_after[index]:
            return False
        # A step looks at every chip.
        self.steps -= 1 + len(self.chips) // 16
        if self.steps < 0:
            raise TooMuchWorkError
        number = self.queue[index]
        # Of loads that are alike the later one goes to no earlier chip.
        first = former if index > 0 and self.queue[index - 1] == number else 0
        return any(self._served(index, number, place) for place in self._places(number, first))

    def _places(self, number: int, first: int) -> Iterator[int]:
        """Yield the chips to try for a load; of chips that are alike and hold the same only the first."""
        tried: set[tuple[int, tuple[int, ...], tuple[int, ...]]] = set()
        for place in range(first, len(self.chips)):
            own = self.loads[place]
            if not self.enemies[number].isdisjoint(other for other, _ in own):
                continue
            hostile = tuple(sorted({other for other, _ in own if self.enemies[other]}))
            state = (self.chips[place], tuple(self.left[place]), hostile)
            if state not in tried:
                tried.add(state)
                yield place

    def _served(self, index: int, number: int, place: int) -> bool:
        """Serve a load by a chip in each way that fits, and all later loads behind it; tell whether that works."""
        for way_number, way in enumerate(self.problem.alike[number].ways):
            if way.chip != self.chips[place] or (self.planned and not way.sure):
                continue
            takes = way.takes if self.planned else way.least
            if any(room < take for room, take in zip(self.left[place], takes, strict=True)):
                continue
            self.left[place] = [room - take for room, take in zip(self.left[place], takes, strict=True)]
            self.loads[place].append((number, way_number))
            if self._deeper(index + 1, place):
                return True
            self.loads[place].pop()
            self.left[place] = [room + take for room, take in zip(self.left[place], takes, strict=True)]
        return False
