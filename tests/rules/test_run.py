"""The review as a whole: broken rules, order, counts and acceptances."""

from collections.abc import Iterator

import pytest

from bomtui.model.finding import SEVERITIES, Severity, Verdict
from bomtui.model.ids import natural_key
from bomtui.rules import channel_missing
from bomtui.rules.context import Context, Rule, failed, passed
from bomtui.rules.run import FAILED_RULE, StoppedError, review
from tests.rules.build import VARIANT, changed, computed, review_of, snapshot_of

BASE = changed({})
ON_ONE_CHANNEL = {"proposal": {"variants": {"V": {"placements": {"L2": {"on": ["M.U3.1"]}}}}}}


def rule_of(name: str, *verdicts: Verdict, severity: Severity = "error", remedy: str = "Do it.") -> Rule:
    """A rule that says what it is told to say."""
    return Rule(
        name=name, severity=severity, failed="{place}", undecided="{place}", remedy=remedy, ask=lambda _: verdicts
    )


def breaking(_: Context) -> Iterator[Verdict]:
    """Answer for one place, then break off."""
    yield failed("M")
    message = "a step too far"
    raise ZeroDivisionError(message)


def test_a_rule_that_breaks_off_is_a_finding() -> None:
    """A broken rule is named as an error and as not checked; its verdicts are dropped and the others still run."""
    broken = Rule(name="broken.rule", severity="hint", failed="{place}", undecided="{place}", remedy="-", ask=breaking)
    found = review_of(snapshot_of(BASE), (broken, rule_of("other.rule", failed("M.U1"))))
    first, second = found.findings
    assert (first.rule, first.severity, first.place, first.outcome) == ("other.rule", "error", "M.U1", "failed")
    assert (second.rule, second.severity, second.place, second.outcome) == (
        FAILED_RULE,
        "error",
        "broken.rule",
        "undecided",
    )
    assert "broken.rule" in second.message
    assert "ZeroDivisionError: a step too far" in second.message
    assert [(count.rule, count.places, count.undecided) for count in found.counts] == [
        ("broken.rule", 1, 1),
        ("other.rule", 1, 0),
    ]


def test_a_rule_whose_sentence_has_a_gap_is_a_finding() -> None:
    """A remedy that names a fact nobody gives breaks that rule only."""
    found = review_of(snapshot_of(BASE), (rule_of("other.rule", failed("M"), remedy="Ask {nobody}."),))
    assert [finding.rule for finding in found.findings] == [FAILED_RULE]


def test_findings_are_sorted() -> None:
    """Worst first, then by rule, then by place with L2 before L10."""
    rules = (
        rule_of("b.rule", failed("L10"), failed("L2"), failed("M.U1"), severity="warning"),
        rule_of("c.rule", failed("L1"), severity="hint"),
        rule_of("a.rule", failed("L3"), severity="warning"),
        rule_of("d.rule", failed("L9")),
    )
    found = [
        (finding.severity, finding.rule, finding.place) for finding in review_of(snapshot_of(BASE), rules).findings
    ]
    assert found == [
        ("error", "d.rule", "L9"),
        ("warning", "a.rule", "L3"),
        ("warning", "b.rule", "L2"),
        ("warning", "b.rule", "L10"),
        ("warning", "b.rule", "M.U1"),
        ("hint", "c.rule", "L1"),
    ]


def test_passed_places_are_counted_and_no_findings() -> None:
    """A place that passes is counted and says nothing."""
    found = review_of(snapshot_of(BASE), (rule_of("a.rule", passed("M"), failed("N"), passed("O")),))
    (count,) = found.counts
    assert (count.places, count.passed, count.failed, count.undecided) == (3, 2, 1, 0)
    assert [finding.place for finding in found.findings] == ["N"]


