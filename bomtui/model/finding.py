"""What a check says of one place."""

from typing import Literal

from bomtui.model.base import Base
from bomtui.model.bound import Value

Severity = Literal["error", "warning", "hint"]
SEVERITIES: tuple[Severity, ...] = ("error", "warning", "hint")
"""Worst first."""

Outcome = Literal["passed", "failed", "undecided"]
Status = Literal["open", "accepted"]


class Verdict(Base, frozen=True):
    """One rule asked at one place.

    Attributes:
        place: Id or address of the place.
        outcome: passed, failed, or undecided where something that the rule needs is unknown.
        measured: What the place has; text where the rule compares words.
        limit: What it is held against.
        unit: Unit of both; empty for words and counts.
        severity: Severity if failed or undecided; the rule's own where None.
        facts: Values for the rule's message, by name.
    """

    place: str
    outcome: Outcome
    measured: Value | str = None
    limit: Value | str = None
    unit: str = ""
    severity: Severity | None = None
    facts: dict[str, str] = {}


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


class RuleCount(Base, frozen=True):
    """How often a rule was asked and what it said."""

    rule: str
    places: int
    passed: int
    failed: int
    undecided: int


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
