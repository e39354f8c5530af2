"""Review a computed variant: ask every rule, and say what was checked and what could not be."""

from collections.abc import Callable, Collection
from dataclasses import dataclass
from typing import TYPE_CHECKING

import msgspec

from bomtui.model.finding import SEVERITIES, Finding, Review, Severity
from bomtui.model.variant import Acceptance, Variant
from bomtui.services.errors import UnknownNameError
from bomtui.services.rollup import Computed

if TYPE_CHECKING:
    from bomtui.rules.memo import Memo


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


class Answers:
    """What rules have said of a variant, kept from one review to the next; what holds no more is asked again."""

    def __init__(self) -> None:
        self._memo: Memo | None = None

    def memo(self) -> "Memo":
        """Return what is known; rules are loaded now at the latest."""
        if self._memo is None:
            from bomtui.rules.memo import Memo

            self._memo = Memo()
        return self._memo


def review(computed: Computed, answers: Answers | None = None) -> Reviewed:
    """Ask every rule of a computed variant.

    Args:
        computed: The variant.
        answers: Answers of former reviews of this variant or one close to it; replaced by those of this one.
    """
    return Reviewed(computed, _asked(computed, lambda: True, answers))


def review_while(computed: Computed, is_wanted: Callable[[], bool], answers: Answers | None = None) -> Reviewed | None:
    """Ask every rule of a computed variant; None as soon as nobody wants to know any more.

    Args:
        computed: The variant.
        is_wanted: Asked now and then whether to go on.
        answers: As for `review`.
    """
    # Rules are loaded at the first review, not at the start of the program.
    from bomtui.rules.run import StoppedError

    try:
        return Reviewed(computed, _asked(computed, is_wanted, answers))
    except StoppedError:
        return None


def _asked(computed: Computed, is_wanted: Callable[[], bool], answers: Answers | None) -> Review:
    from bomtui.rules.run import review as ask_rules

    return ask_rules(
        computed.opened.snapshot,
        computed.variant,
        computed.rollup,
        computed.memo.serving,
        outputs=computed.memo.modules,
        is_wanted=is_wanted,
        memo=None if answers is None else answers.memo(),
    )


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
    places, passed, warned, failed, undecided = (
        sum(getattr(count, name) for count in review_result.counts)
        for name in ("places", "passed", "warned", "failed", "undecided")
    )
    rule_count = len(review_result.counts)
    return (
        f"checked {places} places by {rule_count} rules: {passed} pass, {warned} warned, {failed} fail, {undecided} not"
        " checkable; nothing else was checked"
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


def reaches_by(review_result: Review, threshold: Severity, subjects: Collection[str]) -> bool:
    """Tell whether a finding of some subjects that nobody has accepted is at or above a severity.

    Args:
        review_result: The review.
        threshold: The severity.
        subjects: First words of the names of rules, such as `standin`.
    """
    own = tuple(found for found in review_result.findings if found.rule.partition(".")[0] in subjects)
    return reaches(msgspec.structs.replace(review_result, findings=own), threshold)


@dataclass(frozen=True, slots=True)
class Acceptances:
    """Which acceptances of a variant hold for the findings of its review, and which have lapsed.

    Attributes:
        holding: Id and acceptance for each accepted finding, by rule, place, measured value and limit as printed.
        lapsed: Id and acceptance by rule and place, for those that hold for no finding any more: their numbers changed.
    """

    holding: dict[tuple[str, str, str, str], tuple[str, Acceptance]]
    lapsed: dict[tuple[str, str], tuple[str, Acceptance]]

    def of(self, finding: Finding) -> tuple[str, Acceptance] | None:
        """Return the acceptance that holds for a finding, with its id; None for an open one."""
        return self.holding.get(_numbers(finding))

    def lapsed_of(self, finding: Finding) -> tuple[str, Acceptance] | None:
        """Return the acceptance that held for a finding until its numbers changed, with its id; None for none."""
        return self.lapsed.get((finding.rule, finding.place))


def acceptances(variant: Variant, review_result: Review) -> Acceptances:
    """Tell the acceptances that hold from those that have lapsed."""
    found = {_numbers(finding) for finding in review_result.findings}
    holding: dict[tuple[str, str, str, str], tuple[str, Acceptance]] = {}
    lapsed: dict[tuple[str, str], tuple[str, Acceptance]] = {}
    for key, own in variant.accepted.items():
        numbers = (own.rule, own.place, own.measured, own.limit)
        if numbers in found:
            holding.setdefault(numbers, (key, own))
        else:
            lapsed[own.rule, own.place] = (key, own)
    return Acceptances(holding, lapsed)


def _numbers(finding: Finding) -> tuple[str, str, str, str]:
    # Rules are loaded at the first review, not at the start of the program.
    from bomtui.rules.wording import printed

    return (
        finding.rule,
        finding.place,
        printed(finding.measured, finding.unit),
        printed(finding.limit, finding.unit),
    )
