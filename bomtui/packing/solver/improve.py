"""Better packings and the certificate of a bound: prices, counts that the prices allow, packings of these counts.

The cheapest counts that the prices so far allow are a bound. Where their chips can carry all loads, that packing is the
best; where they cannot, new prices or an exhausted search say so, and the next counts are asked.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

from bomtui.model.base import Base
from bomtui.packing.counting import SCALE, Cut, TooMuchWorkError, channel_cuts, cut_bound, cut_of
from bomtui.packing.exhaustive import packed_exactly
from bomtui.packing.fills import Filler
from bomtui.packing.joined import Joined, joined
from bomtui.packing.places import part_of, place_problem
from bomtui.packing.problem import Counts, Filled, Packing, Problem, ProblemError, checked_cost
from bomtui.packing.proof import Certificate
from bomtui.packing.solver.columns import QUICK_STEPS, Columns
from bomtui.packing.solver.diving import dive
from bomtui.packing.solver.highs import INFINITE, Model
from bomtui.packing.solver.restricted import restricted
from bomtui.packing.solver.tables import count_columns

KINDS = 150
"""Kinds of loads up to which each is looked at by itself; what is nearly alike is put together where there are more."""

USUAL = 100
"""Loads up to which all rounds are done; each round costs more with more loads, and then says less."""

LEAST_DIVES = 3
"""Packings that are built out of linear programs however many loads there are."""


class Work(Base, frozen=True, kw_only=False):
    """How far a search may go; work, not time, so that equal input gives equal output.

    Attributes:
        rounds: Counts of chips that are asked one after the other; fewer where there are many loads.
        column_rounds: Rounds of column generation of each linear program.
        nodes: Nodes of each integer program.
        dives: Packings that are built out of linear programs, each beginning with what the former ones found; fewer
            where there are many loads.
        dive_rounds: Rounds of column generation of each step of such a packing.
        dive_nodes: Nodes of the integer program over its fillings.
        packing_steps: Steps of each exhaustive packing.
    """

    rounds: int = 60
    column_rounds: int = 200
    nodes: int = 2_000
    dives: int = 8
    dive_rounds: int = 15
    dive_nodes: int = 200
    packing_steps: int = 60_000


@dataclass(frozen=True, slots=True)
class Progress:
    """How far a search has come.

    Attributes:
        round: Counts asked so far.
        best: Cost of the best packing; None where there is none yet.
        bound: Bound of the solver, not checked yet.
        packing: The best packing so far; None where it is the one that was told before, or there is none.
        certificate: What the bound rests on so far.
    """

    round: int
    best: int | None
    bound: int
    packing: Packing | None = None
    certificate: Certificate | None = None


@dataclass(frozen=True, slots=True)
class Improved:
    """What a search has found.

    Attributes:
        packing: Best packing; None where there is none.
        certificate: What the bound rests on.
        bound: Bound of the solver, not checked yet.
        stopped_by: Why the search ended: `matched` bound and packing, `work`, or `stuck` where neither would move.
    """

    packing: Packing | None
    certificate: Certificate
    bound: int
    stopped_by: str


def improve(
    problem: Problem, start: Packing | None, work: Work, report: Callable[[Progress], None] = lambda _: None
) -> Improved:
    """Improve a packing and gather what proves how good it is.

    Args:
        problem: The problem.
        start: A packing that is at hand.
        work: How far to go.
        report: Told now and then how far it has come.
    """
    small = joined(problem, KINDS)
    best = None if start is None else (checked_cost(problem, start), start)

    def told(progress: Progress) -> None:
        whole = None if progress.packing is None else small.whole(progress.packing)
        report(replace(progress, packing=whole, certificate=_of_whole(small, progress.certificate)))

    found = _improved(small.problem, _small_start(small, start), work, told)
    packing = None if found.packing is None else small.whole(found.packing)
    if packing is None or (best is not None and best[0] < checked_cost(problem, packing)):
        packing = start
    certificate = _of_whole(small, found.certificate) or Certificate()
    return Improved(packing, certificate, found.bound, found.stopped_by)


def _small_start(small: Joined, start: Packing | None) -> Packing | None:
    """Return a packing as one of the small problem; None where it does not fit there."""
    if start is None:
        return None
    found = small.small(start)
    try:
        checked_cost(small.problem, found)
    except ProblemError:
        return None
    return found


def _of_whole(small: Joined, certificate: Certificate | None) -> Certificate | None:
    if certificate is None:
        return None
    return Certificate(tuple(map(small.prices, certificate.prices)), certificate.impossible)


def _improved(problem: Problem, start: Packing | None, work: Work, report: Callable[[Progress], None]) -> Improved:
    together = _Improving(problem, start, work, report)
    if len(problem.places) > 1:
        parts: list[Filled] = []
        for place in range(len(problem.places)):
            own = place_problem(problem, place, SCALE)
            there = None if start is None else part_of(problem, start, place)
            found = _Improving(own, there, work, lambda _: None).improved()
            together.learn(found.certificate)
            parts += found.packing or ()
        together.offer(tuple(parts))
    return together.improved()


class _Improving:
    def __init__(self, problem: Problem, start: Packing | None, work: Work, report: Callable[[Progress], None]) -> None:
        self.problem = problem
        self.work = work
        self.report = report
        self.filler = Filler(problem)
        self.columns = Columns(problem, self.filler)
        self.planner = Filler(problem, planned=True)
        self.plans: dict[Filled, None] = {}
        self.packing = start
        self.best = None if start is None else checked_cost(problem, start)
        self.prices: list[tuple[int, ...]] = []
        self.cuts: list[Cut] = [cut_of(problem, row, self.filler) for row in channel_cuts(problem)]
        self.impossible: list[tuple[int, Counts]] = []
        self.bound = 0
        self.told: Packing | None = start
        self.loads = sum(len(kind.loads) for kind in problem.alike)

    def learn(self, certificate: Certificate) -> None:
        """Take over what is known of one place."""
        for row in certificate.prices:
            self._add_cut(row)
        self.impossible += certificate.impossible

    def offer(self, packing: Packing) -> None:
        """Take over a packing where it is one, and better."""
        self._take(packing)

    def improved(self) -> Improved:
        first = self.columns.priced(self.work.column_rounds)
        self._add_cut(first.prices)
        self.bound = max([self.bound, *(cut_bound(self.problem, cut) for cut in self.cuts)])
        self._tell(0)
        self._plan(first.prices)
        nodes = self.work.nodes if self.loads <= USUAL else self.work.dive_nodes
        self._take(restricted(self.problem, self._planned_fillings(), nodes))
        self._tell(0)
        self._dive()
        stopped_by = "work"
        for number in range(self.work.rounds * USUAL // max(self.loads, USUAL)):
            counts = self._next_counts()
            self._tell(number + 1)
            if counts is None or (self.best is not None and self.bound >= self.best):
                stopped_by = "matched" if self.best is not None and self.bound >= self.best else "stuck"
                break
            if not self._learned(counts):
                stopped_by = "stuck"
                break
            if self.best is not None and self.bound >= self.best:
                stopped_by = "matched"
                break
        self._take(restricted(self.problem, self._planned_fillings(), nodes))
        return Improved(self.packing, self._certificate(), self.bound, stopped_by)

    def _certificate(self) -> Certificate:
        return Certificate(tuple(self.prices), tuple(self.impossible))

    def _tell(self, number: int) -> None:
        """Tell how far the search has come, with the best packing where it is a new one."""
        packing = None if self.packing is self.told else self.packing
        self.told = self.packing
        self.report(Progress(number, self.best, self.bound, packing, self._certificate()))

    def _dive(self) -> None:
        """Build packings out of linear programs, and take the best that is made of their fillings."""
        known = dict(self.columns.fillings)
        for _ in range(max(min(LEAST_DIVES, self.work.dives), self.work.dives * USUAL // max(self.loads, USUAL))):
            if self.best is not None and self.bound >= self.best:
                return
            before = len(known)
            self._take(dive(self.problem, known, self.work.dive_rounds))
            self.plans |= {Filled(*own): None for own in known}
            self._take(restricted(self.problem, self._planned_fillings(), self.work.dive_nodes))
            self._tell(0)
            if len(known) == before:
                return

    def _plan(self, prices: tuple[int, ...]) -> None:
        """Find the most valuable loads of each chip as a plan may have them, where that differs from a bound."""
        for chip in range(len(self.problem.chips)):
            loads = self.planner.most_valuable(chip, prices, QUICK_STEPS).loads
            if loads:
                self.plans[Filled(chip, loads)] = None

    def _add_cut(self, prices: tuple[int, ...]) -> bool:
        if not any(prices) or prices in self.prices:
            return False
        self.prices.append(prices)
        self.cuts.append(cut_of(self.problem, prices, self.filler))
        return True

    def _take(self, packing: Packing | None) -> None:
        if packing is None:
            return
        try:
            cost = checked_cost(self.problem, packing)
        except ProblemError:
            return
        if self.best is None or cost < self.best:
            self.packing, self.best = packing, cost

    def _planned_fillings(self) -> list[Filled]:
        """Return the fillings found so far that a plan may use, those of the best packing among them."""
        found = {Filled(chip, loads): None for chip, loads in self.columns.fillings} | self.plans
        for own in self.packing or ():
            found[own] = None
        return list(found)

    def _next_counts(self) -> Counts | None:
        """Return the cheapest counts that nothing forbids, and take their cost as bound; None where there are none."""
        model = Model()
        chips = count_columns(model, self.problem)
        for cut in self.cuts:
            # Scaled, so that the solver's tolerance means the same for every cut.
            scale = float(max(cut.worth, 1))
            entries = {chips[own]: value / scale for own, value in enumerate(cut.values) if value}
            model.row(cut.worth / scale - 1e-9, INFINITE, entries)
        for place, known in self.impossible:
            self._forbid(model, chips, place, known)
        found, bound = model.solve_whole(self.work.nodes)
        if bound >= INFINITE:
            # No counts are left: whatever packing is at hand is the best.
            self.bound = self.bound if self.best is None else self.best
            return None
        self.bound = max(self.bound, int(-(-(bound - 1e-3) // 1)))
        if not found:
            return None
        values = model.values()
        return tuple(round(values[own]) for own in chips)

    def _forbid(self, model: Model, chips: list[int], place: int, known: Counts) -> None:
        """Ask for one more of something than counts on which the loads of a place cannot be packed."""
        more: dict[int, float] = {}
        for number, chip in enumerate(self.problem.chips):
            if chip.place == place and known[number] < chip.most:
                own = model.column(0.0, 0.0, 1.0, whole=True)
                model.row(0.0, INFINITE, {chips[number]: 1.0, own: -float(known[number] + 1)})
                more[own] = 1.0
        model.row(1.0, INFINITE, more)

    def _learned(self, counts: Counts) -> bool:
        """Pack counts, or learn why that is impossible; False where neither is found out."""
        lacking = self.columns.lacking(counts, self.work.column_rounds)
        if lacking.cost > 1e-7:
            return self._add_cut(lacking.prices)
        packing: list[Filled] = []
        for place in range(len(self.problem.places)):
            try:
                own = packed_exactly(self.problem, place, counts, planned=False, steps=self.work.packing_steps)
            except TooMuchWorkError:
                own = self._by_fillings(counts, place)
                if own is None:
                    return False
            if own is None:
                self.impossible.append((place, counts))
                return True
            packing += own
        before = self.best
        self._take(tuple(packing))
        if self.best == before:
            self._take(self._planned(counts))
        return self.best != before

    def _by_fillings(self, counts: Counts, place: int) -> tuple[Filled, ...] | None:
        """Pack a place on given counts with fillings found so far; None where these do not suffice."""
        found = restricted(self.problem, self._planned_fillings(), self.work.nodes, counts)
        if found is None:
            return None
        return tuple(own for own in found if self.problem.chips[own.chip].place == place)

    def _planned(self, counts: Counts) -> Packing | None:
        """Pack given counts as a plan must."""
        packing: list[Filled] = []
        for place in range(len(self.problem.places)):
            try:
                own = packed_exactly(self.problem, place, counts, planned=True, steps=self.work.packing_steps)
            except TooMuchWorkError:
                return None
            if own is None:
                return None
            packing += own
        return tuple(packing)


__all__ = ["Improved", "Progress", "Work", "improve"]
