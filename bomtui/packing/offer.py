"""The packing problem of some modules of a variant, as engine and rules pose it."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from bomtui.engine.calc import PLAIN
from bomtui.engine.electrics import Electrics
from bomtui.engine.rollup import Computed
from bomtui.engine.separation import separations
from bomtui.model.finding import Finding
from bomtui.model.ids import natural_key
from bomtui.model.part import Part
from bomtui.model.proposal import Snapshot
from bomtui.model.quantity import display
from bomtui.packing.floors import ModuleNow, floors_of
from bomtui.packing.kept import Keep, Mark, counts_against, is_worse, mark, unsure
from bomtui.packing.prices import Priced
from bomtui.packing.probe import Answers, Asked, ask, drivers_of
from bomtui.packing.problem import (
    Alike,
    Chip,
    Filled,
    Floor,
    Packing,
    Problem,
    ProblemError,
    Way,
    checked_cost,
)
from bomtui.packing.rooms import MICRO, Room, air_of, room_of, takes_of, thinned
from bomtui.packing.scope import Left, Scope, scope_of, without

Aim = Literal["cost", "chips", "standby"]
"""What is made least: the rollup's cost, the number of driver devices, or standby current."""

NOBODY = "no part drives it from such a side"
"""Why a load is not served where nothing else can be said."""

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


