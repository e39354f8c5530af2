"""Which counts of chips are possible at all, by what prices of loads say, and what the cheapest of them cost.

Prices u of loads say of every packing: what all loads are worth together is at most what its chips can carry,
`sum n_i u_i <= sum V_k x_k`, with V_k the most that one chip k can carry of that worth. A few such cuts leave few
counts to be looked at; the search here is a plain branch and bound in whole numbers.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from msgspec import structs

from bomtui.packing.fills import Filler
from bomtui.packing.problem import Counts, Problem, cost_of, least_of

STEPS = 60_000
"""Steps of one search (work, not time)."""

SCALE = 1_000_000
"""Parts into which one step of cost is divided where a cost per chip is no whole number; always rounded down."""


@dataclass(frozen=True, slots=True)
class Cut:
    """What prices of loads say of the counts of chips.

    Attributes:
        values: The most that one of each chip can carry.
        worth: What all loads are worth.
    """

    values: tuple[int, ...]
    worth: int


class TooMuchWorkError(Exception):
    """A search that was not finished within its steps."""


def cut_of(problem: Problem, prices: Sequence[int], filler: Filler) -> Cut:
    """Return what prices say; each value is exact or an upper bound, so that the cut holds in any case.

    Args:
        problem: The problem.
        prices: Price of one load of each kind, none below 0.
        filler: Fills chips as a bound does.
    """
    worth = sum(price * len(own.loads) for price, own in zip(prices, problem.alike, strict=True))
    values = tuple(filler.most_valuable(chip, prices).value for chip in range(len(problem.chips)))
    return Cut(values, worth)


def channel_cuts(problem: Problem) -> list[tuple[int, ...]]:
    """Return plain prices: every load of a place is worth its fewest channels, or one.

    They say what people say first: so many channels take so many chips.
    """
    prices = []
    for place in range(len(problem.places)):
        own = [kind.place == place for kind in problem.alike]
        prices.append(
            tuple(
                min((way.least[0] for way in kind.ways), default=0) if is_own else 0
                for kind, is_own in zip(problem.alike, own, strict=True)
            )
        )
        prices.append(tuple(int(is_own) for is_own in own))
    return prices


@dataclass(frozen=True, slots=True)
class Cheapest:
    """The least that counts cost which no cut forbids.

    Attributes:
        bound: No allowed counts cost less.
        counts: Counts that cost that; None where none are allowed below the ceiling.
    """

    bound: int
    counts: Counts | None


def cheapest(
    problem: Problem,
    cuts: Sequence[Cut],
    ceiling: int,
    is_refused: Callable[[Counts], bool] = lambda _: False,
    steps: int = STEPS,
) -> Cheapest:
    """Return the cheapest counts below a ceiling that no cut, no floor and no refusal forbids.

    Args:
        problem: The problem.
        cuts: What is known of the counts.
        ceiling: Counts that cost this or more are of no interest.
        is_refused: Tells of complete counts that they are known to be impossible.
        steps: Steps after which the search gives up.

    Raises:
        TooMuchWorkError: It was not finished within its steps.
    """
    floors = [Cut(own.weights, least_of(problem, own)) for own in problem.floors]
    return _Search(problem, [*cuts, *floors], ceiling, is_refused, steps).found()


class _Search:
    """Depth first over the counts, chip by chip; costs are scaled so that the floor under a table is a whole number."""

    def __init__(
        self,
        problem: Problem,
        cuts: Sequence[Cut],
        ceiling: int,
        is_refused: Callable[[Counts], bool],
        steps: int,
    ) -> None:
        self.problem = problem
        self.cuts = [cut for cut in cuts if cut.worth > 0 or min(cut.values, default=0) < 0]
        self.ceiling = ceiling
        self.is_refused = is_refused
        self.steps = steps
        self.best: Counts | None = None
        self.slopes = slopes_of(problem)
        # Chips of one table stand together, so that its cost is known as soon as the last of them is chosen.
        self.order = sorted(range(len(problem.chips)), key=lambda own: (problem.chips[own].price, own))
        tables = [problem.chips[number].price for number in self.order]
        self.lasts = [own != following for own, following in zip(tables, [*tables[1:], None], strict=True)]
        self.ratios = [self._ratios(cut) for cut in self.cuts]
        self.reach = [self._reach(cut) for cut in self.cuts]

    def _ratios(self, cut: Cut) -> list[tuple[int, int] | None]:
        """Return, from each chip of the order on, the least cost per worth as numerator and denominator."""
        found: list[tuple[int, int] | None] = [None] * (len(self.order) + 1)
        least: tuple[int, int] | None = None
        for index in range(len(self.order) - 1, -1, -1):
            chip = self.order[index]
            slope, value = self.slopes[self.problem.chips[chip].price], cut.values[chip]
            if value > 0 and (least is None or slope * least[1] < least[0] * value):
                least = slope, value
            found[index] = least
        return found

    def _reach(self, cut: Cut) -> list[int]:
        """Return, from each chip of the order on, the most worth that the chips to come can carry."""
        found = [0] * (len(self.order) + 1)
        for index in range(len(self.order) - 1, -1, -1):
            chip = self.order[index]
            found[index] = found[index + 1] + max(cut.values[chip], 0) * self.problem.chips[chip].most
        return found

    def found(self) -> Cheapest:
        worths = [cut.worth for cut in self.cuts]
        if self._is_open(0, 0, worths):
            self._deeper(0, [0] * len(self.problem.chips), 0, 0, worths)
        return Cheapest(self.ceiling, self.best)

    def _deeper(self, index: int, counts: list[int], done: int, group: int, left: list[int]) -> None:
        """Choose the count of one more chip.

        `done` is the cost of finished tables and the floor of the one at hand, `group` the chips of that one so far.
        """
        if index == len(self.order):
            found = tuple(counts)
            if not self.is_refused(found):
                self.ceiling, self.best = cost_of(self.problem, found), found
            return
        self.steps -= 1
        if self.steps < 0:
            raise TooMuchWorkError
        chip = self.order[index]
        number = self.problem.chips[chip].price
        table, slope = self.problem.costs[number], self.slopes[number]
        for count in range(min(self.problem.chips[chip].most, len(table) - 1 - group) + 1):
            low, total = done + slope * count, group + count
            if low >= self.ceiling * SCALE:
                break
            now = low - slope * total + table[total] * SCALE if self.lasts[index] else low
            rest = [need - cut.values[chip] * count for need, cut in zip(left, self.cuts, strict=True)]
            if now < self.ceiling * SCALE and self._is_open(index + 1, now, rest):
                counts[chip] = count
                self._deeper(index + 1, counts, now, 0 if self.lasts[index] else total, rest)
                counts[chip] = 0

    def _is_open(self, index: int, done: int, rest: list[int]) -> bool:
        """Tell whether the chips to come may still carry what is left, below the ceiling."""
        spare = (self.ceiling - 1) * SCALE - done
        for need, ratios, reach in zip(rest, self.ratios, self.reach, strict=True):
            if need <= 0:
                continue
            ratio = ratios[index]
            if ratio is None or reach[index] < need or ratio[0] * need > spare * ratio[1]:
                return False
        return True


def slopes_of(problem: Problem) -> list[int]:
    """Return a floor under each cost table: the least that a chip of it costs, whatever their number, times `SCALE`."""
    return [
        min((cost * SCALE // count for count, cost in enumerate(table) if count), default=0) for table in problem.costs
    ]


def tightened(problem: Problem, cuts: Sequence[Cut], ceiling: int) -> Problem:
    """Return the problem without counts of a part that no packing below a ceiling can have.

    So many of a part cost what they cost, and what they cannot carry costs at least what the others take for it.

    Args:
        problem: The problem.
        cuts: What is known of the counts.
        ceiling: Packings that cost this or more are of no interest.
    """
    while True:
        slopes = slopes_of(problem)
        lasts = [_last_of(problem, cuts, ceiling, number, slopes) for number in range(len(problem.costs))]
        if lasts == [len(table) - 1 for table in problem.costs]:
            return problem
        problem = structs.replace(
            problem,
            chips=tuple(structs.replace(chip, most=min(chip.most, lasts[chip.price])) for chip in problem.chips),
            costs=tuple(table[: last + 1] for table, last in zip(problem.costs, lasts, strict=True)),
        )


def _last_of(problem: Problem, cuts: Sequence[Cut], ceiling: int, number: int, slopes: Sequence[int]) -> int:
    """Return the most chips of a cost table that a packing below a ceiling can have."""
    table = problem.costs[number]
    beside = []
    for cut in cuts:
        own = max(
            (value for chip, value in zip(problem.chips, cut.values, strict=True) if chip.price == number), default=0
        )
        rest = [
            Fraction(slopes[chip.price], value)
            for chip, value in zip(problem.chips, cut.values, strict=True)
            if chip.price != number and value > 0 and chip.most
        ]
        beside.append((cut.worth, own, min(rest, default=None)))
    for count in range(len(table) - 1, 0, -1):
        spare = ceiling * SCALE - table[count] * SCALE
        needs = [(worth - own * count, ratio) for worth, own, ratio in beside]
        if spare > 0 and all(left <= 0 or (ratio is not None and left * ratio < spare) for left, ratio in needs):
            return count
    return 0


def cut_bound(problem: Problem, cut: Cut) -> int:
    """Return what all loads cost at least by one cut: worth by worth, carried by the chip that carries it cheapest."""
    slopes = slopes_of(problem)
    ratios = [
        Fraction(slopes[chip.price], value * SCALE)
        for chip, value in zip(problem.chips, cut.values, strict=True)
        if value > 0
    ]
    return -(-cut.worth * min(ratios) // 1) if ratios and cut.worth > 0 else 0


def dominated(counts: Counts, impossible: Iterable[tuple[int, Counts]], problem: Problem) -> bool:
    """Tell whether counts are, in some place, no more than counts that are known to be impossible there.

    Args:
        counts: Counts of all chips.
        impossible: Place and counts of it, of which no more of anything is there.
        problem: The problem.
    """
    for place, known in impossible:
        chips = [number for number, chip in enumerate(problem.chips) if chip.place == place]
        if all(counts[number] <= known[number] for number in chips):
            return True
    return False
