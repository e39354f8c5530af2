"""What an edit would change, as the screens show it."""

from bomtui.model.finding import Finding
from bomtui.services.effects import Effect
from bomtui.services.present import aligned_text, amount_text
from bomtui.tui.candidates import Change
from bomtui.tui.from_services.findings import SEVERITY_MARKS, UNDECIDED
from bomtui.tui.marks import Mark

NOT_KNOWN = "?"


def changes_of(effect: Effect) -> tuple[Change, ...]:
    """Return every figure now and after."""
    return tuple(Change(own.name, own.now, own.after, own.change) for own in effect.changes)


def findings_of(findings: tuple[Finding, ...]) -> tuple[tuple[Mark, str], ...]:
    """Return findings as marked sentences."""
    return tuple(_finding(own) for own in findings)


def _finding(own: Finding) -> tuple[Mark, str]:
    if own.outcome == UNDECIDED:
        return "unknown", f"{UNDECIDED}, {own.rule}, {own.place}: {own.message}"
    return SEVERITY_MARKS[own.severity], f"{own.severity}, {own.rule}, {own.place}: {own.message}"


def cost_cell(effect: Effect) -> str:
    """Return the change of the cost, signed, and whether it is one of what is known only.

    Where more becomes unknown than was, that is said too; where only what is unknown changes, nothing else can be said.
    """
    more = effect.cost_after.unknown - effect.cost_now.unknown
    if more and not effect.cost_change:
        return NOT_KNOWN
    sign = "+" if effect.cost_change > 0 else ""
    text = f"{sign}{amount_text(effect.cost_change)}"
    if more > 0:
        return f"{text} and {NOT_KNOWN}"
    return f"{text} known" if effect.cost_now.unknown else text


def standby_cell(effect: Effect) -> str:
    """Return the change of the standby current, signed, typical and worst where they differ."""
    texts = [_signed_ua(change) for change in effect.standby_change_a]
    return texts[0] if texts[0] == texts[1] else "/".join(texts)


def _signed_ua(change_a: float | None) -> str:
    if change_a is None:
        return NOT_KNOWN
    sign = "+" if change_a > 0 else "-" if change_a < 0 else ""
    return sign + aligned_text(abs(change_a), "current", "uA", 1)


def state_of(effect: Effect, fine: str = "fits") -> tuple[Mark, str]:
    """Return the worst that an effect says: errors that come, too hot a device, warnings, what nobody knows.

    Args:
        effect: The effect.
        fine: What is said where there is nothing of that.
    """
    errors = sum(own.severity == "error" and own.outcome != UNDECIDED for own in effect.added)
    if errors:
        return "over", f"{errors} new error{'s' if errors > 1 else ''}"
    if effect.heat is not None and effect.heat.warmth == "over":
        return "over", "too hot"
    if effect.hottest is not None and effect.hottest.warmth == "over":
        was = effect.hottest_now is not None and effect.hottest_now.warmth == "over"
        if effect.heat is None or not was:
            return "over", f"{effect.hottest.device} {'still ' if was else ''}too hot"
    warnings = sum(own.severity == "warning" and own.outcome != UNDECIDED for own in effect.added)
    if warnings:
        return "check", f"{warnings} new warning{'s' if warnings > 1 else ''}"
    if effect.heat is not None and effect.heat.warmth == "unknown":
        return "unknown", "heat unknown"
    undecided = sum(own.outcome == UNDECIDED for own in effect.added)
    if undecided:
        return "unknown", f"{undecided} undecided"
    return "ok", fine


def junction_cell(effect: Effect) -> str:
    """Return the junction of the device that was asked about at its worst corner, without its unit.

    Too hot a junction is no number to rank by.
    """
    if effect.heat is None:
        return ""
    if effect.heat.warmth == "over":
        return "over"
    return effect.heat.text.rpartition(", ")[2].removesuffix(" max").replace(" degC", "")
