"""Every rule fires, stays silent, holds its boundary and admits what it cannot tell, by the cases beside this file.

A case is a change of the base vehicle in the words of the proposal file, and what the rule says of it: every verdict
that is not passed, and those passed or not applicable ones that the case is about.
"""

from dataclasses import dataclass
from typing import Any

import pytest
import yaml
from msgspec.structs import replace

from bomtui.model.finding import Finding, Verdict
from bomtui.model.proposal import Snapshot
from bomtui.rules.context import Rule
from bomtui.rules.registry import RULES
from bomtui.rules.run import SILENT
from tests.rules.build import HERE, changed, review_of, snapshot_of, verdicts_of

CLASSES = {"fires", "clean", "boundary", "undecided"}
NEVER = {
    "stage.missing: undecided",  # a placement names FETs or does not
    "lin.commander: undecided",  # a node commands or does not
    "network.island: undecided",  # nodes are named or not
    "nodes.many: undecided",  # nodes are counted
    "scope.asked: undecided",  # a load says what it is or does not
    "feed.missing: fires",  # what is not said is not known to be wrong
    "diagnosis.seen: fires",  # no value of a part says that it misses a fault
    "diagnosis.coverage: fires",  # the same, so that a share is never certainly too small
}
BY_NAME = {rule.name: rule for rule in RULES}


@dataclass(frozen=True)
class Case:
    """One case of one rule.

    Attributes:
        rule: The rule.
        kind: One of `CLASSES`.
        name: What the case shows.
        change: What it changes in the base.
        expected: Verdicts by their fields, with a piece of the sentence as `message`.
        threshold: Setting at which the case stands; empty where it stands at no setting.
    """

    rule: str
    kind: str
    name: str
    change: dict[str, Any]
    expected: tuple[dict[str, Any], ...]
    threshold: str = ""


def cases() -> list[Case]:
    """All cases of all files."""
    found = []
    for path in sorted((HERE / "cases").glob("*.yaml")):
        for entry in yaml.safe_load(path.read_text(encoding="utf-8")):
            change = {key: entry[key] for key in ("proposal", "parts") if key in entry}
            assert entry.keys() <= {"name", "class", "threshold", "proposal", "parts", "expect"}, path
            threshold = entry.get("threshold", "")
            found.append(Case(path.stem, entry["class"], entry["name"], change, tuple(entry["expect"]), threshold))
    return found


CASES = cases()


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case.rule}-{case.name}".replace(" ", "_"))
def test_case(case: Case) -> None:
    """The rule says of the case what the case expects, and no more."""
    rule = BY_NAME[case.rule]
    snapshot = snapshot_of(changed(case.change))
    verdicts = verdicts_of(rule, snapshot)
    assert verdicts, "the rule was asked nothing"
    wanted = [without_message(expected) for expected in case.expected]
    found = [said(verdict, expected) for verdict, expected in matched(verdicts, wanted)]
    assert found == wanted
    loud = [(verdict.place, verdict.outcome) for verdict in verdicts if verdict.outcome not in SILENT]
    assert sorted(loud) == sorted(
        (expected["place"], expected["outcome"]) for expected in case.expected if expected["outcome"] not in SILENT
    )
    check_findings(rule, review_of(snapshot, (rule,)).findings, case)


AT_A_SETTING = [case for case in CASES if case.threshold]


@pytest.mark.parametrize("case", AT_A_SETTING, ids=lambda case: f"{case.rule}-{case.threshold}")
def test_one_per_cent_of_a_threshold_flips_its_case(case: Case) -> None:
    """A case that stands at a setting turns over where the setting is moved by 1 %."""
    snapshot = snapshot_of(changed(case.change))
    less, more = (outcomes_with(snapshot, case, factor) for factor in (0.99, 1.01))
    assert less != more


def outcomes_with(snapshot: Snapshot, case: Case, factor: float) -> list[tuple[str, str, str | None]]:
    """What the rule says of a case whose threshold is multiplied."""
    group, name = case.threshold.split(".")
    settings = snapshot.proposal.settings
    own = getattr(settings, group)
    value = getattr(own, name)
    moved = round(value + (1 if factor > 1 else -1)) if isinstance(value, int) else value * factor
    settings = replace(settings, **{group: replace(own, **{name: moved})})
    changed_proposal = replace(snapshot.proposal, settings=settings)
    verdicts = verdicts_of(BY_NAME[case.rule], replace(snapshot, proposal=changed_proposal))
    return [(verdict.place, verdict.outcome, verdict.severity) for verdict in verdicts]


def check_findings(rule: Rule, findings: tuple[Finding, ...], case: Case) -> None:
    """Each verdict that is not passed is one finding, worded as the case wants it."""
    loud = [expected for expected in case.expected if expected["outcome"] not in SILENT]
    assert len(findings) == len(loud)
    for expected in loud:
        own = [found for found in findings if found.place == expected["place"] and expected["message"] in found.message]
        assert own, [found.message for found in findings]
        assert own[0].rule == rule.name
        assert "{" not in own[0].message + own[0].remedy
        assert own[0].severity == expected.get(
            "severity", "warning" if expected["outcome"] == "undecided" else rule.severity
        )


def matched(verdicts: list[Verdict], wanted: list[dict[str, Any]]) -> list[tuple[Verdict, dict[str, Any]]]:
    """For each expected verdict one of the same place that agrees with it, or the first of that place."""
    pairs = []
    for expected in wanted:
        here = [verdict for verdict in verdicts if verdict.place == expected["place"]]
        assert here, f"nothing was said of {expected['place']}"
        agreeing = [verdict for verdict in here if said(verdict, expected) == expected]
        pairs.append(((agreeing or here)[0], expected))
    return pairs


def said(verdict: Verdict, expected: dict[str, Any]) -> dict[str, Any]:
    """The fields of a verdict that a case names."""
    return {name: getattr(verdict, name) for name in expected}


def without_message(expected: dict[str, Any]) -> dict[str, Any]:
    """The fields of a verdict that a case names, without its sentence."""
    return {name: value for name, value in expected.items() if name != "message"}


def test_every_rule_has_every_class_of_case() -> None:
    """Each rule of the registry fires, stays silent, holds its boundary and is undecided, but for those that never."""
    missing = [
        f"{rule.name}: {kind}"
        for rule in RULES
        for kind in sorted(CLASSES - {case.kind for case in CASES if case.rule == rule.name})
    ]
    assert set(missing) == NEVER


def test_every_case_belongs_to_a_rule_and_its_class() -> None:
    """Files are named by rules, and what a case expects is what its class says."""
    assert {case.rule for case in CASES} == set(BY_NAME)
    for case in CASES:
        outcomes = {expected["outcome"] for expected in case.expected}
        assert case.kind in CLASSES, case.name
        assert case.kind != "fires" or "failed" in outcomes, case.name
        assert case.kind != "undecided" or "undecided" in outcomes, case.name
        assert case.kind != "clean" or (outcomes <= SILENT and "passed" in outcomes), case.name
        assert case.expected, case.name


def test_the_base_is_clean() -> None:
    """The vehicle that every case starts from has no finding, so that a case shows its own change only."""
    assert review_of(snapshot_of(changed({}))).findings == ()
