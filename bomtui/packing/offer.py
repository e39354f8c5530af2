"""The packing problem of some modules of a variant, as engine and rules pose it."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from bomtui.engine.calc import PLAIN
from bomtui.engine.electrics import Electrics
from bomtui.engine.rollup import Computed
from bomtui.model.finding import Finding
from bomtui.model.ids import natural_key
from bomtui.model.part import Part
from bomtui.model.proposal import Snapshot
from bomtui.packing.alike import Numbered, enemies_of, grouped
from bomtui.packing.floors import ModuleNow, floors_of
from bomtui.packing.kept import Keep, Mark
from bomtui.packing.load_ways import NOBODY, LoadWays, ModuleWays
from bomtui.packing.prices import Priced
from bomtui.packing.probe import drivers_of
from bomtui.packing.problem import (
    Chip,
    Filled,
    Floor,
    Packing,
    Problem,
    ProblemError,
    checked_cost,
)
from bomtui.packing.rooms import thinned
from bomtui.packing.scope import Left, Scope, scope_of, without

Aim = Literal["cost", "chips", "standby"]
"""What is made least: the rollup's cost, the number of driver devices, or standby current."""

NANO = 10**9
"""Steps of an ampere of standby current."""


@dataclass(frozen=True, slots=True)
class Offer:
    """A packing problem with what it means.

    Attributes:
        problem: The problem in whole numbers.
        modules: Module of each place.
        start: The variant as it is, as a packing; None where it is none by the rules that are kept.
        now: The drivers that may change as they are, whatever speaks against them.
        at: Their addresses.
        zones: Zone of each module.
        refs: References of the drivers that may change, per module.
        left: What stays as it is, and why.
        unserved: Loads that no part serves by the rules that are kept, and the reason of the part that comes nearest.
        open_rules: Rules that something unknown keeps open for loads that are served all the same.
        conditions: What the problem takes for granted beside its parts and rules.
        parts: Parts that it may use, by catalog key.
        resources: Names of the resources of each chip.
        unit: What its costs are counted in: the currency, `driver devices`, `nA`.
    """

    problem: Problem
    modules: tuple[str, ...]
    start: Packing | None
    now: Packing
    at: tuple[str, ...]
    zones: Mapping[str, str]
    refs: Mapping[str, tuple[str, ...]]
    left: tuple[Left, ...]
    unserved: tuple[Left, ...]
    open_rules: tuple[str, ...]
    conditions: tuple[str, ...]
    parts: Mapping[str, Part]
    resources: tuple[tuple[str, ...], ...]
    unit: str


@dataclass(frozen=True, slots=True)
class Request:
    """What is to be packed.

    Attributes:
        modules: Modules whose loads are packed, each within itself.
        keep: Which new findings a plan may not bring.
        aim: What is made least.
        fresh: Loads that no driver serves yet, each with the module that is to serve it.
        with_faulty: Take in drivers that have findings of their own too, to say why they do not become fewer.
    """

    modules: tuple[str, ...]
    keep: Keep = "warnings"
    aim: Aim = "cost"
    fresh: Mapping[str, str] | None = None
    with_faulty: bool = False


def offer_of(computed: Computed, findings: Sequence[Finding], parts: Mapping[str, Part], request: Request) -> Offer:
    """Pose the packing problem of some modules of a variant.

    Args:
        computed: The variant as it is.
        findings: What the rules find of it.
        parts: Parts of which devices may be made, by catalog key; a frozen part keeps its frozen data.
        request: What is to be packed.
    """
    return _Posing(computed, findings, {**parts, **computed.snapshot.parts}, request).offer()


