"""All rules of a variant, and what became of them."""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

import msgspec

from bomtui.engine.module import ModuleOutput
from bomtui.engine.serving import Serving
from bomtui.model.finding import SEVERITIES, Finding, Review, RuleCount, Verdict
from bomtui.model.ids import NaturalKey, natural_key
from bomtui.model.proposal import Snapshot
from bomtui.model.rollup import Rollup
from bomtui.model.variant import Variant
from bomtui.rules.context import Context, Rule, context_of
from bomtui.rules.memo import Answer, Memo
from bomtui.rules.registry import RULES
from bomtui.rules.shares import Share, context_in, shares_of
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
    memo: Memo | None = None,
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
        memo: Answers of a former review by the same rules, taken where they hold, and replaced by those of this one.

    Raises:
        KeyError: The proposal has no such variant.
        StoppedError: It is not wanted any more.
    """
    context = context_of(snapshot, variant_id, rollup, serving, outputs)
    asking = _Asking(context, outputs, is_wanted, Memo() if memo is None else memo)
    findings: list[Finding] = []
    counts: list[RuleCount] = []
    for rule in rules:
        found, said = asking.asked(rule)
        findings += found
        counts.append(_count(rule, said))
    accepted = _with_acceptances(context.variant, sorted(findings, key=_order))
    return Review(variant=variant_id, findings=tuple(accepted), counts=tuple(counts))


class _Asking:
    """Asks rules of one variant.

    Args:
        context: All of the variant.
        outputs: Output of each module, or None.
        is_wanted: Asked now and then whether to go on.
        memo: Former answers; gets the new ones as they are given.
    """

    def __init__(
        self,
        context: Context,
        outputs: Mapping[str, ModuleOutput] | None,
        is_wanted: Callable[[], bool],
        memo: Memo,
    ) -> None:
        self._context = context
        self._outputs = outputs
        self._is_wanted = is_wanted
        self._shares = shares_of(context, outputs)
        self._answers = memo.answers_of(self._shares)
        self._contexts: dict[tuple[str, ...], Context] = {}

    def asked(self, rule: Rule) -> tuple[list[Finding], Counter[str]]:
        """Return what a rule has found, as if nothing were accepted, and how often it said what."""
        try:
            answers = [self._answer(rule, self._context)] if rule.scope == "vehicle" else [*self._by_shares(rule)]
        except StoppedError:
            raise
        except Exception as error:  # noqa: BLE001 - whatever breaks one rule must not silence the others
            return [_broken(rule, error)], Counter(undecided=1)
        said: Counter[str] = Counter()
        for answer in answers:
            said.update(answer.said)
        return [finding for answer in answers for finding in answer.findings], said

    def _by_shares(self, rule: Rule) -> Iterator[Answer]:
        for share, known in zip(self._shares, self._answers, strict=True):
            if rule.name not in known:
                known[rule.name] = self._answer(rule, self._context_in(share))
            yield known[rule.name]

    def _context_in(self, share: Share) -> Context:
        if share.names not in self._contexts:
            self._contexts[share.names] = context_in(share, self._context, self._outputs)
        return self._contexts[share.names]

    def _answer(self, rule: Rule, context: Context) -> Answer:
        verdicts = tuple(self._while_wanted(rule.ask(context)))
        findings = tuple(worded(rule, verdict, "open") for verdict in verdicts if verdict.outcome not in SILENT)
        return Answer(findings, Counter(_said(rule, verdict) for verdict in verdicts))

    def _while_wanted(self, verdicts: Iterable[Verdict]) -> Iterator[Verdict]:
        for verdict in verdicts:
            if not self._is_wanted():
                raise StoppedError
            yield verdict


def _with_acceptances(variant: Variant, findings: Iterable[Finding]) -> Iterator[Finding]:
    """Yield findings, those as accepted whose numbers somebody has accepted."""
    accepted = {(own.rule, own.place, own.measured, own.limit) for own in variant.accepted.values()}
    places = {(rule, place) for rule, place, _, _ in accepted}
    for finding in findings:
        if (finding.rule, finding.place) in places:
            numbers = (printed(value, finding.unit) for value in (finding.measured, finding.limit))
            if (finding.rule, finding.place, *numbers) in accepted:
                yield msgspec.structs.replace(finding, status="accepted")
                continue
        yield finding


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
