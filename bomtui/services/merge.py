"""Could this be done with fewer or cheaper drivers, and how do we know: packing of modules as a use case.

    merged = merge(reviewed, Wish(modules=("ZREA",)))
    merged.opportunities        # per module that would change: what goes and comes, what it saves, what it newly breaks
    merged.edit                 # all of it as one step, judged by engine and rules; None where nothing is gained
    merged.proof                # what is proved of it, in words

The answer begins with a quick packing; the solver improves it in a process of its own, and its proof is checked here in
whole numbers. Without the solver the quick answer and a plain bound remain.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

import msgspec

from bomtui.model.money import LINE_DIGITS, Total
from bomtui.model.part import Part
from bomtui.packing.blockers import NO_SAVING, blocked
from bomtui.packing.greedy import greedy
from bomtui.packing.kept import Keep
from bomtui.packing.offer import Aim, Offer, Request, offer_of
from bomtui.packing.problem import Floor, Packing, ProblemError, checked_cost, cost_of, counts_of
from bomtui.packing.proof import checked_bound
from bomtui.packing.scope import Left
from bomtui.services.merged import Ends, Merged, Opportunity, Wish, modules_in
from bomtui.services.packing_judge import Accepted, PackingJudge
from bomtui.services.present import counted
from bomtui.services.review import Reviewed
from bomtui.services.solver.job import Solved, Stop, solve
from bomtui.services.solver.messages import News

__all__ = [
    "NO_SAVING",
    "Aim",
    "Ends",
    "Keep",
    "Left",
    "Merged",
    "Opportunity",
    "Wish",
    "both_ends",
    "merge",
    "modules_in",
]

Solver = Callable[[Offer, Packing | None], Solved]
"""Searches a problem; see `services.solver.job.solve`."""

CHEAPEST: Aim = "cost"
FEWEST: Aim = "chips"

_AIMS: Mapping[Aim, str] = {"cost": "cheapest", "chips": "fewest", "standby": "least standby current"}


def merge(
    reviewed: Reviewed,
    wish: Wish,
    parts: Mapping[str, Part] | None = None,
    report: Callable[[News], None] = lambda _: None,
    is_wanted: Callable[[], bool] = lambda: True,
    solver: Solver | None = None,
) -> Merged:
    """Pack the drivers of modules anew, and say what is gained and what is proved.

    Args:
        reviewed: The variant, computed and reviewed.
        wish: What is asked for.
        parts: Parts of which drivers may be made beside the frozen ones, by catalog key.
        report: Gets news of the solver.
        is_wanted: Asked now and then whether to go on.
        solver: Another solver; None for the usual one.
    """

    def usual(offer: Offer, start: Packing | None) -> Solved:
        return solve(offer.problem, start, wish.effort, report, is_wanted, wish.seconds)

    return _Merging(reviewed, wish, {} if parts is None else parts, solver or usual).merged()


def both_ends(
    reviewed: Reviewed,
    wish: Wish,
    parts: Mapping[str, Part] | None = None,
    report: Callable[[News], None] = lambda _: None,
    is_wanted: Callable[[], bool] = lambda: True,
    solver: Solver | None = None,
) -> Ends:
    """Pack for the least cost and for the fewest chips, which need not be the same.

    Args:
        reviewed: The variant, computed and reviewed.
        wish: What is asked for; its aim counts for nothing, and its time for each of three searches.
        parts: As for `merge`.
        report: As for `merge`.
        is_wanted: As for `merge`.
        solver: As for `merge`.
    """

    def usual(offer: Offer, start: Packing | None) -> Solved:
        return solve(offer.problem, start, wish.effort, report, is_wanted, wish.seconds)

    cheap, few = (
        _Merging(reviewed, replace(wish, aim=aim), {} if parts is None else parts, solver or usual)
        for aim in (CHEAPEST, FEWEST)
    )
    packed = cheap.packed(cheap.offer(CHEAPEST))
    return Ends(cheap.judged(packed), few.fewest(packed))


@dataclass(frozen=True, slots=True)
class _Packed:
    """A problem with its best packing and what is known of it, in steps of its costs."""

    offer: Offer
    packing: Packing | None
    cost: int
    bound: int
    solver_bound: int
    stopped_by: Stop
    reason: str


class _Merging:
    def __init__(self, reviewed: Reviewed, wish: Wish, parts: Mapping[str, Part], solver: Solver) -> None:
        self.reviewed = reviewed
        self.wish = wish
        self.parts = parts
        self.solver = solver
        self.computed = reviewed.computed
        self.snapshot = reviewed.computed.opened.snapshot
        self.modules = wish.modules or modules_in(reviewed)
        self.judge = PackingJudge(reviewed, wish, self.modules)

    def merged(self) -> Merged:
        packed = self.packed(self.offer("cost" if self.wish.aim == "chips" else self.wish.aim))
        return self.fewest(packed) if self.wish.aim == "chips" else self.judged(packed)

    def fewest(self, cheapest: _Packed) -> Merged:
        """Pack with the fewest chips, and of those packings take the cheapest."""
        few = self.packed(self.offer("chips"))
        if few.packing is None:
            return self.judged(cheapest, few.bound)
        packed = self.packed(_at_most(cheapest.offer, few.cost), few.packing)
        return self.judged(packed, few.bound, is_fewest=few.bound == few.cost)

    def offer(self, aim: Aim, *, with_faulty: bool = False) -> Offer:
        """Pose the problem of the modules."""
        request = Request(self.modules, self.wish.keep, aim, self.wish.fresh, with_faulty)
        return offer_of(self.computed.memo, self.reviewed.review.findings, self.parts, request)

    def packed(self, offer: Offer, known: Packing | None = None) -> _Packed:
        """Pack quickly, let the solver improve it, and check what it says."""
        if not offer.problem.alike:
            return _Packed(offer, offer.start, 0, 0, 0, "matched", "")
        begin = _cheapest(offer, (offer.start, known, greedy(offer.problem)))
        solved = self.solver(offer, begin)
        packing = _cheapest(offer, (begin, solved.packing))
        if packing is None:
            return _Packed(offer, None, 0, 0, solved.bound, solved.stopped_by, solved.reason)
        bound = checked_bound(offer.problem, solved.certificate, packing)
        cost = checked_cost(offer.problem, packing)
        return _Packed(offer, packing, cost, bound.cost, solved.bound, solved.stopped_by, solved.reason)

    def judged(self, packed: _Packed, fewest: int | None = None, *, is_fewest: bool = False) -> Merged:
        """Judge a packing by engine and rules, and say what it gains."""
        offer, start = packed.offer, packed.offer.start
        accepted = Accepted(packed.packing, None, None, ())
        if packed.packing is not None and (start is None or packed.packing != start):
            accepted = self.judge.accepted(offer, packed.packing)
        packing, plan = accepted.packing, accepted.plan
        before = self.computed.rollup
        result = before if accepted.after is None else accepted.after.computed.result
        cost = packed.cost if packing is None else cost_of(offer.problem, counts_of(offer.problem, packing))
        # Where a module stays with more chips than the fewest, the bound of those says nothing of it.
        is_bounded = packing is not None and (self.wish.aim != "chips" or packing is packed.packing)
        opportunities = () if plan is None or packing is None else self.judge.opportunities(offer, packing)
        lower, gap, solver_lower = self._money(packed, cost, result.cost.total, is_known=is_bounded)
        proved = is_bounded and cost == packed.bound and not offer.open_rules and not offer.unserved
        if self.wish.aim == "chips":
            proved = proved and is_fewest
        return Merged(
            modules=self.modules,
            keep=self.wish.keep,
            aim=self.wish.aim,
            before=before.cost.total,
            after=result.cost.total,
            lower_bound=lower,
            gap_ratio=gap,
            devices=(before.driver_devices, result.driver_devices),
            fewest=fewest,
            proved=proved,
            checked_by="integer check" if is_bounded else "nobody",
            solver_bound=solver_lower,
            stopped_by=packed.stopped_by,
            proof=self._words(packed, proved=proved, is_known=packing is not None),
            opportunities=opportunities,
            refused=accepted.refused,
            left=offer.left,
            unserved=offer.unserved,
            conditions=offer.conditions,
            open_rules=offer.open_rules,
            edit=None if plan is None else self.judge.step(offer, plan),
            chips=() if plan is None else plan.chips,
            blocked=() if self.wish.fresh else blocked(self.offer(self.wish.aim, with_faulty=True)),
        )

    def _money(
        self, packed: _Packed, cost: int, after: Total, *, is_known: bool
    ) -> tuple[Decimal | None, float | None, Decimal | None]:
        """Return the lower bound of the vehicle's cost, the gap and the solver's own bound."""
        if not is_known:
            return None, None, None
        gap = (cost - packed.bound) / cost if cost else 0.0
        if self.wish.aim == "standby":
            return None, gap, None
        lower = after.amount - Decimal(cost - packed.bound).scaleb(-LINE_DIGITS)
        solver = after.amount - Decimal(cost - packed.solver_bound).scaleb(-LINE_DIGITS)
        return lower, gap, solver if packed.solver_bound else None

    def _words(self, packed: _Packed, *, proved: bool, is_known: bool) -> str:
        problem = packed.offer.problem
        loads = sum(len(kind.loads) for kind in problem.alike)
        parts = len({chip.name for chip in problem.chips})
        about = (
            f"for these {counted(parts, 'part', 'parts')}, these rules, this load list"
            f" ({counted(loads, 'load', 'loads')})"
        )
        if packed.offer.left:
            about += f", {counted(len(packed.offer.left), 'driver', 'drivers')} left as they are"
        if not is_known:
            return f"nothing is proved: no packing that may stand was found {about}"
        if proved:
            return f"{_AIMS[self.wish.aim]} {about}; the bound was checked in whole numbers"
        if packed.offer.unserved:
            lost = ", ".join(own.what for own in packed.offer.unserved)
            return f"nothing is proved of the whole {about}: no part serves {lost}"
        if packed.offer.open_rules:
            return f"a lower bound only {about}: something unknown is used by {', '.join(packed.offer.open_rules)}"
        return f"not proved to be the {_AIMS[self.wish.aim]} {about}: the gap is what the bound leaves open"


def _cheapest(offer: Offer, packings: tuple[Packing | None, ...]) -> Packing | None:
    """Return the cheapest of some packings, the first of equal ones; what is none is left out."""
    best: tuple[int, Packing] | None = None
    for packing in packings:
        if packing is None:
            continue
        try:
            cost = checked_cost(offer.problem, packing)
        except ProblemError:
            continue
        if best is None or cost < best[0]:
            best = cost, packing
    return None if best is None else best[1]


def _at_most(offer: Offer, chips: int) -> Offer:
    """Return a problem with no more chips than some."""
    weights = (-1,) * len(offer.problem.chips)
    floor = Floor("driver devices", -1, weights, -chips)
    problem = msgspec.structs.replace(offer.problem, floors=(*offer.problem.floors, floor))
    return replace(offer, problem=problem)
