"""Could this be done with fewer modules: which of them become one, what that saves, and why others cannot.

    merged = merge_modules(reviewed, ModulesWish())
    merged.opportunities   # per set of modules: how they become one, what it saves, what it newly breaks
    merged.together        # those of them that go together and save most, as one step judged by engine and rules
    merged.blocked         # every other set that was tried, and why not

Every plan is judged by the rollup and every rule on a changed copy of the proposal. Nothing here needs the solver.
"""

import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from bomtui.edit.edit import Edit, Refusal
from bomtui.model.finding import Finding
from bomtui.model.money import Total
from bomtui.model.part import Part
from bomtui.model.rollup import Figure, Rollup
from bomtui.model.variant import Variant
from bomtui.packing.boxes.merging import Apart, Merger, United, against, moved_by, together
from bomtui.packing.boxes.sets import Modules, Step, Tried, best_choice, sets_tried
from bomtui.packing.boxes.shapes import Plan
from bomtui.packing.check import Checked, Moved
from bomtui.packing.kept import Keep
from bomtui.services.merge import modules_in
from bomtui.services.present import counted
from bomtui.services.review import Reviewed

__all__ = [
    "KINDS",
    "ModuleOpportunity",
    "ModulesApart",
    "ModulesMerged",
    "ModulesWish",
    "Step",
    "Together",
    "merge_modules",
]

KINDS = ("controller", "housing")
"""Kinds of parts that are chosen anew where modules become one."""


@dataclass(frozen=True, slots=True)
class ModulesWish:
    """What is asked for.

    Attributes:
        modules: Modules that may become one; empty for all of the variant.
        keep: Which new findings a plan may not bring.
        seconds: Longest time; None for as long as it takes. What it ends is not reproducible.
    """

    modules: tuple[str, ...] = ()
    keep: Keep = "warnings"
    seconds: float | None = None


@dataclass(frozen=True, slots=True)
class Amounts:
    """Figures of a variant that a merge changes.

    Attributes:
        devices: Placed parts with a reference.
        pins_used: Controller pins of the modules in question in use.
        pins: Controller pins that they have.
        wires: Wires of the vehicle.
        wire_length_m: Their length.
        standby_a: Standby current of the vehicle.
    """

    devices: int
    pins_used: int
    pins: int
    wires: int
    wire_length_m: Decimal
    standby_a: Figure


@dataclass(frozen=True, slots=True)
class ModuleOpportunity:
    """Modules that could become one.

    Attributes:
        modules: The modules.
        into: The one that stays.
        zone: Its zone.
        controller: Part that takes the software of all; empty where each keeps its own controller.
        separate: Why each keeps its own; empty where one takes all, or could.
        housing: Part of the housing; empty where none is counted.
        conditions: What is taken for granted.
        further: Housing that saves more where a layout decides, what it saves in all, and what is then taken for
            granted; None where there is none.
        going: Devices that go, each with its part.
        saving: What a vehicle costs less.
        elements: The same by cost element, without those that stay the same.
        before: Figures now.
        after: Figures then.
        added: Findings that it newly brings.
        cleared: Findings that it clears.
        edit: It alone as one step.
        moved: Where the subjects of findings are after it.
    """

    modules: Modules
    into: str
    zone: str
    controller: str
    separate: str
    housing: str
    conditions: tuple[str, ...]
    further: tuple[str, Decimal, str] | None
    going: tuple[tuple[str, str], ...]
    saving: Decimal
    elements: Mapping[str, Decimal]
    before: Amounts
    after: Amounts
    added: tuple[Finding, ...]
    cleared: tuple[Finding, ...]
    edit: Edit
    moved: Moved

    @property
    def name(self) -> str:
        """What it is called: its modules."""
        return "+".join(self.modules)


