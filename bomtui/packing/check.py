"""The judge of a plan: engine and rules alone say whether it may stand; nothing of packing is asked."""

from collections import Counter
from collections.abc import Callable, Container, Iterable, Sequence
from dataclasses import dataclass

from bomtui.edit.edit import Edit, Refusal, apply
from bomtui.engine.rollup import Computed, rollup
from bomtui.model.finding import SEVERITIES, Finding, Review
from bomtui.model.money import Total
from bomtui.model.proposal import Snapshot
from bomtui.packing.kept import OF_A_LOAD, Keep, is_worse, speaks_against
from bomtui.rules.context import Rule
from bomtui.rules.memo import Memo
from bomtui.rules.registry import RULES
from bomtui.rules.run import FAILED_RULE, review


@dataclass(frozen=True, slots=True)
class Checked:
    """A variant after a plan.

    Attributes:
        snapshot: The proposal after it.
        computed: The variant after it.
        added: Findings that there are after it and not before, of any rule, and those of loads that are worse after it.
        cleared: Findings that there are before it and not after.
        against: Those of the added ones that speak against it.
        findings: All that there are after it.
        total: Cost per vehicle after it.
    """

    snapshot: Snapshot
    computed: Computed
    added: tuple[Finding, ...]
    cleared: tuple[Finding, ...]
    against: tuple[Finding, ...]
    findings: tuple[Finding, ...]

    @property
    def total(self) -> Total:
        """Cost per vehicle after it."""
        return self.computed.result.cost.total


Moved = Callable[[str], str | None]
"""Where the subject of a finding is after a plan; None where it goes."""


def checked(
    before: Computed,
    known: Review,
    edit: Edit,
    keep: Keep,
    memo: Memo | None = None,
    rules: Sequence[Rule] = RULES,
    moved: Moved | None = None,
) -> Checked | Refusal:
    """Do a plan on a copy, compute it, ask the rules, and say what is new.

    Args:
        before: The variant as it is.
        known: Its review.
        edit: The plan.
        keep: Which new findings of kept rules speak against it.
        memo: Answers of former reviews of variants close to it by the same rules, taken where they hold.
        rules: The rules to ask.
        moved: Where places are after a plan that moves devices from module to module; findings then count place by
            place, and what was found of a device that goes excuses nothing. None for a plan within modules.
    """
    snapshot = apply(edit, before.snapshot)
    if isinstance(snapshot, Refusal):
        return snapshot
    variant_id = before.result.variant
    computed = rollup(snapshot, variant_id, before)
    after = review(
        snapshot, variant_id, computed.result, computed.serving, rules=rules, outputs=computed.modules, memo=memo
    )
    names = {FAILED_RULE, *(rule.name for rule in rules)}
    former = [own for own in known.findings if own.rule in names]
    if moved is None:
        new, cleared = _beyond(after.findings, former), _beyond(former, after.findings)
    else:
        new, cleared = _by_place(after.findings, former, moved)
    added = (*new, *_worse(after.findings, former, snapshot.proposal.loads))
    return Checked(
        snapshot,
        computed,
        added,
        cleared,
        tuple(own for own in added if speaks_against(own, keep)),
        after.findings,
    )


def _beyond(findings: Iterable[Finding], others: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return the findings of a rule, outcome and severity that there are more of than among others.

    A chip that changes its reference or a load its channel is no new fault: findings count by rule, and by the load or
    module that they are about where they name one; those of a device count by its module.
    """
    left = Counter(map(_about, others))
    alone = []
    for finding in findings:
        key = _about(finding)
        if left[key]:
            left[key] -= 1
        else:
            alone.append(finding)
    return tuple(alone)


def _by_place(
    findings: Iterable[Finding], others: Iterable[Finding], moved: Moved
) -> tuple[tuple[Finding, ...], tuple[Finding, ...]]:
    """Return the findings that were not there, or not as grave, and the former ones of which none is there any more."""
    former: dict[tuple[str, str | None], list[Finding]] = {}
    for own in others:
        former.setdefault((own.rule, moved(own.place)), []).append(own)
    new = []
    for own in sorted(findings, key=_gravity):
        known = former.get((own.rule, own.place), [])
        excuse = next((then for then in sorted(known, key=_gravity) if _gravity(then) <= _gravity(own)), None)
        if excuse is None:
            new.append(own)
        else:
            known.remove(excuse)
    remaining = {(own.rule, own.place) for own in findings}
    gone = (own for key, left in former.items() if key not in remaining for own in left)
    return tuple(new), tuple(gone)


def _gravity(finding: Finding) -> tuple[int, bool]:
    return SEVERITIES.index(finding.severity), finding.outcome != "failed"


def _worse(findings: Iterable[Finding], others: Iterable[Finding], loads: Container[str]) -> tuple[Finding, ...]:
    """Return the findings of loads that stay and are worse; those of everything else follow the air of the module."""
    former: dict[tuple[str, str], list[Finding]] = {}
    for own in others:
        if own.rule in OF_A_LOAD and own.place in loads and own.outcome == "failed":
            former.setdefault((own.rule, own.place), []).append(own)
    pairs = [(own, former.get((own.rule, own.place), [])) for own in findings if own.outcome == "failed"]
    return tuple(own for own, known in pairs if known and all(is_worse(own, then) for then in known))


def _about(finding: Finding) -> tuple[str, str, str, str]:
    return finding.rule, finding.place.partition(".")[0], finding.outcome, finding.severity
