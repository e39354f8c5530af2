"""What a check says of one place."""

from typing import Literal

from bomtui.model.base import Base
from bomtui.model.bound import Value

Severity = Literal["error", "warning", "hint"]
SEVERITIES: tuple[Severity, ...] = ("error", "warning", "hint")
"""Worst first."""

Outcome = Literal["passed", "failed", "undecided", "not_applicable"]
Status = Literal["open", "accepted"]


class Need(Base, frozen=True):
    """What a part would have to be for a finding to go away, as far as the rule that found it can tell.

    Attributes:
        kinds: Part kinds that come into question.
        least: Lowest value of a parameter, by the name of its field.
        most: Highest value of a parameter, by the name of its field.
        has: Fields of what the part must have.
    """

    kinds: tuple[str, ...]
    least: dict[str, float] = {}
    most: dict[str, float] = {}
    has: tuple[str, ...] = ()


class Verdict(Base, frozen=True):
    """One rule asked at one place.

    Attributes:
        place: Id or address of the place.
        outcome: passed, failed, undecided where something that the rule needs is unknown, or not applicable where the
            question does not arise.
        measured: What the place has; text where the rule compares words.
        limit: What it is held against.
        unit: Unit of both; empty for words and counts.
        severity: Severity if failed or undecided; the rule's own where None.
        facts: Values for the rule's message, by name.
        need: What part would help; None where no other part would.
    """

    place: str
    outcome: Outcome
    measured: Value | str = None
    limit: Value | str = None
    unit: str = ""
    severity: Severity | None = None
    facts: dict[str, str] = {}
    need: Need | None = None


class Finding(Base, frozen=True):
    """A failed or undecided verdict, worded.

    Attributes:
        rule: Name of the rule, such as `channel.twice`.
        severity: How bad it is.
        place: Where.
        message: One sentence with the two numbers compared.
        remedy: What to do, in words.
        measured: What the place has.
        limit: What it is held against.
        unit: Unit of both.
        outcome: failed or undecided.
        status: open, or accepted by somebody with a reason.
        need: What part would help; None where no other part would.
    """

    rule: str
    severity: Severity
    place: str
    message: str
    remedy: str
    measured: Value | str
    limit: Value | str
    unit: str
    outcome: Outcome
    status: Status = "open"
    need: Need | None = None


class RuleCount(Base, frozen=True):
    """How often a rule was asked and what it said.

    Attributes:
        rule: Name of the rule.
        places: Places that it checked; passed, warned, failed and undecided add to it.
        passed: Places that are as it wants them.
        warned: Places that are not, where that is a warning or a hint.
        failed: Places that are not, where that is an error.
        undecided: Places of which something unknown decides.
        not_applicable: Places that it looked at and where its question does not arise.
    """

    rule: str
    places: int
    passed: int
    warned: int
    failed: int
    undecided: int
    not_applicable: int


class Review(Base, frozen=True):
    """All findings of a variant and what was checked.

    Attributes:
        variant: Id of the variant.
        findings: Worst first, then by rule and place.
        counts: Per rule, in the order of the registry.
    """

    variant: str
    findings: tuple[Finding, ...]
    counts: tuple[RuleCount, ...]