@dataclass(frozen=True, slots=True)
class _LoadWays:
    """One load with what was found out of it: its ways by part, and where it is now."""

    load_id: str
    module: str
    ref: str
    ways: Mapping[str, tuple[tuple[int, ...], tuple[int, ...], bool]]
    nearest: Left | None

    @property
    def is_served(self) -> bool:
        """Whether a part surely serves it."""
        return any(sure for _, _, sure in self.ways.values())


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
        self.marks = self._marks()
        self.open_rules: set[str] = set()
        self.conditions: list[str] = ["every load that is packed stays in its module and on one device"]

    def _marks(self) -> dict[str, frozenset[Mark]]:
        """Return what findings a load, a device or a part has already, by its place."""
        found: dict[str, set[Mark]] = {}
        for finding in self.findings:
            found.setdefault(finding.place, set()).add(mark(finding))
        return {place: frozenset(own) for place, own in found.items()}

    def offer(self) -> Offer:
        posed = [self._settled(place, module_id) for place, module_id in enumerate(self.request.modules)]
        scopes = [scope for scope, _, _ in posed]
        removed = Counter(
            self.variant.modules[scope.module].devices[ref].part for scope in scopes for ref in scope.refs
        )
        chips = [chip for _, own, _ in posed for chip in own]
        loads = [own for _, _, there in posed for own in there]
        return self._assembled(scopes, removed, chips, loads)

    def _settled(self, place: int, module_id: str) -> tuple[Scope, list[Chip], list[_LoadWays]]:
        """Pose a module; a driver with a load that no part surely serves stays as it is."""
        findings = () if self.request.with_faulty else self.findings
        scope = scope_of(self.snapshot, self.variant_id, module_id, findings, self.request.keep)
        chips, loads = self._posed(place, scope)
        stuck = {own.ref: own for own in loads if own.ref and not own.is_served}
        if stuck:
            why = {ref: (own.nearest or Left(own.load_id, NOBODY)).why for ref, own in stuck.items()}
            scope = without(scope, {ref: f"{stuck[ref].load_id}: {text}" for ref, text in why.items()})
            chips, loads = self._posed(place, scope)
        return scope, chips, loads

    def _posed(self, place: int, scope: Scope) -> tuple[list[Chip], list[_LoadWays]]:
        """Return the chips of a module, named by their parts, and its loads."""
        fresh = [load_id for load_id, module in (self.request.fresh or {}).items() if module == scope.module]
        load_ids = sorted((*scope.loads, *fresh), key=natural_key)
        places = {load_id: scope.loads.get(load_id, "") for load_id in load_ids}
        answers = ask(self.snapshot, self.variant_id, scope.module, places, self.parts, scope.staying)
        air = air_of(self.electrics.air_degc[scope.module], self.electrics.assumed_air_degc[scope.module])
        rooms = {
            key: room_of(part, air, answers.own_w[key], self.snapshot.proposal.settings, self.request.keep)
            for key, part in self.parts.items()
        }
        by_load: dict[str, list[Asked]] = {}
        for asked in answers.asked:
            by_load.setdefault(asked.load_id, []).append(asked)
        loads = []
        for load_id in load_ids:
            ref = scope.loads.get(load_id, "")
            ways: dict[str, tuple[tuple[int, ...], tuple[int, ...], bool]] = {}
            nearest: list[tuple[int, Left]] = []
            for asked in by_load.get(load_id, []):
                against = self._against(asked, scope.module, ref, answers)
                if against:
                    nearest.append((len(against), Left(load_id, f"{asked.part}: {against[0].message}")))
                    continue
                up, down, sure = self._way(asked, scope.module, ref, rooms[asked.part], answers)
                over = self._over(rooms[asked.part], down)
                if over:
                    nearest.append((1, Left(load_id, f"{asked.part}: {over}")))
                    continue
                if not sure:
                    open_now = ", ".join(unsure(asked.findings, self._known(scope.module, ref, load_id)))
                    nearest.append((2, Left(load_id, f"{asked.part}: unknown is {open_now or 'its heat'}")))
                fits = all(own <= room for own, room in zip(up, rooms[asked.part].rooms, strict=True))
                ways[asked.part] = up, down, sure and fits
            loads.append(
                _LoadWays(
                    load_id,
                    scope.module,
                    ref,
                    ways,
                    min(nearest, key=lambda own: own[0])[1] if nearest else None,
                )
            )
        chips = []
        for key in self.parts:
            count = sum(key in own.ways for own in loads)
            if count:
                chips.append(Chip(key, place, 0, rooms[key].rooms, rooms[key].loosest, count))
        return chips, loads

    def _over(self, room: Room, least: tuple[int, ...]) -> str:
        """Say of what a load alone takes more than the chip has; nothing where it fits."""
        for index, (own, there) in enumerate(zip(least, room.loosest, strict=True)):
            if own > there:
                needed, has = (
                    value if not index else display(value / MICRO, "power", digits=3, unicode=False)
                    for value in (own, max(there, 0))
                )
                return f"{self._resource(index)} {needed}, has room for {has}"
        return ""

    def _known(self, module: str, ref: str, load_id: str) -> frozenset[Mark]:
        """Return what findings a load has where it is now, its device's included."""
        return frozenset(map(mark, self._found(module, ref, load_id)))

    def _found(self, module: str, ref: str, load_id: str) -> list[Finding]:
        """Return the findings of a load where it is now, those of its device included; none of one that is nowhere."""
        places = {load_id, f"{module}.{ref}"} if ref else ()
        return [finding for finding in self.findings if finding.place in places]

    def _against(self, asked: Asked, module: str, ref: str, answers: Answers) -> list[Finding]:
        known = self._found(module, ref, asked.load_id)
        of_part = [
            own
            for own in answers.part_findings[asked.part]
            if mark(own) not in self.marks.get(f"parts.{asked.part}", frozenset())
        ]
        return [
            own
            for own in (*asked.findings, *of_part)
            if counts_against(own, self.request.keep)
            and not any(mark(own) == mark(then) and not is_worse(own, then) for then in known)
        ]

    def _way(
        self, asked: Asked, module: str, ref: str, room: Room, answers: Answers
    ) -> tuple[tuple[int, ...], tuple[int, ...], bool]:
        known = self._known(module, ref, asked.load_id)
        up, down, is_known = takes_of(asked, room, answers.own_w[asked.part])
        open_now = {rule for rule, outcome in known if outcome == "undecided"}
        sure = not unsure(asked.findings, known) and (is_known or "heat.junction" in open_now)
        self.open_rules |= {own.rule for own in asked.findings if own.outcome == "undecided" and mark(own) in known}
        if not is_known and "heat.junction" in open_now:
            self.open_rules.add("heat.junction")
        if self.snapshot.proposal.loads[asked.load_id].exclusive_group:
            # Of loads that are never on together the largest counts: alone, each may be nothing.
            down = (down[0], *(0 for _ in down[1:]))
        return up, down, sure

    def _assembled(
        self, scopes: Sequence[Scope], removed: Mapping[str, int], chips: list[Chip], loads: Sequence[_LoadWays]
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
        places = {scope.module: place for place, scope in enumerate(scopes)}
        alike, apart, number_of = self._grouped(served, places, numbers, kept)
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
            tuple(sorted(self.open_rules)),
            tuple(dict.fromkeys(self.conditions)),
            self.parts,
            tuple(tuple(self._resource(index) for index in kept[chip.place, chip.name]) for chip in final),
            {"cost": self.snapshot.proposal.proposal.currency, "chips": "driver devices", "standby": "nA"}[
                self.request.aim
            ],
        )

    def _resource(self, index: int) -> str:
        """Return the name of a resource: channels, then heat per mode, then conduction loss per mode."""
        if not index:
            return "channels"
        kind, mode = divmod(index - 1, len(self.electrics.awake))
        return f"{'conduction loss' if kind else 'heat'} in {self.electrics.awake[mode]}"

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

    def _grouped(
        self,
        served: Sequence[_LoadWays],
        places: Mapping[str, int],
        numbers: Mapping[tuple[int, str], int],
        kept: Mapping[tuple[int, str], list[int]],
    ) -> tuple[tuple[Alike, ...], tuple[tuple[int, int], ...], dict[str, int]]:
        """Return loads by likeness, the pairs that are kept apart, and the number of each load."""
        enemies = self._enemies({own.load_id: own for own in served})
        groups: dict[tuple[int, tuple[Way, ...], frozenset[str]], list[str]] = {}
        for own in served:
            place = places[own.module]
            ways = tuple(
                Way(
                    numbers[place, key],
                    tuple(up[index] for index in kept[place, key]),
                    tuple(down[index] for index in kept[place, key]),
                    sure,
                )
                for key, (up, down, sure) in own.ways.items()
                if (place, key) in numbers
            )
            groups.setdefault((place, ways, enemies[own.load_id]), []).append(own.load_id)
        alike = tuple(Alike(tuple(loads), place, ways) for (place, ways, _), loads in groups.items())
        number_of = {load_id: number for number, own in enumerate(alike) for load_id in own.loads}
        apart = sorted(
            {tuple(sorted((number_of[one], number_of[other]))) for one, others in enemies.items() for other in others}
        )
        return alike, tuple((one, other) for one, other in apart), number_of

    def _enemies(self, served: Mapping[str, _LoadWays]) -> dict[str, frozenset[str]]:
        """Return which loads of its own module each load is kept apart from, as far as it is apart from them now."""
        pairs: list[tuple[str, str]] = [(own.primary, own.stand_in) for own in self.snapshot.proposal.pairs.values()]
        for separation in separations(self.snapshot.proposal):
            if separation.severity == "error" or (separation.severity == "warning" and self.request.keep == "warnings"):
                pairs += [(one, other) for one in separation.loads for other in separation.others]
        found: dict[str, set[str]] = {load_id: set() for load_id in served}
        for one, other in pairs:
            first, second = served.get(one), served.get(other)
            if first is None or second is None or one == other or first.module != second.module:
                continue
            if first.ref and first.ref == second.ref:
                self.conditions.append(f"{one} and {other} are on one device now and may stay so")
                continue
            found[one].add(other)
            found[other].add(one)
        return {load_id: frozenset(own) for load_id, own in found.items()}

    def _floors(self, scopes: Sequence[Scope], chips: Sequence[Chip]) -> tuple[Floor, ...]:
        limits = self.snapshot.proposal.settings.limits
        floors: list[Floor] = []
        for place, scope in enumerate(scopes):
            module = ModuleNow(
                self.computed.result.modules[scope.module],
                self.marks.get(scope.module, frozenset()) | self._controller_marks(scope.module),
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
        return frozenset(own for place, marks in self.marks.items() if place.startswith(head) for own in marks)

    def _now(
        self,
        problem: Problem,
        scopes: Sequence[Scope],
        served: Sequence[_LoadWays],
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
