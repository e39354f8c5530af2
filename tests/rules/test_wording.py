"""Numbers and names become text in one way."""

import math

import pytest

from bomtui.model.bound import Range, Value
from bomtui.model.finding import Verdict
from bomtui.rules.context import Rule, failed, undecided
from bomtui.rules.wording import counted, listed, printed, worded

RULE = Rule(
    name="some.rule",
    severity="error",
    failed="{place} has {measured} of {limit}, says {who}",
    undecided="{place} has an unknown share of {limit}",
    remedy="Give {place} more.",
    ask=lambda _: (),
)


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [
        (None, "A", "unknown"),
        (None, "", "unknown"),
        ("A", "", "A"),
        (13, "", "13"),
        (0.5, "", "0.5"),
        (4.9e-5, "A", "49 uA"),
        (3.3, "V", "3.3 V"),
        (162.4, "degC", "162.4 degC"),
        (-40.0, "degC", "-40 degC"),
        (Range(4.9e-5, math.inf, frozenset(("x",))), "A", ">= 49 uA"),
        (Range(0.0, 30.0, frozenset(("x",))), "", "<= 30"),
        (Range(1.0, 2.0, frozenset(("x",))), "V", "1 V to 2 V"),
        (Range(-math.inf, math.inf, frozenset(("x",))), "V", "unknown"),
    ],
)
def test_values_are_printed(value: Value | str, unit: str, text: str) -> None:
    """A number carries its unit, a bound its sign, and an unknown is never a number."""
    assert printed(value, unit) == text


def test_a_verdict_becomes_sentences() -> None:
    """Place, numbers and facts stand in the sentences, and the numbers stay in the finding."""
    found = worded(RULE, failed("M.U1", 0.25, 0.5, "A", who="the data sheet"), "open")
    assert found.message == "M.U1 has 250 mA of 500 mA, says the data sheet"
    assert found.remedy == "Give M.U1 more."
    assert (found.rule, found.severity, found.measured, found.limit, found.unit) == (
        "some.rule",
        "error",
        0.25,
        0.5,
        "A",
    )


def test_an_undecided_verdict_is_a_warning_with_its_own_sentence() -> None:
    """What cannot be told is said as such, less loudly than a fault that is certain."""
    found = worded(RULE, undecided("M", None, 2.0, "A"), "open")
    assert (found.message, found.severity, found.outcome) == ("M has an unknown share of 2 A", "warning", "undecided")


def test_facts_are_text_and_nothing_else() -> None:
    """Braces in a fact stay braces: what comes from a file never acts as a template."""
    found = worded(RULE, failed("M", 1, 2, who="{place.__class__} {0}"), "open")
    assert found.message == "M has 1 of 2, says {place.__class__} {0}"


def test_a_missing_fact_is_a_fault() -> None:
    """A sentence that names what the verdict does not give is refused, not printed with a gap."""
    with pytest.raises(KeyError, match="who"):
        worded(RULE, Verdict(place="M", outcome="failed"), "open")


@pytest.mark.parametrize(
    ("names", "text"),
    [([], "nothing"), (["E05"], "E05"), (["E05", "E06"], "E05 and E06"), (["A", "B", "C"], "A, B and C")],
)
def test_names_are_listed(names: list[str], text: str) -> None:
    """Names stand in a row with one `and`."""
    assert listed(names) == text


@pytest.mark.parametrize(("number", "text"), [(0, "0 pins"), (1, "1 pin"), (2, "2 pins")])
def test_things_are_counted(number: int, text: str) -> None:
    """One thing is singular."""
    assert counted(number, "pin") == text


def test_an_irregular_plural_is_given() -> None:
    """A plural that is no `s` is named by the caller."""
    assert counted(2, "piece of wire", "pieces of wire") == "2 pieces of wire"