@dataclass(frozen=True, slots=True)
class ModulesApart:
    """Modules that do not become one.

    Attributes:
        modules: The modules.
        reason: Why not, with the numbers.
        short: What is short, by name.
        is_proved: Whether every plan was looked at; otherwise the reason speaks of those that were.
    """

    modules: Modules
    reason: str
    short: Mapping[str, float]
    is_proved: bool


@dataclass(frozen=True, slots=True)
class Together:
    """Opportunities without a module in common, done in one step.

    Attributes:
        sets: Modules of each of them.
        saving: What a vehicle costs less with all of them.
        added: Findings that they newly bring.
        cleared: Findings that they clear.
        edit: All of them as one step.
    """

    sets: tuple[Modules, ...]
    saving: Decimal
    added: tuple[Finding, ...]
    cleared: tuple[Finding, ...]
    edit: Edit


@dataclass(frozen=True, slots=True)
class ModulesMerged:
    """What came of it.

    Attributes:
        modules: Modules that might become one.
        keep: Which new findings a plan could not bring.
        before: Cost per vehicle now.
        after: The same with all that is taken together.
        opportunities: Sets that become one with a saving, the largest saving first.
        together: Which of them save most in sum and are accepted together; None where there is none.
        refused: Sets left out of it because rules refused them together, each with the reason.
        blocked: Every other set that was tried.
        tried: How many sets were tried.
        every_set: Whether that is every set of these modules.
        stopped_by: Why it ended.
        words: How far the answer reaches.
    """

    modules: tuple[str, ...]
    keep: Keep
    before: Total
    after: Total
    opportunities: tuple[ModuleOpportunity, ...]
    together: Together | None
    refused: tuple[tuple[Modules, str], ...]
    blocked: tuple[ModulesApart, ...]
    tried: int
    every_set: bool
    stopped_by: Literal["work", "time", "cancelled"]
    words: str


def merge_modules(
    reviewed: Reviewed,
    wish: ModulesWish,
    parts: Mapping[str, Part] | None = None,
    report: Callable[[Step], None] = lambda _: None,
    is_wanted: Callable[[], bool] = lambda: True,
) -> ModulesMerged:
    """Try which modules become one, and say what is gained and why not more.

    Args:
        reviewed: The variant, computed and reviewed.
        wish: What is asked for.
        parts: Controllers and housings that may be used beside the frozen ones, by catalog key.
        report: Gets how far it has come.
        is_wanted: Asked now and then whether to go on; what is found so far is returned in any case.

    Raises:
        UnknownNameError: There is no such module.
    """
    modules = modules_in(reviewed, wish.modules)
    merger = Merger(reviewed.computed.memo, reviewed.review, {} if parts is None else parts, wish.keep)
    end = None if wish.seconds is None else time.monotonic() + wish.seconds
    tried = sets_tried(merger, modules, report, lambda: is_wanted() and (end is None or time.monotonic() < end))
    united = tried.united()
    opportunities = sorted((_opportunity(merger, own) for own in united.values()), key=lambda own: -own.saving)
    whole, refused = _together(merger, united)
    before = reviewed.computed.rollup.cost.total
    return ModulesMerged(
        modules=modules,
        keep=wish.keep,
        before=before,
        after=before if whole is None else Total(before.amount - whole.saving, before.unknown),
        opportunities=tuple(opportunities),
        together=whole,
        refused=refused,
        blocked=tuple(
            ModulesApart(own.modules, own.reason, own.short, own.is_proved)
            for own in tried.sets.values()
            if isinstance(own, Apart)
        ),
        tried=len(tried.sets),
        every_set=tried.is_whole,
        stopped_by="work" if not tried.is_ended else "time" if is_wanted() else "cancelled",
        words=_reach(tried),
    )


