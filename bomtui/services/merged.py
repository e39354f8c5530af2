"""What is asked of a packing of drivers, and what came of it."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from bomtui.edit.edit import Edit
from bomtui.model.finding import Finding
from bomtui.model.ids import natural_key
from bomtui.model.money import Total
from bomtui.model.rollup import Figure
from bomtui.packing.blockers import Blocked
from bomtui.packing.kept import Keep
from bomtui.packing.offer import Aim
from bomtui.packing.plan import PlannedChip
from bomtui.packing.scope import Left
from bomtui.services.errors import UnknownNameError
from bomtui.services.review import Reviewed
from bomtui.services.solver.job import Stop
from bomtui.services.solver.messages import Effort


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
        module: The module; empty where it reaches over several.
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


@dataclass(frozen=True, slots=True)
class Ends:
    """The two ends of aims that may conflict.

    Attributes:
        cheapest: What costs least.
        fewest: What has the fewest driver devices, and costs least of that.
    """

    cheapest: Merged
    fewest: Merged

    @property
    def conflict(self) -> bool:
        """Whether the cheapest has more driver devices than could be, and fewer of them cost more."""
        one, other = self.cheapest, self.fewest
        return one.devices[1] > other.devices[1] and one.after.amount < other.after.amount


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
