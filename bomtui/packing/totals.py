"""What a packing costs and comes to, kept while chips are exchanged one by one."""

from bomtui.packing.problem import CHANNELS, Filled, Floor, Packing, Problem, counts_of, level_of


class Totals:
    """Counts, costs and levels of a packing.

    Args:
        problem: The problem.
        packing: A packing of it.
    """

    def __init__(self, problem: Problem, packing: Packing) -> None:
        self._problem = problem
        self._counts = list(counts_of(problem, packing))
        self._bought = [0] * len(problem.costs)
        for own in packing:
            self._bought[problem.chips[own.chip].price] += 1
        self._levels = [level_of(problem, floor, packing) for floor in problem.floors]

    def is_cheaper(self, own: Filled, other: Filled) -> bool:
        """Tell whether another chip in place of one costs less, and everything that is asked stays met."""
        chip = self._problem.chips[other.chip]
        if other.chip != own.chip and self._counts[other.chip] >= chip.most:
            return False
        for floor, level in zip(self._problem.floors, self._levels, strict=True):
            if level + self._more(floor, own, other) < floor.least:
                return False
        return self._dearer(own.chip, other.chip) < 0

    def replace(self, own: Filled, other: Filled) -> None:
        """Take another chip in place of one."""
        for index, floor in enumerate(self._problem.floors):
            self._levels[index] += self._more(floor, own, other)
        for chip, change in ((own.chip, -1), (other.chip, 1)):
            self._counts[chip] += change
            self._bought[self._problem.chips[chip].price] += change

    def _dearer(self, own: int, other: int) -> int:
        """Return what the exchange of a chip for another costs."""
        first, second = self._problem.chips[own].price, self._problem.chips[other].price
        if first == second:
            return 0
        gone, come = self._problem.costs[first], self._problem.costs[second]
        less, more = self._bought[first], self._bought[second]
        if more + 1 >= len(come):
            return 1
        return gone[less - 1] - gone[less] + come[more + 1] - come[more]

    def _more(self, floor: Floor, own: Filled, other: Filled) -> int:
        return self._of(floor, other) - self._of(floor, own)

    def _of(self, floor: Floor, own: Filled) -> int:
        """Return what one chip with its loads adds to a level."""
        level = floor.weights[own.chip]
        if floor.per_channel and self._problem.chips[own.chip].place == floor.place:
            ways = (self._problem.alike[number].ways[way] for number, way in own.loads)
            level -= floor.per_channel * sum(way.takes[CHANNELS] for way in ways)
        return level
