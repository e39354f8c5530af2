"""Whether some modules become one: every way in which they could, judged by rollup and rules, or why none is left."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from itertools import product

from bomtui.edit.edit import Edit, Refusal
from bomtui.edit.edits.group import Group
from bomtui.engine.rollup import Computed
from bomtui.model.finding import Finding, Review
from bomtui.model.part import Part
from bomtui.packing.boxes.controllers import Ground
from bomtui.packing.boxes.shapes import Basis, Plan, Shape, plan_of, shape_of
from bomtui.packing.boxes.union import Way, ways_of
from bomtui.packing.boxes.unit_prices import UnitPrices
from bomtui.packing.check import Checked, Moved, checked
from bomtui.packing.kept import Keep

TRIES = 24
"""How many plans of one set of modules the rules are asked about: a limit of work."""
OF_THE_PLACE = frozenset(("bus.outside", "fuse.wire"))
"""Rules whose verdict hangs on the place of the module alone: no controller and no housing changes it."""
SAFETY = frozenset(("standin", "separation", "safety"))
"""Subjects of rules of which a merge brings no new failure, not even a warning."""
MOST_SAID = 2
"""How many findings a reason names."""


@dataclass(frozen=True, slots=True)
class United:
    """Modules that become one with a saving.

    Attributes:
        plan: How.
        checked: What engine and rules say of it.
        separate: Why each keeps its controller; empty where one takes the software of all, or could.
        further: The same in the housing that saves more, where a layout decides whether the boards fit it; None where
            there is none that rules accept.
    """

    plan: Plan
    checked: Checked
    separate: str
    further: Plan | None


@dataclass(frozen=True, slots=True)
class Apart:
    """Modules that do not become one.

    Attributes:
        modules: The modules.
        reason: Why not, with the numbers.
        short: What is short, by name.
        is_proved: Whether nothing else was left to try.
    """

    modules: tuple[str, ...]
    reason: str
    short: Mapping[str, float]
    is_proved: bool = True


class Merger:
    """Tries sets of modules of one variant.

    Args:
        computed: The variant as it is.
        known: Its review.
        parts: Parts to choose controllers and housings from beside the frozen ones, by catalog key.
        keep: Which new findings of kept rules speak against a plan; every new error does.
    """

    def __init__(self, computed: Computed, known: Review, parts: Mapping[str, Part], keep: Keep) -> None:
        every = {**parts, **computed.snapshot.parts}
        self.basis = Basis(computed, every, UnitPrices(computed, every))
        self.known = known
        self.keep = keep

    def united(self, modules: Sequence[str], is_wanted: Callable[[], bool] = lambda: True) -> United | Apart:
        """Make some modules one in the cheapest way that the rules accept, or say why not.

        Args:
            modules: At least two of them.
            is_wanted: Asked now and then whether to go on.
        """
        return _Search(self, tuple(modules)).best(is_wanted)

    def judged(self, plans: Sequence[Plan]) -> Checked | Refusal:
        """Ask engine and rules about plans that have no module in common, done together."""
        return checked(self.basis.computed, self.known, together(plans), self.keep, moved=moved_by(plans))


def moved_by(plans: Sequence[Plan]) -> Moved:
    """Return where the subjects of findings are after plans that have no module in common."""
    home = {other: plan for plan in plans for other in plan.way.others}

    def moved(place: str) -> str | None:
        head, point, rest = place.partition(".")
        plan = home.get(head)
        if plan is None:
            return place
        if not point:
            return plan.way.into
        ref, _, channel = rest.partition(".")
        device = plan.moved.get(f"{head}.{ref}")
        return f"{device}.{channel}" if device and channel else device

    return moved


def together(plans: Sequence[Plan]) -> Edit:
    """Return plans that have no module in common as one step."""
    if len(plans) == 1:
        return plans[0].edit
    words = "; ".join(plan.edit.label for plan in plans)
    return Group(edits=tuple(plan.edit for plan in plans), words=words)


class _Search:
    """Plans of one set of modules, the one that saves most first."""

    def __init__(self, merger: Merger, modules: tuple[str, ...]) -> None:
        self.merger = merger
        self.modules = modules
        self.plans: list[tuple[Plan, bool]] = []
        self.grounds: list[tuple[Ground, ...]] = []
        self.against_one: list[tuple[Ground, ...]] = []
        self.refused: list[tuple[Plan, tuple[Finding, ...]]] = []

    def best(self, is_wanted: Callable[[], bool]) -> United | Apart:
        """Return the first plan that the rules accept, or why there is none."""
        for way in ways_of(self.modules):
            self._add_plans(way, is_wanted)
        saving = [(plan, has_reserve) for plan, has_reserve in self.plans if plan.saving > 0]
        # What takes nothing for granted and keeps its reserves goes first; of these what saves most. Where only errors
        # are kept off, reserves weigh nothing.
        leaves = self.merger.keep == "errors"
        saving.sort(key=lambda own: (bool(own[0].case.condition), not (own[1] or leaves), -own[0].saving))
        hopeless: set[Way] = set()
        judged = 0
        for plan, _ in saving:
            if plan.way in hopeless:
                continue
            if judged == TRIES or not is_wanted():
                return self._apart(is_proved=False)
            judged += 1
            after = self.merger.judged((plan,))
            if isinstance(after, Refusal):
                self.grounds.append((Ground(after.sentence, "merging", 1.0, 1.0),))
                continue
            said = against(after)
            if not said:
                return United(plan, after, self._separate(plan), self._further(plan))
            self.refused.append((plan, said))
            if any(own.rule in OF_THE_PLACE for own in said):
                hopeless.add(plan.way)
        return self._apart(is_proved=is_wanted())

    def _add_plans(self, way: Way, is_wanted: Callable[[], bool]) -> None:
        """Work out every choice of a way: prices fall by quantity, so none can be left out unseen."""
        shape = shape_of(self.merger.basis, way)
        if not isinstance(shape, Shape):
            if shape:
                self.grounds.append(shape)
                if way.is_one:
                    self.against_one.append(shape)
            return
        for controller, case in product(shape.controllers, shape.cases):
            if not is_wanted():
                return
            plan = plan_of(self.merger.basis, shape, controller, case)
            if isinstance(plan, Ground):
                self.grounds.append((plan,))
            else:
                self.plans.append((plan, controller.has_reserve))

    def _further(self, plan: Plan) -> Plan | None:
        """Return the same in a housing that saves more where something is taken for granted, if rules accept it."""
        like = [own for own, _ in self.plans if (own.way, own.controller) == (plan.way, plan.controller)]
        best = max(like, key=lambda own: own.saving)
        if best.saving <= plan.saving or not best.case.condition:
            return None
        after = self.merger.judged((best,))
        return None if isinstance(after, Refusal) or against(after) else best

    def _separate(self, plan: Plan) -> str:
        """Return why each keeps its controller in a plan; nothing where one takes all, or rules speak against it."""
        if plan.controller:
            return ""
        scarce = [own for own, has_reserve in self.plans if own.controller and not has_reserve]
        if not scarce:
            return _said(_nearest(self.against_one))
        best = max(scarce, key=lambda own: own.saving)
        return f"{best.controller} could take the software of all, but leaves less in reserve than is asked"

    def _apart(self, *, is_proved: bool) -> Apart:
        if self.refused:
            plan, findings = min(self.refused, key=lambda own: (len({one.rule for one in own[1]}), -own[0].saving))
            said = list({own.rule: own for own in findings}.values())
            words = "; ".join(f"{own.rule}: {own.message}" for own in said[:MOST_SAID])
            more = f"; {len(said) - MOST_SAID} more" if len(said) > MOST_SAID else ""
            short = {own.rule: float(sum(one.rule == own.rule for one in findings)) for own in said}
            return Apart(self.modules, f"{self._where(plan)}: {words}{more}", short, is_proved)
        if self.plans:
            plan = max((plan for plan, _ in self.plans), key=lambda own: own.saving)
            return Apart(self.modules, self._no_saving(plan), {"no saving": float(-plan.saving)}, is_proved)
        grounds = _nearest(self.grounds)
        words = _said(grounds) or "there is nothing that could become one"
        return Apart(self.modules, words, {own.name: own.short for own in grounds}, is_proved)

    def _where(self, plan: Plan) -> str:
        zone = self.merger.basis.modules()[plan.way.into].zone
        head = f"{plan.controller} for all" if plan.controller else "each with its controller"
        return f"in {plan.way.into} ({zone}), {head}"

    def _no_saving(self, plan: Plan) -> str:
        now, then = (own.result.cost.elements for own in (self.merger.basis.computed, plan.computed))
        currency = self.merger.basis.snapshot.proposal.proposal.currency
        changes = {name: then[name].amount - now[name].amount for name in now}
        said = ", ".join(f"{name} {change:+f}" for name, change in changes.items() if change)
        board = f", {plan.case.area.normalize():f} dm2 of {plan.case.board}" if plan.case.board else ""
        return f"no saving: {self._where(plan)}{board}, it costs {-plan.saving:f} {currency} more ({said})"


def _nearest(grounds: Sequence[tuple[Ground, ...]]) -> tuple[Ground, ...]:
    """Return what comes nearest to going away; nothing where there is nothing."""
    return min(grounds, key=lambda own: (len(own), max(one.share for one in own)), default=())


def _said(grounds: Sequence[Ground]) -> str:
    return "; ".join(own.words for own in grounds)


def against(after: Checked) -> tuple[Finding, ...]:
    """Return what speaks against a plan: what its judge says, and whatever is lost of safety."""
    lost = (own for own in after.added if own.outcome == "failed" and own.rule.partition(".")[0] in SAFETY)
    return (*after.against, *(own for own in lost if own not in after.against and own.severity != "hint"))
