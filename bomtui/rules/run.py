"""All rules of a variant, and what became of them."""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

from bomtui.engine.module import ModuleOutput
from bomtui.engine.serving import Serving
from bomtui.model.finding import SEVERITIES, Finding, Review, RuleCount, Status, Verdict
from bomtui.model.ids import NaturalKey, natural_key
from bomtui.model.proposal import Snapshot
from bomtui.model.rollup import Rollup
from bomtui.model.variant import Variant
from bomtui.rules.context import Context, Rule, context_of
from bomtui.rules.registry import RULES
from bomtui.rules.wording import printed, worded

FAILED_RULE = "rule.failed"
"""Rule name of the finding that stands for a rule that could not be carried out."""


class StoppedError(Exception):
    """A review that nobody wants any more."""


SILENT = frozenset(("passed", "not_applicable"))
"""Outcomes of which no finding is made."""
WARNED = "warned"
"""What counts as failed, and is no error."""


def review(
    snapshot: Snapshot,
    variant_id: str,
    rollup: Rollup,
    serving: Serving,
    rules: Sequence[Rule] = RULES,
    outputs: Mapping[str, ModuleOutput] | None = None,
    is_wanted: Callable[[], bool] = lambda: True,
) -> Review:
    """Ask every rule of a variant.

    A rule that breaks off becomes a finding of its own, and none of its verdicts is used. A finding is accepted where
    the variant has an acceptance of the same rule, place, measured value and limit, as printed; its severity stays.

    Args:
        snapshot: Proposal and frozen parts.
        variant_id: Id of the variant.
        rollup: What was computed for it from this snapshot.
        serving: Which module serves which load, as computed with it.
        rules: The rules to ask.
        outputs: Output of each module, as computed with it; computed again as far as it is needed where None.
        is_wanted: Asked now and then whether to go on.

    Raises:
        KeyError: The proposal has no such variant.
        StoppedError: It is not wanted any more.
    """
    context = context_of(snapshot, variant_id, rollup, serving, outputs)
    findings: list[Finding] = []
    counts: list[RuleCount] = []
    for rule in rules:
        found, count = _asked(rule, context, is_wanted)
        findings += found
        counts.append(count)
    return Review(variant=variant_id, findings=tuple(sorted(findings, key=_order)), counts=tuple(counts))


def _while_wanted(verdicts: Iterable[Verdict], is_wanted: Callable[[], bool]) -> Iterator[Verdict]:
    for verdict in verdicts:
        if not is_wanted():
            raise StoppedError
        yield verdict


def _asked(rule: Rule, context: Context, is_wanted: Callable[[], bool]) -> tuple[list[Finding], RuleCount]:
    try:
        verdicts = tuple(_while_wanted(rule.ask(context), is_wanted))
        findings = [
            worded(rule, verdict, _status(context.variant, rule.name, verdict))
            for verdict in verdicts
            if verdict.outcome not in SILENT
        ]
    except StoppedError:
        raise
    except Exception as error:  # noqa: BLE001 - whatever breaks one rule must not silence the others
        return [_broken(rule, error)], _count(rule, Counter(undecided=1))
    said = Counter(_said(rule, verdict) for verdict in verdicts)
    return findings, _count(rule, said)


def _said(rule: Rule, verdict: Verdict) -> str:
    is_error = (verdict.severity or rule.severity) == "error"
    return WARNED if verdict.outcome == "failed" and not is_error else verdict.outcome


def _count(rule: Rule, said: Counter[str]) -> RuleCount:
    return RuleCount(
        rule=rule.name,
        places=said.total() - said["not_applicable"],
        passed=said["passed"],
        warned=said[WARNED],
        failed=said["failed"],
        undecided=said["undecided"],
        not_applicable=said["not_applicable"],
    )


def _status(variant: Variant, rule: str, verdict: Verdict) -> Status:
    measured, limit = (printed(value, verdict.unit) for value in (verdict.measured, verdict.limit))
    for acceptance in variant.accepted.values():
        recorded = (acceptance.rule, acceptance.place, acceptance.measured, acceptance.limit)
        if recorded == (rule, verdict.place, measured, limit):
            return "accepted"
    return "open"


def _broken(rule: Rule, error: Exception) -> Finding:
    return Finding(
        rule=FAILED_RULE,
        severity="error",
        place=rule.name,
        message=f"the rule {rule.name} broke off and nothing that it asks is checked: {type(error).__name__}: {error}",
        remedy="This is a fault of the program: check by hand what the rule asks, and report the fault.",
        measured=None,
        limit=None,
        unit="",
        outcome="undecided",
    )


def _order(finding: Finding) -> tuple[int, str, NaturalKey, str]:
    return SEVERITIES.index(finding.severity), finding.rule, natural_key(finding.place), finding.message
