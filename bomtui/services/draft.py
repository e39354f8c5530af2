"""From bare loads to served ones: every load that no module serves gets a module, and drivers where it needs them.

    drafted = draft(reviewed, modules)
    drafted.edit        # all of it as one step; None where nothing is to be done

A load goes to the nearest module by the distances of the zones. What is pinned stays; other placements in the same
modules may move, as they do whenever drivers are packed anew.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace

from bomtui.edit.edit import Edit, Refusal, apply
from bomtui.edit.edits.group import Group
from bomtui.edit.edits.placement import Place
from bomtui.model.finding import Finding
from bomtui.model.ids import natural_key
from bomtui.model.part import Part
from bomtui.model.proposal import Proposal, Snapshot
from bomtui.packing.check import checked
from bomtui.services.errors import BomtuiError
from bomtui.services.merge import Keep, Left, Merged, Solver, Wish, merge
from bomtui.services.present import counted
from bomtui.services.review import Reviewed, review
from bomtui.services.rollup import compute
from bomtui.services.solver.messages import News


@dataclass(frozen=True, slots=True)
class Drafted:
    """A first placement of loads.

    Attributes:
        merged: The drivers, packed; see `services.merge`. None where no load needs one.
        modules: Module of each load that was placed, in natural order.
        homeless: Loads for which there is no module, and why.
        added: Findings that it newly brings.
        edit: All of it as one step; None where nothing was placed.
        after: The proposal after it.
    """

    merged: Merged | None
    modules: Mapping[str, str]
    homeless: tuple[Left, ...]
    added: tuple[Finding, ...]
    edit: Edit | None
    after: Snapshot

    @property
    def not_placed(self) -> tuple[Left, ...]:
        """Loads, or modules with theirs, that were not placed, and why."""
        merged = self.merged
        return self.homeless if merged is None else (*self.homeless, *merged.unserved, *merged.refused)


@dataclass(frozen=True, slots=True)
class _Homes:
    """Modules of loads without a place: those that need drivers, those that need none, those without a module."""

    driven: dict[str, str] = field(default_factory=dict)
    plain: dict[str, str] = field(default_factory=dict)
    homeless: list[Left] = field(default_factory=list)


def draft(
    reviewed: Reviewed,
    modules: tuple[str, ...],
    keep: Keep = "errors",
    parts: Mapping[str, Part] | None = None,
    report: Callable[[News], None] = lambda _: None,
    is_wanted: Callable[[], bool] = lambda: True,
    solver: Solver | None = None,
) -> Drafted:
    """Place loads that no module serves, with the drivers that they need.

    Args:
        reviewed: The variant, computed and reviewed.
        modules: Modules that may take them.
        keep: Which findings of the kept rules a load may not have where it is placed.
        parts: Parts of which drivers may be made beside the frozen ones, by catalog key.
        report: Gets news of the solver.
        is_wanted: Asked now and then whether to go on.
        solver: Another solver; None for the usual one.

    Raises:
        BomtuiError: There is no module.
    """
    if not modules:
        raise BomtuiError("there is no module to place loads in: add modules with their controllers and supplies first")
    opened, variant_id = reviewed.computed.opened, reviewed.computed.variant
    homes = _homes(opened.snapshot.proposal, variant_id, modules)
    plain = [Place(variant=variant_id, load_id=load_id, on=(module,)) for load_id, module in homes.plain.items()]
    first = Group(edits=tuple(plain), words=f"place {counted(len(plain), 'load', 'loads')}")
    snapshot = apply(first, opened.snapshot)
    if isinstance(snapshot, Refusal):
        raise BomtuiError(snapshot.sentence)
    merged: Merged | None = None
    taking = tuple(module for module in modules if module in homes.driven.values())
    if taking:
        begun = review(compute(replace(opened, snapshot=snapshot), variant_id))
        wish = Wish(modules=taking, keep=keep, fresh=homes.driven)
        merged = merge(begun, wish, parts, report, is_wanted, solver)
    driving = () if merged is None or merged.edit is None else (merged.edit,)
    edits: tuple[Edit, ...] = (*plain, *driving)
    placed = dict(homes.plain)
    if merged is not None and merged.edit is not None:
        lost = {own.what for own in merged.unserved}
        placed |= {load_id: module for load_id, module in homes.driven.items() if load_id not in lost}
    ordered = {load_id: placed[load_id] for load_id in sorted(placed, key=natural_key)}
    if not edits:
        return Drafted(merged, ordered, tuple(homes.homeless), (), None, opened.snapshot)
    edit = Group(edits=edits, words=f"draft {counted(len(ordered), 'load', 'loads')}")
    after = checked(reviewed.computed.memo, reviewed.review, edit, keep)
    if isinstance(after, Refusal):
        raise BomtuiError(after.sentence)
    return Drafted(merged, ordered, tuple(homes.homeless), after.added, edit, after.snapshot)


def _homes(proposal: Proposal, variant_id: str, modules: tuple[str, ...]) -> _Homes:
    variant = proposal.variants[variant_id]
    homes = _Homes()
    for load_id in sorted(proposal.loads, key=natural_key):
        if load_id in variant.placements:
            continue
        load = proposal.loads[load_id]
        module = _nearest(proposal, variant_id, load.zone, modules)
        if module is None:
            homes.homeless.append(Left(load_id, f"no module is in {load.zone or 'its zone'}, nor at a known distance"))
        elif proposal.settings.habit(load.drive).channels:
            homes.driven[load_id] = module
        else:
            homes.plain[load_id] = module
    return homes


def _nearest(proposal: Proposal, variant_id: str, zone: str, modules: tuple[str, ...]) -> str | None:
    """Return the module in a zone, else the nearest at a known distance; None where none is."""
    own = proposal.variants[variant_id].modules
    ranked = []
    for module in sorted(modules, key=natural_key):
        there = own[module].zone
        if there == zone and zone:
            return module
        for here, other in ((zone, there), (there, zone)):
            distance = proposal.zones[here].distance_m.get(other) if here in proposal.zones else None
            if distance is not None:
                ranked.append((distance, natural_key(module), module))
    return min(ranked)[2] if ranked else None
