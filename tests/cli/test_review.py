"""`bomtui review` and `bomtui rules`: findings, thresholds, what was checked."""

import pytest

from bomtui.cli.review import RULE_COUNTS
from tests.cli.running import SWEEPER, VAN, Command


@pytest.mark.parametrize(("threshold", "code"), [("error", 1), ("warning", 1), ("hint", 1)])
def test_findings_decide_the_exit_code(bomtui: Command, threshold: str, code: int) -> None:
    """A finding at or above the threshold gives exit code 1, and the report is printed all the same."""
    result = bomtui("review", SWEEPER, "--fail-on", threshold)
    assert result.code == code
    assert "Findings:" in result.out


def test_accepted_findings_do_not_fail_but_count(bomtui: Command, accepted_sweeper: str) -> None:
    """A finding that somebody accepted stays in the count of open errors and no longer fails the command."""
    before = bomtui("review", SWEEPER, "--variant", "zone", "--format", "json").json
    result = bomtui("review", accepted_sweeper, "--variant", "zone", "--format", "json")
    errors = [finding for finding in result.json["findings"] if finding["severity"] == "error"]
    assert {finding["status"] for finding in errors} == {"accepted"}
    assert result.json["open_errors"] == before["open_errors"] == len(errors) > 0
    assert result.code == 0
    assert bomtui("review", accepted_sweeper, "--variant", "zone", "--fail-on", "warning").code == 1


def test_review_says_what_was_checked(bomtui: Command) -> None:
    """The text counts places, passes, fails and what could not be checked, and names every rule."""
    result = bomtui("review", VAN)
    found = bomtui("review", VAN, "--format", "json").json
    checks = found["checks"]
    text = " ".join(result.out.split())
    said = ("passed", "warned", "failed", "undecided")
    sentence = "{passed} pass, {warned} warned, {failed} fail, {undecided} not checkable".format_map(checks)
    assert checks["run"] == sum(checks[name] for name in said)
    assert f"checked {checks['run']} places by {len(checks['rules'])} rules: {sentence}" in text
    assert all(rule in text for rule in checks["rules"])
    assert [line for line in result.out.splitlines() if len(line) > 80] == []


def test_rules_option_lists_each_rule_with_its_counts(bomtui: Command) -> None:
    """With --rules every rule has a row with its counts, within 80 columns, and the rows add to the checks."""
    found = bomtui("review", SWEEPER, "--format", "json").json
    lines = bomtui("review", SWEEPER, "--rules").out.splitlines()
    assert [line for line in lines if len(line) > 80] == []
    for rule in found["rules"]:
        counts = [str(rule[name]) for name in RULE_COUNTS]
        assert [rule["rule"], *counts] in [line.split() for line in lines]
    assert sum(rule["places"] for rule in found["rules"]) == found["checks"]["run"]


@pytest.mark.slow
def test_rules_are_listed_and_told(bomtui: Command) -> None:
    """All rules are listed; one of them is told with its sections; an unknown one is refused with those there are."""
    listed = bomtui("rules", "--format", "json").json["rules"]
    names = [rule["name"] for rule in listed]
    told = bomtui("rules", "channel.twice")
    refused = bomtui("rules", "channel.thrice")
    assert {"channel.twice", "pins.short", "standin.device", "data.missing"} <= set(names)
    assert all(name in bomtui("rules").out for name in names)
    assert told.out.startswith("channel.twice (error)\n")
    assert "Why it matters:" in told.out
    assert refused.code == 2
    assert refused.err == [f"bomtui: there is no rule 'channel.thrice'; the rules are {', '.join(names)}"]
