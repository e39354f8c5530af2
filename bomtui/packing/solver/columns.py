"""Prices of loads by column generation: fillings of chips are found as they are worth finding, never all of them."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from bomtui.packing.counting import SCALE, slopes_of
from bomtui.packing.fills import STEPS, Filler
from bomtui.packing.problem import Counts, Problem, least_of
from bomtui.packing.solver.highs import INFINITE, Model
from bomtui.packing.solver.table import good_filling

PRICE_SCALE = 1_000_000
"""Steps into which the largest price of a load is divided."""

QUICK_STEPS = 600
"""Steps of a first search for a filling."""

CLOSE = 1e-6
"""Difference below which two prices count as equal (relative to the largest)."""

Filling = tuple[int, tuple[tuple[int, int], ...]]
"""A chip and the loads that it carries, each with its way."""


@dataclass(frozen=True, slots=True)
class Priced:
    """What a linear program over fillings says.

    Attributes:
        prices: Price of one load of each kind, in whole steps.
        cost: Its value.
        finished: Whether no filling is left that would lower it.
        shares: Fillings that it uses, each with how often.
    """

    prices: tuple[int, ...]
    cost: float
    finished: bool
    shares: tuple[tuple[Filling, float], ...]


class Columns:
    """Fillings found so far, and linear programs over them.

    Args:
        problem: The problem.
        filler: Fills chips as a bound does.
    """

    def __init__(self, problem: Problem, filler: Filler) -> None:
        self._problem = problem
        self._filler = filler
        self.fillings: dict[Filling, None] = {}
        self._has_enemies = bool(problem.apart)
        self._slopes = [slope / SCALE for slope in slopes_of(problem)]

    def priced(self, rounds: int) -> Priced:
        """Return prices that all chips together, at their lowest cost each, justify.

        Args:
            rounds: Rounds of column generation at most.
        """
        problem = self._problem
        costs = [self._slopes[chip.price] for chip in problem.chips]
        # Dearer than any chip that serves one load alone, and no dearer than that: the solver's tolerance is relative.
        dear = 10 * max(costs, default=0.0) + 1.0
        return self._run(costs, None, dear, rounds)

    def lacking(self, counts: Counts, rounds: int) -> Priced:
        """Return prices by which given counts of chips cannot carry all loads; cost 0 where they could in parts.

        Args:
            counts: How many of each chip.
            rounds: Rounds of column generation at most.
        """
        return self._run([0.0] * len(self._problem.chips), counts, 1.0, rounds)

    def _run(self, costs: Sequence[float], counts: Counts | None, dear: float, rounds: int) -> Priced:
        problem = self._problem
        model = Model()
        covers = [model.row(float(len(kind.loads)), INFINITE, {}) for kind in problem.alike]
        uses = [model.row(0.0, INFINITE, {}) for _ in problem.chips]
        floors = (
            [model.row(float(least_of(problem, own)), INFINITE, {}) for own in problem.floors] if counts is None else []
        )
        for row in covers:
            model.column(dear, 0.0, INFINITE, {row: 1.0})
        for number, chip in enumerate(problem.chips):
            entries = {uses[number]: 1.0}
            for row, floor in zip(floors, problem.floors if counts is None else (), strict=True):
                if floor.weights[number]:
                    entries[row] = float(floor.weights[number])
            low, high = (0.0, float(chip.most)) if counts is None else (float(counts[number]),) * 2
            model.column(costs[number], low, high, entries)
        for filling in self.fillings:
            self._add(model, filling, covers, uses)
        for _ in range(rounds):
            model.solve()
            duals = model.prices()
            own = [max(duals[row], 0.0) for row in covers]
            prices = _whole(own)
            used = [duals[row] for row in uses]
            # A good filling found quickly does; only where none is left the search is a thorough one.
            if not any(
                self._improved(model, prices, own, used, covers, uses, is_thorough=is_thorough)
                for is_thorough in (False, True)
            ):
                return Priced(prices, model.cost, finished=True, shares=self._shares(model))
        model.solve()
        duals = model.prices()
        return Priced(
            _whole([max(duals[row], 0.0) for row in covers]), model.cost, finished=False, shares=self._shares(model)
        )

    def _improved(
        self,
        model: Model,
        prices: tuple[int, ...],
        own: Sequence[float],
        used: Sequence[float],
        covers: Sequence[int],
        uses: Sequence[int],
        *,
        is_thorough: bool,
    ) -> bool:
        largest = max(own, default=0.0)
        added = False
        for chip in range(len(self._problem.chips)):
            for loads in self._fillings(chip, prices, is_thorough=is_thorough):
                value = sum(own[number] for number, _ in loads)
                filling = (chip, loads)
                if loads and value > used[chip] + CLOSE * max(largest, 1e-9) and filling not in self.fillings:
                    self.fillings[filling] = None
                    self._add(model, filling, covers, uses)
                    added = True
        return added

    def _fillings(
        self, chip: int, prices: tuple[int, ...], *, is_thorough: bool
    ) -> Iterator[tuple[tuple[int, int], ...]]:
        """Yield fillings of a chip that are worth much."""
        fill = self._filler.most_valuable(chip, prices, STEPS if is_thorough else QUICK_STEPS)
        yield fill.loads
        if not fill.exact and not is_thorough and not self._has_enemies:
            yield good_filling(self._filler.pieces(chip, prices), self._filler.rooms(chip))

    def _shares(self, model: Model) -> tuple[tuple[Filling, float], ...]:
        values = model.values()[-len(self.fillings) :] if self.fillings else []
        return tuple(own for own in zip(self.fillings, values, strict=True) if own[1] > CLOSE)

    @staticmethod
    def _add(model: Model, filling: Filling, covers: Sequence[int], uses: Sequence[int]) -> None:
        chip, loads = filling
        entries: dict[int, float] = {}
        for number, _ in loads:
            entries[covers[number]] = entries.get(covers[number], 0.0) + 1.0
        entries[uses[chip]] = -1.0
        model.column(0.0, 0.0, INFINITE, entries)


def _whole(prices: Sequence[float]) -> tuple[int, ...]:
    largest = max(prices, default=0.0)
    if largest <= 0:
        return tuple(0 for _ in prices)
    return tuple(int(price / largest * PRICE_SCALE) for price in prices)