class _Posing:
    def __init__(
        self, computed: Computed, findings: Sequence[Finding], parts: Mapping[str, Part], request: Request
    ) -> None:
        self.computed = computed
        self.snapshot: Snapshot = computed.snapshot
        self.variant_id = computed.result.variant
        self.variant = self.snapshot.proposal.variants[self.variant_id]
        self.findings = findings
        self.parts = {key: part for key, part in drivers_of(parts).items() if part.channels}
        self.request = request
        self.electrics = Electrics(self.snapshot, self.variant_id, computed.serving, outputs=computed.modules)
        self.ways = ModuleWays(self.snapshot, self.electrics, findings, self.parts, request.keep)
        self.conditions: list[str] = ["every load that is packed stays in its module and on one device"]

    def offer(self) -> Offer:
        posed = [self._settled(place, module_id) for place, module_id in enumerate(self.request.modules)]
        scopes = [scope for scope, _, _ in posed]
        removed = Counter(
            self.variant.modules[scope.module].devices[ref].part for scope in scopes for ref in scope.refs
        )
        chips = [chip for _, own, _ in posed for chip in own]
        loads = [own for _, _, there in posed for own in there]
        return self._assembled(scopes, removed, chips, loads)

    def _settled(self, place: int, module_id: str) -> tuple[Scope, list[Chip], list[LoadWays]]:
        """Pose a module; a driver with a load that no part surely serves stays as it is."""
        findings = () if self.request.with_faulty else self.findings
        scope = scope_of(self.snapshot, self.variant_id, module_id, findings, self.request.keep)
        fresh = [load_id for load_id, module in (self.request.fresh or {}).items() if module == module_id]
        chips, loads = self.ways.posed(place, scope, fresh)
        stuck = {own.ref: own for own in loads if own.ref and not own.is_served}
        if stuck:
            why = {ref: (own.nearest or Left(own.load_id, NOBODY)).why for ref, own in stuck.items()}
            scope = without(scope, {ref: f"{stuck[ref].load_id}: {text}" for ref, text in why.items()})
            chips, loads = self.ways.posed(place, scope, fresh)
        return scope, chips, loads

    def _assembled(
        self, scopes: Sequence[Scope], removed: Mapping[str, int], chips: list[Chip], loads: Sequence[LoadWays]
    ) -> Offer:
        priced = Priced(self.computed, removed, self.parts)
        most: dict[str, int] = {}
        for chip in chips:
            most[chip.name] = most.get(chip.name, 0) + chip.most
        tables: dict[str, tuple[int, ...]] = {}
        for key, count in most.items():
            table = self._table(key, count, priced)
            if table is None:
                self.conditions.append(f"{key} has no price and is not among the parts")
            else:
                tables[key] = table
        keys = sorted(tables, key=natural_key)
        served = [own for own in loads if any(key in tables and sure for key, (_, _, sure) in own.ways.items())]
        left_out = [own for own in loads if own not in served]
        final: list[Chip] = []
        numbers: dict[tuple[int, str], int] = {}
        kept: dict[tuple[int, str], list[int]] = {}
        for chip in chips:
            if chip.name not in tables:
                continue
            takes = [
                own.ways[chip.name][0]
                for own in served
                if own.module == scopes[chip.place].module and chip.name in own.ways
            ]
            kept[chip.place, chip.name] = thinned(chip.rooms, takes)
            numbers[chip.place, chip.name] = len(final)
            rooms, loosest = (
                tuple(own[index] for index in kept[chip.place, chip.name]) for own in (chip.rooms, chip.loosest)
            )
            final.append(Chip(chip.name, chip.place, keys.index(chip.name), rooms, loosest, chip.most))
        enemies, granted = enemies_of(self.snapshot.proposal, served, self.request.keep)
        self.conditions += granted
        places = {scope.module: place for place, scope in enumerate(scopes)}
        alike, apart, number_of = grouped(served, enemies, Numbered(places, numbers, kept))
        floors = self._floors(scopes, final)
        problem = Problem(
            tuple(scope.module for scope in scopes),
            tuple(final),
            alike,
            apart,
            tuple(tables[key] for key in keys),
            floors,
        )
        left = tuple(own for scope in scopes for own in scope.left)
        unserved = tuple(own.nearest or Left(own.load_id, NOBODY) for own in left_out)
        now, at, is_whole = self._now(problem, scopes, served, number_of, numbers)
        start = now if is_whole and not left_out and not self.request.fresh else None
        if start is not None:
            try:
                checked_cost(problem, start)
            except ProblemError:
                start = None
        return Offer(
            problem,
            problem.places,
            start,
            now,
            at,
            {scope.module: self.variant.modules[scope.module].zone for scope in scopes},
            {scope.module: scope.refs for scope in scopes},
            left,
            unserved,
            tuple(sorted(self.ways.open_rules)),
            tuple(dict.fromkeys(self.conditions)),
            self.parts,
            tuple(tuple(self.ways.resource(index) for index in kept[chip.place, chip.name]) for chip in final),
            {"cost": self.snapshot.proposal.proposal.currency, "chips": "driver devices", "standby": "nA"}[
                self.request.aim
            ],
        )

    def _table(self, key: str, most: int, priced: Priced) -> tuple[int, ...] | None:
        money = priced.table(key, most)
        if money is None or self.request.aim == "cost":
            return money
        if self.request.aim == "chips":
            return tuple(range(most + 1))
        upper = self.parts[key].standby_current_a.upper
        if upper is None:
            return None
        one = PLAIN.total(("standby",), (upper,))
        return tuple(count * round(one * NANO) for count in range(most + 1)) if isinstance(one, float) else None

    def _floors(self, scopes: Sequence[Scope], chips: Sequence[Chip]) -> tuple[Floor, ...]:
        limits = self.snapshot.proposal.settings.limits
        floors: list[Floor] = []
        for place, scope in enumerate(scopes):
            module = ModuleNow(
                self.computed.result.modules[scope.module],
                self.ways.marks.get(scope.module, frozenset()) | self._controller_marks(scope.module),
                [self.snapshot.parts[self.variant.modules[scope.module].devices[ref].part] for ref in scope.refs],
                sum(len(self.variant.placements[load_id].on) for load_id in scope.loads),
            )
            is_strict = self.request.keep == "warnings" and not self.request.fresh
            own = [(index, self.parts[chip.name]) for index, chip in enumerate(chips) if chip.place == place]
            floors += floors_of(module, place, own, len(chips), limits, with_reserve=is_strict)
        return tuple(floors)

    def _controller_marks(self, module_id: str) -> frozenset[Mark]:
        """Return the marks of a module's devices, among them the controllers of which its pins are said."""
        head = f"{module_id}."
        return frozenset(own for place, marks in self.ways.marks.items() if place.startswith(head) for own in marks)

    def _now(
        self,
        problem: Problem,
        scopes: Sequence[Scope],
        served: Sequence[LoadWays],
        number_of: Mapping[str, int],
        numbers: Mapping[tuple[int, str], int],
    ) -> tuple[Packing, tuple[str, ...], bool]:
        """Return the drivers that may change as they are, their addresses, and whether they serve all their loads."""
        on: dict[tuple[str, str], list[str]] = {}
        for own in served:
            on.setdefault((own.module, own.ref), []).append(own.load_id)
        packing, at, is_whole = [], [], True
        for place, scope in enumerate(scopes):
            for ref in scope.refs:
                chip = numbers.get((place, self.variant.modules[scope.module].devices[ref].part))
                load_ids = on.get((scope.module, ref), [])
                loads = []
                for load_id in load_ids:
                    ways = problem.alike[number_of[load_id]].ways
                    way = next((index for index, own in enumerate(ways) if own.chip == chip), None)
                    if way is not None:
                        loads.append((number_of[load_id], way))
                is_whole = is_whole and len(loads) == len(load_ids)
                if chip is not None:
                    packing.append(Filled(chip, tuple(sorted(loads))))
                    at.append(f"{scope.module}.{ref}")
        return tuple(packing), tuple(at), is_whole
