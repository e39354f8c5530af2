"""Controllers, companions and families: what chips beside the drivers could go or be cheaper, and why not more.

    found = cheaper_chips(reviewed, ("ZCEN",))
    found.changes       # each by itself: what goes and comes, what it saves by the rollup, what it newly breaks
    found.blocked       # what would save and may not, or why nothing saves

Every change is done on a copy of the proposal; the saving is the rollup's, and rules alone say what speaks against it.
What no rule judges is said beside it as unsure.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from bomtui.edit.edit import Edit, Refusal, apply
from bomtui.edit.edits.group import Group
from bomtui.engine.rollup import rollup
from bomtui.model.finding import Finding
from bomtui.model.part import Part
from bomtui.model.proposal import Snapshot
from bomtui.model.rollup import Figure, Rollup
from bomtui.packing.blockers import NO_SAVING, Blocked
from bomtui.packing.check import Checked, checked
from bomtui.packing.chips.all import candidates
from bomtui.packing.chips.candidate import Candidate, ChipKind
from bomtui.packing.chips.controllers import CONTROLLER
from bomtui.packing.chips.families import JUDGED_KINDS
from bomtui.packing.kept import Keep, is_worse
from bomtui.rules.context import Rule
from bomtui.rules.memo import Memo
from bomtui.rules.registry import RULES
from bomtui.services.editing import with_parts
from bomtui.services.present import amount_text
from bomtui.services.review import Reviewed

FIRST_ASKED = (
    "pins.short", "reserve.pins", "rail.many", "rail.missing", "node.misfit", "rail.load", "reserve.memory",
)  # fmt: skip
"""Rules that most often speak against another chip: asked first, so that the others need not be asked as well."""

CHIP_KINDS = frozenset((CONTROLLER, *JUDGED_KINDS))
"""Kinds of part to ask the catalog for; a memory stays of those that are frozen."""

NEVER_WORSE = frozenset(("pins.short", "reserve.pins", "reserve.memory", "rail.load", "rail.many"))
"""Rules of which a finding that is there already may not become worse either."""

_FIRST_RULES = tuple(rule for rule in RULES if rule.name in FIRST_ASKED)


@dataclass(frozen=True, slots=True)
class ChipChange:
    """A change of chips that saves money.

    Attributes:
        kind: What sort of change it is.
        about: What it is about; of several changes about the same one is taken.
        module: The module; empty where it reaches over several.
        what: What goes and what comes, in words.
        saving: What a vehicle costs less.
        pieces: Chips fewer.
        standby_a: Standby current now and after.
        added: Findings that it newly brings.
        cleared: Findings that it clears.
        unsure: What no rule judges, or could decide, one phrase each.
        edit: It alone as one step.
    """

    kind: ChipKind
    about: str
    module: str
    what: str
    saving: Decimal
    pieces: int
    standby_a: tuple[Figure, Figure]
    added: tuple[Finding, ...]
    cleared: tuple[Finding, ...]
    unsure: tuple[str, ...]
    edit: Edit


@dataclass(frozen=True, slots=True)
class CheaperChips:
    """What was found.

    Attributes:
        changes: What saves money and may be taken, the largest saving first.
        blocked: What does not, and why.
    """

    changes: tuple[ChipChange, ...]
    blocked: tuple[Blocked, ...]


@dataclass(frozen=True, slots=True)
class _Tried:
    """A candidate with what the rollup says of it."""

    candidate: Candidate
    edit: Edit
    after: Rollup
    saving: Decimal


def cheaper_chips(
    reviewed: Reviewed,
    modules: tuple[str, ...],
    keep: Keep = "warnings",
    parts: Mapping[str, Part] | None = None,
    is_wanted: Callable[[], bool] = lambda: True,
) -> CheaperChips:
    """Look for controllers, companions and families that cost less.

    Args:
        reviewed: The variant, computed and reviewed.
        modules: Modules that may change.
        keep: Which new findings no change may bring: of any rule.
        parts: Parts of which chips may be made beside the frozen ones, by catalog key.
        is_wanted: Asked now and then whether to go on; what is found so far is returned in any case.
    """
    return _Searching(reviewed, keep, {} if parts is None else parts, is_wanted).found(modules)


class _Searching:
    def __init__(
        self, reviewed: Reviewed, keep: Keep, parts: Mapping[str, Part], is_wanted: Callable[[], bool]
    ) -> None:
        self.review = reviewed.review
        self.keep = keep
        self.parts = parts
        self.is_wanted = is_wanted
        self.memo = reviewed.computed.memo
        self.snapshot = reviewed.computed.opened.snapshot
        self.variant = reviewed.computed.variant
        self.currency = self.snapshot.proposal.proposal.currency
        self.blocked: list[Blocked] = []
        self._answers, self._first_answers = Memo(), Memo()

    def found(self, modules: tuple[str, ...]) -> CheaperChips:
        by_about: dict[tuple[str, str], list[Candidate]] = {}
        for candidate in candidates(self.snapshot, self.variant, modules, self.parts):
            by_about.setdefault((candidate.kind, candidate.about), []).append(candidate)
        changes: list[ChipChange] = []
        for group in by_about.values():
            if not self.is_wanted():
                break
            changes += self._best(group)
        ordered = sorted(changes, key=lambda own: (-own.saving, own.about, own.what))
        return CheaperChips(tuple(ordered), tuple(self.blocked))

    def _best(self, group: list[Candidate]) -> list[ChipChange]:
        """Return the change of a group that saves most, and the best of which everything is sure beside it."""
        tried = sorted(filter(None, map(self._tried, group)), key=lambda own: -own.saving)
        found: list[ChipChange] = []
        for own in tried:
            if own.saving <= 0 or not self.is_wanted():
                break
            change = self._judged(own)
            if change is not None and not (found and change.unsure):
                found.append(change)
                if not change.unsure:
                    break
        # Where a part is asked about in the whole variant too, that it does not pay in one module is nothing new.
        if tried and tried[0].saving <= 0 and not tried[0].candidate.is_share:
            self._without_saving(tried[0])
        return found

    def _tried(self, candidate: Candidate) -> _Tried | None:
        """Compute a candidate; None where it cannot be done, or no price is known."""
        offered = {**self.parts, **self.snapshot.parts}
        used = {key: offered[key] for key in candidate.parts}
        edit = with_parts(self.snapshot, Group(edits=candidate.edits, words=candidate.what), used)
        snapshot = apply(edit, self.snapshot)
        if isinstance(snapshot, Refusal):
            self.blocked.append(Blocked(candidate.what, "", snapshot.sentence, {}))
            return None
        after = rollup(snapshot, self.variant, self.memo).result
        now = self.memo.result
        if after.cost.total.unknown > now.cost.total.unknown:
            self.blocked.append(Blocked(candidate.what, "", "what it costs is not known", {"prices": 1.0}))
            return None
        return _Tried(candidate, edit, after, now.cost.total.amount - after.cost.total.amount)

    def _judged(self, own: _Tried) -> ChipChange | None:
        """Ask the rules of a candidate that saves; None where they speak against it, which is noted."""
        after = self._allowed(own, _FIRST_RULES, self._first_answers)
        if after is not None:
            after = self._allowed(own, RULES, self._answers)
        if after is None:
            return None
        undecided = [
            f"{finding.rule} at {finding.place}: {finding.message}"
            for finding in after.added
            if finding.outcome == "undecided" and finding.severity != "hint"
        ]
        return ChipChange(
            own.candidate.kind,
            own.candidate.about,
            own.candidate.module,
            own.candidate.what,
            own.saving,
            self._chips(self.snapshot) - self._chips(after.snapshot),
            (self.memo.result.standby_a, own.after.standby_a),
            after.added,
            after.cleared,
            (*own.candidate.unsure, *undecided),
            own.edit,
        )

    def _allowed(self, own: _Tried, rules: Sequence[Rule], memo: Memo) -> Checked | None:
        """Ask some rules; None where one speaks against it, which is noted."""
        after = checked(self.memo, self.review, own.edit, self.keep, memo, rules)
        if isinstance(after, Refusal):
            self.blocked.append(Blocked(own.candidate.what, "", after.sentence, {}))
            return None
        against = self._against(after)
        if against:
            self.blocked.append(_blocked_by(own.candidate, against))
            return None
        return after

    def _against(self, after: Checked) -> tuple[Finding, ...]:
        """Return the findings that speak against a change: new ones, and those that became worse, gravest first."""
        former: dict[tuple[str, str], list[Finding]] = {}
        for own in self.review.findings:
            former.setdefault((own.rule, own.place), []).append(own)
        worse = [
            own
            for own in after.findings
            if own.rule in NEVER_WORSE
            and own.outcome == "failed"
            and (known := former.get((own.rule, own.place)))
            and all(is_worse(own, then) for then in known)
        ]
        graver = ("error",) if self.keep == "errors" else ("error", "warning")
        found = [own for own in after.added if own.outcome == "failed" and own.severity in graver]
        found += [own for own in worse if own.severity in graver and own not in found]
        order = {name: number for number, name in enumerate(FIRST_ASKED)}
        return tuple(sorted(found, key=lambda own: (graver.index(own.severity), order.get(own.rule, len(order)))))

    def _without_saving(self, own: _Tried) -> None:
        """Note that the cheapest of a group costs no less than what is there."""
        more = -own.saving
        words = f"costs {amount_text(more)} {self.currency} more" if more else "costs as much"
        self.blocked.append(Blocked(own.candidate.what, "", f"{NO_SAVING}: {words}", {self.currency: float(more)}))

    def _chips(self, snapshot: Snapshot) -> int:
        return sum(len(own.devices) for own in snapshot.proposal.variants[self.variant].modules.values())


def _blocked_by(candidate: Candidate, against: Iterable[Finding]) -> Blocked:
    """Say why not: the first finding, which alone is enough, with its numbers; the rules of the others by name."""
    first, *more = against
    others = list(dict.fromkeys(own.rule for own in more if own.rule != first.rule))
    beside = f"; also {', '.join(others)}" if others else ""
    short: dict[str, float] = {}
    for own in (first, *more):
        if isinstance(own.measured, int | float) and isinstance(own.limit, int | float):
            short.setdefault(own.rule, abs(own.measured - own.limit))
    return Blocked(candidate.what, "", f"{first.rule}: {first.message}{beside}", short)