def test_the_same_snapshot_gives_the_same_review() -> None:
    """Nothing in a review depends on the run, and the order of the tables in the file does not matter."""
    change = {"proposal": {"variants": {"V": {"placements": {"L1": None, "L2": {"on": ["M.U9.1"]}}}}}}
    change["proposal"]["variants"]["V"]["placements"]["L2"] = {"on": ["M.U3.7"]}
    tree = changed(change)
    first = review_of(snapshot_of(tree))
    placed = tree["proposal"]["loads"]
    tree["proposal"]["loads"] = dict(reversed(placed.items()))
    tree["parts"] = dict(reversed(tree["parts"].items()))
    assert review_of(snapshot_of(tree)) == first
    assert len(first.findings) > 1
    keys = [
        (SEVERITIES.index(finding.severity), finding.rule, natural_key(finding.place)) for finding in first.findings
    ]
    assert keys == sorted(keys)


@pytest.mark.parametrize(
    ("recorded", "status"),
    [
        ({}, "accepted"),
        ({"measured": "3"}, "open"),
        ({"limit": "2"}, "open"),
        ({"place": "M.U3.2"}, "open"),
        ({"rule": "channel.missing"}, "open"),
    ],
)
def test_an_acceptance_holds_for_its_numbers_only(recorded: dict[str, str], status: str) -> None:
    """An acceptance of the same rule, place and numbers is kept; one with any other of them has lapsed."""
    acceptance = {"rule": "channel.twice", "place": "M.U3.1", "measured": "2", "limit": "1", "reason": "one relay"}
    tree = changed(ON_ONE_CHANNEL)
    tree["proposal"]["variants"]["V"]["accepted"] = {"A01": {**acceptance, **recorded}}
    (found,) = review_of(snapshot_of(tree)).findings
    assert (found.rule, found.status) == ("channel.twice", status)


def test_an_acceptance_lapses_when_the_numbers_change() -> None:
    """A third load on an accepted channel opens the finding again."""
    tree = changed(ON_ONE_CHANNEL)
    variant = tree["proposal"]["variants"]["V"]
    variant["accepted"] = {
        "A01": {"rule": "channel.twice", "place": "M.U3.1", "measured": "2", "limit": "1", "reason": "one relay"}
    }
    assert [finding.status for finding in review_of(snapshot_of(tree)).findings] == ["accepted"]
    tree["proposal"]["loads"]["L3"] = tree["proposal"]["loads"]["L1"]
    variant["placements"]["L3"] = {"on": ["M.U3.1"]}
    found = [finding for finding in review_of(snapshot_of(tree)).findings if finding.rule == "channel.twice"]
    assert [finding.status for finding in found] == ["open"]


def test_an_accepted_error_stays_an_error() -> None:
    """Accepting changes the status, never the severity, so that headlines still count it."""
    tree = changed(ON_ONE_CHANNEL)
    tree["proposal"]["variants"]["V"]["accepted"] = {
        "A01": {"rule": "channel.twice", "place": "M.U3.1", "measured": "2", "limit": "1", "reason": "one relay"}
    }
    (found,) = review_of(snapshot_of(tree)).findings
    assert (found.severity, found.status) == ("error", "accepted")


def test_an_unknown_variant_is_refused() -> None:
    """Asking for a variant that does not exist is a fault of the caller, not an empty review."""
    snapshot = snapshot_of(BASE)
    result = computed(snapshot)
    with pytest.raises(KeyError, match="W"):
        review(snapshot, "W", result.result, result.serving, (channel_missing.RULE,))


def test_an_empty_variant_is_reviewed() -> None:
    """A variant without modules has every load left over, and no rule breaks on it."""
    tree = changed({"proposal": {"variants": {"V": None}}})
    tree["proposal"]["variants"]["V"] = {"name": "empty"}
    found = review_of(snapshot_of(tree))
    assert [(finding.rule, finding.severity, finding.place) for finding in found.findings] == [
        ("data.missing", "error", "L1"),
        ("data.missing", "error", "L2"),
    ]


def test_a_review_that_nobody_wants_any_more_stops() -> None:
    """It ends at the next verdict, whichever rule is asked, and no rule counts as broken by that."""
    answers = iter([True] * 5)
    state = snapshot_of(BASE)
    found = computed(state)
    with pytest.raises(StoppedError):
        review(state, VARIANT, found.result, found.serving, is_wanted=lambda: next(answers, False))
    assert next(answers, None) is None
