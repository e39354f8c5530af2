"""Review a computed variant: ask every rule, and say what was checked and what could not be."""

from dataclasses import dataclass

from bomtui.model.finding import SEVERITIES, Review, Severity
from bomtui.services.errors import UnknownNameError
from bomtui.services.rollup import Computed


@dataclass(frozen=True, slots=True)
class Reviewed:
    """A computed variant with its findings."""

    computed: Computed
    review: Review


@dataclass(frozen=True, slots=True)
class RuleInfo:
    """What a rule says of itself.

    Attributes:
        name: Its name, such as `channel.twice`.
        severity: How bad it is where it fails.
        title: What a failed verdict says, in one line.
        text: Title and sections: what it asks, why, a failing and a passing example, source.
        source: Standard and clause, or common practice.
    """

    name: str
    severity: Severity
    title: str
    text: str
    source: str


def review(computed: Computed) -> Reviewed:
    """Ask every rule of a computed variant."""
    # Rules are loaded at the first review, not at the start of the program.
    from bomtui.rules.run import review as ask_rules

    snapshot = computed.opened.snapshot
    return Reviewed(computed, ask_rules(snapshot, computed.variant, computed.rollup, computed.memo.serving))


def rules() -> tuple[RuleInfo, ...]:
    """Return every rule, in the order in which people read them."""
    from bomtui.rules.registry import RULES

    return tuple(RuleInfo(rule.name, rule.severity, rule.title, rule.text, rule.source) for rule in RULES)


def rule_named(name: str) -> RuleInfo:
    """Return a rule by its name.

    Raises:
        UnknownNameError: There is none of that name.
    """
    known = {rule.name: rule for rule in rules()}
    if name not in known:
        raise UnknownNameError(f"there is no rule '{name}'; the rules are {', '.join(known)}")
    return known[name]


def checked_text(review_result: Review) -> str:
    """Say how many places were checked and with what result; a variant without findings has not passed by that."""
    places, passed, failed, undecided = (
        sum(getattr(count, name) for count in review_result.counts)
        for name in ("places", "passed", "failed", "undecided")
    )
    rule_count = len(review_result.counts)
    return (
        f"checked {places} places by {rule_count} rules: {passed} pass, {failed} fail, {undecided} not checkable; "
        "nothing else was checked"
    )


def findings_text(review_result: Review) -> str:
    """Say how many findings there are of each severity: `3 errors, 1 warning, 0 hints`."""
    counts = [sum(finding.severity == severity for finding in review_result.findings) for severity in SEVERITIES]
    return ", ".join(
        f"{count} {severity}{'' if count == 1 else 's'}" for count, severity in zip(counts, SEVERITIES, strict=True)
    )


def reaches(review_result: Review, threshold: Severity) -> bool:
    """Tell whether a finding that nobody has accepted is at or above a severity."""
    bad = SEVERITIES[: SEVERITIES.index(threshold) + 1]
    return any(finding.status == "open" and finding.severity in bad for finding in review_result.findings)
