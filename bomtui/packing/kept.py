"""Which rules a packing keeps, and how.

A rule is asked of every load on every chip that might serve it, or of a chip with all its loads, or of what is kept
apart; everything else is said by the review of the finished plan.
"""

from collections.abc import Iterable
from math import inf
from typing import Literal

from bomtui.model.finding import SEVERITIES, Finding

Keep = Literal["errors", "warnings"]
"""errors: a plan brings no new error of the rules that it keeps; warnings: no new warning either."""

OF_A_LOAD: tuple[str, ...] = (
    "channel.missing",
    "channel.short",
    "drive.side",
    "supply.net",
    "current.channel",
    "current.margin",
    "inrush.limit",
    "stall.limit",
    "stage.missing",
    "pwm.frequency",
    "pwm.ontime",
    "current.regulation",
    "string.voltage",
    "string.headroom",
    "parallel.channels",
    "diagnosis.seen",
    "diagnosis.coverage",
    "outage.unseen",
    "wetting.low",
    "freewheel.missing",
    "clamp.energy",
    "heat.switching",
    "grade.zone",
    "rail.missing",
    "crank.voltage",
    "supply.dropout",
    "voltage.dump",
    "voltage.jump",
    "battery.reversed",
    "safety.capability",
    "part.forbidden",
    "part.absent",
    "maker.unapproved",
    "grade.low",
    "package.refused",
    "life.cycle",
)
"""Rules asked of one load on one chip; what they find there depends on nothing else on the chip."""

OF_A_CHIP: tuple[str, ...] = ("heat.junction", "heat.gain", "current.chip")
"""Rules asked of a chip with all its loads."""

OF_PAIRS: tuple[str, ...] = ("standin.device", "separation.device")
"""Rules that keep loads apart."""

OF_A_MODULE: tuple[str, ...] = ("channel.twice", "pins.short", "rail.load", "reserve.channels", "reserve.pins")
"""Rules of a module with all its chips; a plan is held to them by its review."""

KEPT = frozenset((*OF_A_LOAD, *OF_A_CHIP, *OF_PAIRS, *OF_A_MODULE))
"""Every rule that a packing keeps."""

Mark = tuple[str, str]
"""Rule and outcome of a finding that something has already: the same again is nothing new."""


def mark(finding: Finding) -> Mark:
    """Return what a finding is known by, whatever its values are."""
    return finding.rule, finding.outcome


def is_worse(now: Finding, then: Finding) -> bool:
    """Tell whether a finding is graver, or further beyond its limit, than a former one of the same rule.

    What cannot be compared in numbers is worse unless it is the same.
    """
    if SEVERITIES.index(now.severity) < SEVERITIES.index(then.severity):
        return True
    if (now.measured, now.limit) == (then.measured, then.limit):
        return False
    beyond_now, beyond_then = _beyond_limit(now), _beyond_limit(then)
    return beyond_now is None or beyond_then is None or beyond_now > beyond_then


def _beyond_limit(finding: Finding) -> float | None:
    """How many times the limit lies on the wrong side of the measured value; None where they are no numbers."""
    measured, limit = finding.measured, finding.limit
    if not isinstance(measured, float) or not isinstance(limit, float) or min(measured, limit) < 0:
        return None
    small, large = sorted((measured, limit))
    return large / small if small else inf


def counts_against(finding: Finding, keep: Keep) -> bool:
    """Tell whether a finding of a kept rule speaks against a plan; what is undecided only makes it unsure."""
    if finding.rule not in KEPT or finding.outcome == "undecided":
        return False
    return finding.severity == "error" or (keep == "warnings" and finding.severity == "warning")


def speaks_against(finding: Finding, keep: Keep) -> bool:
    """Tell whether a new finding speaks against a finished plan: every error does, and what the plan keeps."""
    return counts_against(finding, keep) or (finding.severity == "error" and finding.outcome == "failed")


def unsure(findings: Iterable[Finding], known: frozenset[Mark]) -> tuple[str, ...]:
    """Return the rules that could not be decided of something, and were not undecided before."""
    return tuple(
        sorted(
            {own.rule for own in findings if own.rule in KEPT and own.outcome == "undecided" and mark(own) not in known}
        )
    )
