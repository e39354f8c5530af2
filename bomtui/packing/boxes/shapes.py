"""A way to make modules one with all that can be chosen in it, and a plan for each choice."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal

from bomtui.edit.edit import Edit, Refusal, apply
from bomtui.edit.edits.device import SwapDevice
from bomtui.edit.edits.field import SetField
from bomtui.edit.edits.group import Group
from bomtui.edit.edits.merge import MergeModules
from bomtui.edit.edits.part import FreezePart
from bomtui.engine.rollup import Computed, rollup
from bomtui.engine.software import Software
from bomtui.model.bound import Value
from bomtui.model.part import Part
from bomtui.model.proposal import Snapshot
from bomtui.model.variant import Device, Module
from bomtui.packing.boxes.controllers import Asked, Fitting, Ground, candidates, fitting
from bomtui.packing.boxes.housing import Case, board_area, case_edits, cases_of
from bomtui.packing.boxes.union import Way, controllers_of, main_controller, union_edit
from bomtui.packing.boxes.unit_prices import UnitPrices


@dataclass(frozen=True, slots=True)
class Basis:
    """What plans start from.

    Attributes:
        computed: The variant as it is.
        parts: Parts to choose from and frozen ones, by catalog key.
        prices: Unit prices, by which choices are ordered.
    """

    computed: Computed
    parts: Mapping[str, Part]
    prices: UnitPrices

    @property
    def snapshot(self) -> Snapshot:
        """Proposal and frozen parts."""
        return self.computed.snapshot

    @property
    def variant(self) -> str:
        """Id of the variant."""
        return self.computed.result.variant

    def modules(self) -> Mapping[str, Module]:
        """Return its modules."""
        return self.snapshot.proposal.variants[self.variant].modules


@dataclass(frozen=True, slots=True)
class Shape:
    """A way, and what can be chosen in it.

    Attributes:
        way: The way.
        union: The edit that puts the modules together.
        moved: New address of every device that stays, by its address now.
        main: Controller that takes the software of all; empty where each keeps its own.
        controllers: What may stand there, those with reserve first, then the cheapest first.
        cases: Housing and board, likewise.
        whole: The module that comes of it before anything is chosen.
    """

    way: Way
    union: MergeModules
    moved: Mapping[str, str]
    main: str
    controllers: tuple[Fitting, ...]
    cases: tuple[Case, ...]
    whole: Module


@dataclass(frozen=True, slots=True)
class Plan:
    """A way with its choices.

    Attributes:
        way: The way.
        controller: Catalog key of the controller that takes the software of all; empty where each keeps its own.
        case: Housing and board.
        edit: All of it as one step.
        moved: New address of every device that stays, by its address now.
        saving: What a vehicle costs less; below 0 where it costs more.
        computed: The variant after it.
    """

    way: Way
    controller: str
    case: Case
    edit: Edit
    moved: Mapping[str, str]
    saving: Decimal
    computed: Computed


def shape_of(basis: Basis, way: Way) -> Shape | tuple[Ground, ...]:
    """Return what can be chosen in a way, or the fewest grounds against it; none where it is another way as well."""
    union = union_edit(basis.snapshot, basis.variant, way)
    if not way.shares and union == union_edit(basis.snapshot, basis.variant, _sharing(way)):
        return ()
    joined = apply(union, basis.snapshot)
    if isinstance(joined, Refusal):
        return (Ground(joined.sentence, "merging", 1.0, 1.0),)
    modules = basis.modules()
    taken = _taken(basis, way, union)
    if way.is_one and len(taken) < len(way.others):
        # Where a controller stays, that is the way in which each does.
        return ()
    main = main_controller(modules[way.into], basis.parts) if way.is_one else ""
    controllers: tuple[Fitting, ...] = (_EACH,)
    if way.is_one:
        own = (f"{way.into}.{main}", modules[way.into].devices[main])
        asked = Asked(joined, basis.variant, way.into, main, (own, *taken), basis.parts)
        tried = [fitting(asked, key) for key in basis.prices.cheapest_first(candidates(asked))]
        controllers = tuple(sorted((own for own in tried if not own.grounds), key=lambda own: not own.has_reserve))
        if not controllers:
            return _nearest(tried)
    whole = joined.proposal.variants[basis.variant].modules[way.into]
    boards = {module_id: board_area(modules[module_id], basis.parts) for module_id in way.modules}
    cases, ground = cases_of(whole, boards, basis.parts, basis.prices)
    if ground is not None:
        return (ground,)
    return Shape(way, union, union.staying(basis.snapshot), main, controllers, cases, whole)


def plan_of(basis: Basis, shape: Shape, controller: Fitting, case: Case) -> Plan | Ground:
    """Work out one choice: its edit, and what the rollup says of it; or why it cannot be done."""
    edit = Group(edits=tuple(_edits(basis, shape, controller, case)), words=shape.union.label)
    after = apply(edit, basis.snapshot)
    if isinstance(after, Refusal):
        return Ground(after.sentence, "merging", 1.0, 1.0)
    computed = rollup(after, basis.variant, basis.computed)
    now, then = basis.computed.result.cost.total, computed.result.cost.total
    if then.unknown > now.unknown:
        return Ground("what it costs would not be known", "merging", 1.0, 1.0)
    return Plan(shape.way, controller.part, case, edit, shape.moved, now.amount - then.amount, computed)


_EACH = Fitting("", (), has_reserve=True, software=Software(None, None, None))


def _sharing(way: Way) -> Way:
    return Way(way.into, way.others, way.is_one, shares=True)


def _taken(basis: Basis, way: Way, union: MergeModules) -> list[tuple[str, Device]]:
    modules = basis.modules()
    return [
        (f"{module_id}.{ref}", modules[module_id].devices[ref])
        for module_id in way.others
        for ref in controllers_of(modules[module_id], basis.parts)
        if f"{module_id}.{ref}" in union.going
    ]


def _nearest(tried: list[Fitting]) -> tuple[Ground, ...]:
    """Return the grounds against the controller that comes nearest."""
    if not tried:
        return (Ground("no controller has a price and the same supply", "controllers", 1.0, 1.0),)
    own = min(tried, key=lambda own: (len(own.grounds), max(ground.share for ground in own.grounds)))
    first, *rest = own.grounds
    return (Ground(f"on {own.part}, which comes nearest: {first.words}", first.name, first.short, first.share), *rest)


def _edits(basis: Basis, shape: Shape, controller: Fitting, case: Case) -> Iterator[Edit]:
    into, variant = shape.way.into, basis.variant
    for key in (controller.part, case.housing, case.board):
        if key and key not in basis.snapshot.parts:
            yield FreezePart(key=key, part=basis.parts[key])
    yield shape.union
    if shape.main:
        if shape.whole.devices[shape.main].part != controller.part:
            yield SwapDevice(variant=variant, module_id=into, ref=shape.main, part=controller.part)
        yield from software_edits(f"variants.{variant}.modules.{into}.devices.{shape.main}", controller.software)
    yield from case_edits(variant, into, shape.whole, case, basis.parts)


def software_edits(place: str, software: Software) -> Iterator[Edit]:
    """Yield what writes into a controller what software takes of it; what is not wholly known is unknown."""
    needs = {
        "flash_need": software.flash_byte,
        "ram_need": software.ram_byte,
        "core_load": software.core_load_ratio,
    }
    for field, value in needs.items():
        yield SetField(place=f"{place}.{field}", value=_exact(value))


def _exact(value: Value) -> float | None:
    return value if isinstance(value, float) else None