def _reach(tried: Tried) -> str:
    pairs = sum(len(own) == 2 for own in tried.sets)
    larger = len(tried.sets) - pairs
    what = f"{counted(pairs, 'pair', 'pairs')} and {counted(larger, 'larger set', 'larger sets')} of modules were tried"
    if tried.is_ended:
        return f"{what} before the search was ended; nothing is said of others"
    reach = "these are all of them"
    if not tried.is_whole:
        reach = "these are all pairs; larger sets that were not tried may save more"
    if tried.united():
        reach += "; no choice of those that become one saves more in sum, each by itself"
    return f"{what}, {reach}"


def _together(
    merger: Merger, united: Mapping[Modules, United]
) -> tuple[Together | None, tuple[tuple[Modules, str], ...]]:
    """Return the best choice that the rules accept as a whole; what they blame is left out."""
    left = dict(united)
    refused: list[tuple[Modules, str]] = []
    while left:
        sets = best_choice({key: own.plan.saving for key, own in left.items()})
        plans = tuple(left[key].plan for key in sets)
        after = left[sets[0]].checked if len(sets) == 1 else merger.judged(plans)
        why = _why_not(merger, after)
        if not why and isinstance(after, Checked):
            saving = merger.basis.computed.result.cost.total.amount - after.total.amount
            return Together(sets, saving, after.added, after.cleared, together(plans)), tuple(refused)
        blamed = _blamed(sets, left, why)
        refused.append((blamed, f"together with the others: {why}"))
        del left[blamed]
    return None, tuple(refused)


def _why_not(merger: Merger, after: Checked | Refusal) -> str:
    if isinstance(after, Refusal):
        return after.sentence
    for finding in against(after):
        return f"{finding.rule}: {finding.message}"
    saving = merger.basis.computed.result.cost.total.amount - after.total.amount
    return "" if saving > 0 else "no saving"


def _blamed(sets: tuple[Modules, ...], united: Mapping[Modules, United], why: str) -> Modules:
    """Return the set whose module the reason names, otherwise the one that saves least."""
    words = {word.strip(",;:()").partition(".")[0] for word in why.split()}
    named = [own for own in sets if united[own].plan.way.into in words]
    return min(named or sets, key=lambda own: united[own].plan.saving)


def _opportunity(merger: Merger, united: United) -> ModuleOpportunity:
    plan, basis = united.plan, merger.basis
    variant = basis.snapshot.proposal.variants[basis.variant]
    after = united.checked.snapshot.proposal.variants[basis.variant]
    now, then = basis.computed.result, united.checked.computed.result
    kept = set(plan.moved)
    going = [
        (f"{module_id}.{ref}", device.part)
        for module_id in plan.way.others
        for ref, device in variant.modules[module_id].devices.items()
        if f"{module_id}.{ref}" not in kept
    ]
    elements = {name: now.cost.elements[name].amount - then.cost.elements[name].amount for name in now.cost.elements}
    return ModuleOpportunity(
        modules=plan.way.modules,
        into=plan.way.into,
        zone=variant.modules[plan.way.into].zone,
        controller=plan.controller,
        separate=united.separate,
        housing=plan.case.housing,
        conditions=tuple(filter(None, (plan.case.condition,))),
        further=None if united.further is None else _further(united.further),
        going=tuple(going),
        saving=plan.saving,
        elements={name: amount for name, amount in elements.items() if amount},
        before=_amounts(now, variant, plan.way.modules),
        after=_amounts(then, after, (plan.way.into,)),
        added=united.checked.added,
        cleared=united.checked.cleared,
        edit=plan.edit,
        moved=moved_by((plan,)),
    )


def _further(plan: Plan) -> tuple[str, Decimal, str]:
    return plan.case.housing, plan.saving, plan.case.condition


def _amounts(result: Rollup, variant: Variant, modules: Modules) -> Amounts:
    pins = [result.modules[own].pins for own in modules]
    return Amounts(
        devices=sum(len(module.devices) for module in variant.modules.values()),
        pins_used=sum(own.used for own in pins),
        pins=sum(own.total for own in pins),
        wires=result.wire_count,
        wire_length_m=result.wire_length_m,
        standby_a=result.standby_a,
    )
