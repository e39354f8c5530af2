"""Could this be done with fewer or cheaper drivers, and how do we know: packing of modules as a use case.

    merged = merge(reviewed, Wish(modules=("ZREA",)))
    merged.opportunities        # per module that would change: what goes and comes, what it saves, what it newly breaks
    merged.edit                 # all of it as one step, judged by engine and rules; None where nothing is gained
    merged.proof                # what is proved of it, in words

The answer begins with a quick packing; the solver improves it in a process of its own, and its proof is checked here in
whole numbers. Without the solver the quick answer and a plain bound remain.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal

import msgspec

from bomtui.edit.edit import Edit, Refusal
from bomtui.model.finding import Finding
from bomtui.model.ids import natural_key
from bomtui.model.money import LINE_DIGITS, Total
from bomtui.model.part import Part
from bomtui.model.rollup import Figure
from bomtui.packing.blockers import Blocked, blocked
from bomtui.packing.check import Checked, checked
from bomtui.packing.greedy import greedy
from bomtui.packing.kept import OF_PAIRS, Keep, counts_against
from bomtui.packing.offer import Aim, Offer, Request, offer_of
from bomtui.packing.places import part_of
from bomtui.packing.plan import Plan, PlannedChip, plan_of
from bomtui.packing.problem import Floor, Packing, ProblemError, checked_cost, cost_of, counts_of
from bomtui.packing.proof import checked_bound
from bomtui.packing.scope import Left
from bomtui.services.editing import with_parts
from bomtui.services.errors import UnknownNameError
from bomtui.services.present import counted
from bomtui.services.review import Reviewed
from bomtui.services.solver.job import Solved, Stop, solve
from bomtui.services.solver.messages import Effort, News

__all__ = ["Aim", "Keep", "Left", "Merged", "Opportunity", "Wish", "merge", "modules_in"]

Solver = Callable[[Offer, Packing | None], Solved]
"""Searches a problem; see `services.solver.job.solve`."""

_AIMS: Mapping[Aim, str] = {"cost": "cheapest", "chips": "fewest", "standby": "least standby current"}


@dataclass(frozen=True, slots=True)
class Wish:
    """What is asked for.

    Attributes:
        modules: Modules whose drivers are packed, each within itself; empty for all of the variant.
        keep: Which new findings a plan may not bring.
        aim: What is made least; of equal numbers of chips the cheapest.
        effort: How far the solver goes.
        seconds: Longest time of the solver; None for as long as its work takes.
        fresh: Loads that no driver serves yet, each with its module; what their own supply brings with it, on feeds
            say, is announced and speaks against nothing.
    """

    modules: tuple[str, ...] = ()
    keep: Keep = "warnings"
    aim: Aim = "cost"
    effort: Effort = field(default_factory=Effort)
    seconds: float | None = None
    fresh: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Opportunity:
    """What one module would gain.

    Attributes:
        module: The module.
        what: What goes and what comes, in words.
        saving: What a vehicle costs less; below 0 where it costs more.
        devices: Driver devices fewer.
        standby_a: Standby current now and after.
        added: Findings that it newly brings.
        cleared: Findings that it clears.
        edit: It alone as one step.
    """

    module: str
    what: str
    saving: Decimal
    devices: int
    standby_a: tuple[Figure, Figure]
    added: tuple[Finding, ...]
    cleared: tuple[Finding, ...]
    edit: Edit


@dataclass(frozen=True, slots=True)
class Merged:
    """What came of it.

    Attributes:
        modules: Modules that were packed.
        keep: Which new findings a plan could not bring.
        aim: What was made least.
        before: Cost per vehicle now.
        after: The same with all opportunities taken.
        lower_bound: What the vehicle would cost at least; None where the aim is not cost, or nothing can be packed.
        gap_ratio: Share of the cost of the drivers in question that the bound leaves open; None likewise.
        devices: Driver devices now and after.
        fewest: Driver devices that are needed at least, among those that may change; None where not asked.
        proved: Whether the checked bound is what the plan costs, nothing unknown being used.
        checked_by: Who checked the bound: `integer check`, or `nobody` where there is none.
        solver_bound: Bound of the solver itself, in the same terms as `lower_bound`; None where it gave none.
        stopped_by: Why the search ended.
        proof: What is proved, in words.
        opportunities: Per module that would change.
        refused: Modules whose plan engine and rules refused, and why.
        left: What stays as it is, and why.
        unserved: Loads that no part serves by the kept rules, and why.
        conditions: What was taken for granted.
        open_rules: Rules that something unknown keeps open.
        edit: All opportunities as one step; None where there is none.
        chips: Drivers of the modules after it.
        blocked: Pairs of drivers that do not become one, and why.
    """

    modules: tuple[str, ...]
    keep: Keep
    aim: Aim
    before: Total
    after: Total
    lower_bound: Decimal | None
    gap_ratio: float | None
    devices: tuple[int, int]
    fewest: int | None
    proved: bool
    checked_by: str
    solver_bound: Decimal | None
    stopped_by: Stop
    proof: str
    opportunities: tuple[Opportunity, ...]
    refused: tuple[Left, ...]
    left: tuple[Left, ...]
    unserved: tuple[Left, ...]
    conditions: tuple[str, ...]
    open_rules: tuple[str, ...]
    edit: Edit | None
    chips: tuple[PlannedChip, ...]
    blocked: tuple[Blocked, ...]


def modules_in(reviewed: Reviewed, modules: tuple[str, ...] = (), zone: str | None = None) -> tuple[str, ...]:
    """Return modules of a variant by name, or those of a zone, or all, in natural order.

    Raises:
        UnknownNameError: There is no such module or zone.
    """
    proposal = reviewed.computed.opened.snapshot.proposal
    own = proposal.variants[reviewed.computed.variant].modules
    unknown = [module for module in modules if module not in own]
    if unknown:
        known = ", ".join(sorted(own, key=natural_key)) or "none"
        raise UnknownNameError(f"there is no module '{unknown[0]}'; the modules are {known}")
    if zone is not None and zone not in proposal.zones:
        raise UnknownNameError(f"there is no zone '{zone}'; the zones are {', '.join(proposal.zones) or 'none'}")
    chosen = modules or tuple(own)
    return tuple(sorted((module for module in chosen if zone is None or own[module].zone == zone), key=natural_key))


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

    def merged(self) -> Merged:
        fewest: int | None = None
        packed = self._packed(self._offer("cost" if self.wish.aim == "chips" else self.wish.aim))
        is_fewest = False
        if self.wish.aim == "chips":
            few = self._packed(self._offer("chips"))
            fewest = few.bound
            is_fewest = few.packing is not None and few.bound == few.cost
            if few.packing is not None:
                packed = self._packed(_at_most(packed.offer, few.cost), few.packing)
        return self._judged(packed, fewest, is_fewest=is_fewest)

    def _offer(self, aim: Aim, *, with_faulty: bool = False) -> Offer:
        request = Request(self.modules, self.wish.keep, aim, self.wish.fresh, with_faulty)
        return offer_of(self.computed.memo, self.reviewed.review.findings, self.parts, request)

    def _packed(self, offer: Offer, known: Packing | None = None) -> _Packed:
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

    def _judged(self, packed: _Packed, fewest: int | None, *, is_fewest: bool) -> Merged:
        offer, start = packed.offer, packed.offer.start
        refused: list[Left] = []
        packing = packed.packing
        plan: Plan | None = None
        after: Checked | None = None
        if packing is not None and (start is None or packing != start):
            packing, plan, after, refused = self._accepted(offer, packing)
        before = self.computed.rollup
        result = before if after is None else after.computed.result
        cost = packed.cost if packing is None else cost_of(offer.problem, counts_of(offer.problem, packing))
        # Where a module stays with more chips than the fewest, the bound of those says nothing of it.
        is_bounded = packing is not None and (self.wish.aim != "chips" or packing is packed.packing)
        opportunities = () if plan is None or packing is None else self._opportunities(offer, packing)
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
            refused=tuple(refused),
            left=offer.left,
            unserved=offer.unserved,
            conditions=offer.conditions,
            open_rules=offer.open_rules,
            edit=None if plan is None else self._with_parts(offer, plan),
            chips=() if plan is None else plan.chips,
            blocked=() if self.wish.fresh else blocked(self._offer(self.wish.aim, with_faulty=True)),
        )

    def _accepted(
        self, offer: Offer, packing: Packing
    ) -> tuple[Packing | None, Plan | None, Checked | None, list[Left]]:
        """Take what engine and rules accept: modules that they refuse stay as they are."""
        refused: list[Left] = []
        start = offer.start
        while True:
            plan = self._plan(offer, packing)
            if plan.edit is None:
                return packing, None, None, refused
            after = checked(self.computed.memo, self.reviewed.review, self._with_parts(offer, plan), self.wish.keep)
            if isinstance(after, Refusal):
                return start, None, None, [*refused, Left(" ".join(self.modules), after.sentence)]
            if not self._against(after):
                return packing, plan, after, refused
            changing = [
                place
                for place in range(len(offer.modules))
                if start is not None and part_of(offer.problem, packing, place) != part_of(offer.problem, start, place)
            ]
            blamed = self._blamed(offer, after, changing)
            if start is None or not blamed:
                why = self._against(after)[0]
                return start, None, None, [*refused, Left(why.place, f"{why.rule}: {why.message}")]
            refused += [Left(offer.modules[place], why) for place, why in blamed.items()]
            packing = tuple(
                own
                for place in range(len(offer.modules))
                for own in part_of(offer.problem, start if place in blamed else packing, place)
            )

    def _against(self, after: Checked) -> tuple[Finding, ...]:
        """Return the new findings that speak against a plan; of fresh loads only those of the rules that it keeps."""
        if not self.wish.fresh:
            return after.against
        serving = after.computed.serving.module_of
        drivers = {
            f"{module}.{address.device}"
            for module in self.modules
            for served in after.computed.serving.per_module[module]
            for address in served.channels
        }
        return tuple(
            own
            for own in after.against
            if counts_against(own, self.wish.keep)
            # What other chips of the module have to bear is announced: they are not what is packed here.
            and (own.place in drivers or own.place in serving or own.place in self.modules or own.rule in OF_PAIRS)
        )

    def _blamed(self, offer: Offer, after: Checked, changing: list[int]) -> dict[int, str]:
        """Return the changing modules of which a finding speaks; all of them where it speaks of none."""
        serving = after.computed.serving.module_of
        found: dict[int, str] = {}
        for finding in after.against:
            head = finding.place.partition(".")[0]
            names = {head, serving.get(head, ""), *(serving.get(own, "") for own in head.split("-"))}
            for place in changing:
                if offer.modules[place] in names:
                    found.setdefault(place, f"{finding.rule}: {finding.message}")
        if not found and after.against:
            why = f"{after.against[0].rule}: {after.against[0].message}"
            return dict.fromkeys(changing, why)
        return found

    def _plan(self, offer: Offer, packing: Packing) -> Plan:
        names = " ".join(offer.modules) if len(offer.modules) == 1 else counted(len(offer.modules), "module", "modules")
        return plan_of(self.snapshot, self.computed.variant, offer, packing, f"pack the drivers of {names}")

    def _with_parts(self, offer: Offer, plan: Plan) -> Edit:
        used = {own.part: offer.parts[own.part] for own in plan.chips}
        if plan.edit is None:
            raise ValueError("a plan that changes nothing has no step")
        return with_parts(self.snapshot, plan.edit, used)

    def _opportunities(self, offer: Offer, packing: Packing) -> tuple[Opportunity, ...]:
        """Say of each module what its change alone would do."""
        if offer.start is None:
            return ()
        found = []
        for place, module in enumerate(offer.modules):
            own = tuple(
                filled
                for other in range(len(offer.modules))
                for filled in part_of(offer.problem, packing if other == place else offer.start, other)
            )
            plan = self._plan(offer, own)
            if plan.edit is None:
                continue
            edit = self._with_parts(offer, plan)
            after = checked(self.computed.memo, self.reviewed.review, edit, self.wish.keep)
            if isinstance(after, Refusal):
                continue
            now, then = self.computed.rollup, after.computed.result
            found.append(
                Opportunity(
                    module,
                    _changes(plan, module),
                    now.cost.total.amount - then.cost.total.amount,
                    now.driver_devices - then.driver_devices,
                    (now.standby_a, then.standby_a),
                    after.added,
                    after.cleared,
                    edit,
                )
            )
        return tuple(found)

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
            return f"nothing is proved: no packing was found {about}"
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


def _changes(plan: Plan, module: str) -> str:
    """Say what goes and what comes."""
    swapped = [
        f"{own.module}.{own.ref} {own.former} becomes {own.part}"
        for own in plan.chips
        if own.module == module and own.former not in ("", own.part)
    ]
    new = [f"{own.module}.{own.ref} {own.part} is new" for own in plan.chips if own.module == module and not own.former]
    gone = [f"{address} {part} goes" for address, part in plan.removed]
    return "; ".join((*gone, *swapped, *new)) or f"{counted(len(plan.moved), 'load moves', 'loads move')}"
