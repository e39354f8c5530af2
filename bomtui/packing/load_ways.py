"""What of a module's loads may stand on which parts, by engine and rules: the ways from which a packing is posed."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from bomtui.engine.electrics import Electrics
from bomtui.model.finding import Finding
from bomtui.model.ids import natural_key
from bomtui.model.part import Part
from bomtui.model.proposal import Snapshot
from bomtui.model.quantity import display
from bomtui.packing.kept import Keep, Mark, counts_against, is_worse, mark, unsure
from bomtui.packing.probe import Answers, Asked, ask
from bomtui.packing.problem import Chip
from bomtui.packing.rooms import MICRO, Room, air_of, room_of, takes_of
from bomtui.packing.scope import Left, Scope

NOBODY = "no part drives it from such a side"
"""Why a load is not served where nothing else can be said."""


@dataclass(frozen=True, slots=True)
class LoadWays:
    """One load with what was found out of it.

    Attributes:
        load_id: The load.
        module: The module that serves it.
        ref: Reference of the driver that it is on now; empty where it is on none.
        ways: Per part: what a plan counts of it, what a bound counts, and whether it surely fits.
        nearest: The part that comes nearest where it does not fit, and why not; None where every part takes it.
    """

    load_id: str
    module: str
    ref: str
    ways: Mapping[str, tuple[tuple[int, ...], tuple[int, ...], bool]]
    nearest: Left | None

    @property
    def is_served(self) -> bool:
        """Whether a part surely serves it."""
        return any(sure for _, _, sure in self.ways.values())


class ModuleWays:
    """Asks engine and rules for the ways of the loads of one module after the other.

    Args:
        snapshot: Proposal and frozen parts.
        electrics: Currents and heat of the variant.
        findings: What the rules find of it.
        parts: Drivers with channels, by catalog key.
        keep: Which new findings a plan may not bring.

    Attributes:
        marks: What findings a load, a device or a part has already, by its place.
        open_rules: Rules that something unknown keeps open for loads that are served all the same.
    """

    def __init__(
        self,
        snapshot: Snapshot,
        electrics: Electrics,
        findings: Sequence[Finding],
        parts: Mapping[str, Part],
        keep: Keep,
    ) -> None:
        self.snapshot = snapshot
        self.electrics = electrics
        self.findings = findings
        self.parts = parts
        self.keep = keep
        self.marks = _marks(findings)
        self.open_rules: set[str] = set()

    def posed(self, place: int, scope: Scope, fresh: Sequence[str]) -> tuple[list[Chip], list[LoadWays]]:
        """Return the chips of a module, named by their parts, and its loads.

        Args:
            place: Number of the module.
            scope: Which of its drivers may change.
            fresh: Loads of it that no driver serves yet.
        """
        load_ids = sorted((*scope.loads, *fresh), key=natural_key)
        places = {load_id: scope.loads.get(load_id, "") for load_id in load_ids}
        answers = ask(self.snapshot, self.electrics.variant_id, scope.module, places, self.parts, scope.staying)
        air = air_of(self.electrics.air_degc[scope.module], self.electrics.assumed_air_degc[scope.module])
        rooms = {
            key: room_of(part, air, answers.own_w[key], self.snapshot.proposal.settings, self.keep)
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
                LoadWays(
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
                return f"{self.resource(index)} {needed}, has room for {has}"
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
            if counts_against(own, self.keep)
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

    def resource(self, index: int) -> str:
        """Return the name of a resource by its number: channels, then heat per mode, then conduction loss per mode."""
        if not index:
            return "channels"
        kind, mode = divmod(index - 1, len(self.electrics.awake))
        return f"{'conduction loss' if kind else 'heat'} in {self.electrics.awake[mode]}"


def _marks(findings: Sequence[Finding]) -> dict[str, frozenset[Mark]]:
    found: dict[str, set[Mark]] = {}
    for finding in findings:
        found.setdefault(finding.place, set()).add(mark(finding))
    return {place: frozenset(own) for place, own in found.items()}
