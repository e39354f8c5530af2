"""The heading of an artefact as labelled facts, for artefacts that people read as tables or pages."""

from bomtui.export.records import AssumptionRecord, Heading, PriceDates, RateRecord
from bomtui.model.plain_text import clean

NO_DATE = "unknown"
ASSUMPTION = "assumption"
"""Label of a fact that is taken for granted, before its id."""
RATE = "rate"
STANDING = "standing"
CHECKS_RUN = "checks run"
RULES_UNDECIDED = "rules not decided everywhere"
RULES_IDLE = "rules with nothing to check"
CORNER = "corner"
PACKAGE_FACTS = frozenset((STANDING, CHECKS_RUN, RULES_UNDECIDED, RULES_IDLE, CORNER))
"""Labels of facts that a short heading leaves out."""


def heading_facts(heading: Heading) -> tuple[tuple[str, str], ...]:
    """Return label and text of each fact, in the order in which they are printed."""
    notice = ((("notice", heading.notice),) if heading.notice else ())  # fmt: skip
    return (
        ("title", heading.title),
        *notice,
        ("revision", clean(heading.revision) or "none given"),
        ("content hash", heading.content_hash),
        ("variant", f"{heading.variant} ({clean(heading.variant_name)})" if heading.variant_name else heading.variant),
        ("program", f"{heading.program} {heading.program_version}"),
        ("price date", price_date_text(heading.price_date)),
        *((RATE, rate_text(rate)) for rate in heading.rates),
        (STANDING, standing_text(heading)),
        ("open errors", open_errors_text(heading)),
        (CHECKS_RUN, f"{heading.checks_run} places by {heading.rules_run} rules; nothing else was checked"),
        ("checks not decided", str(heading.undecided)),
        *(((RULES_UNDECIDED, " ".join(heading.rules_undecided)),) if heading.rules_undecided else ()),
        *(((RULES_IDLE, " ".join(heading.rules_idle)),) if heading.rules_idle else ()),
        ("faults of the files", str(heading.file_problems)),
        *((CORNER, corner) for corner in heading.corners),
        *((f"{ASSUMPTION} {own.id}", assumption_text(own)) for own in heading.assumptions),
        *(("caution", caution) for caution in heading.cautions),
    )


def standing_text(heading: Heading) -> str:
    """Say whether an artefact may go to a customer."""
    if heading.sendable:
        return "sendable: no open error and no fault of the files"
    reasons = [counted(heading.open_errors, "open error", "open errors")] if heading.open_errors else []
    if heading.file_problems:
        reasons.append(counted(heading.file_problems, "fault of the files", "faults of the files"))
    word = "FORCED although not sendable" if heading.forced else "NOT SENDABLE"
    return f"{word}: {' and '.join(reasons)}"


def open_errors_text(heading: Heading) -> str:
    """Count the errors, with those that somebody accepted."""
    accepted = f", {heading.accepted_errors} of them accepted" if heading.accepted_errors else ""
    return f"{heading.open_errors}{accepted}"


def counted(number: int, one: str, many: str) -> str:
    """Write a count with its noun."""
    return f"{number} {one if number == 1 else many}"


def rate_text(rate: RateRecord) -> str:
    """Write a rate with its direction and day."""
    day = "of an unknown day" if rate.date is None else f"of {rate.date}"
    return f"1 {rate.currency} = {rate.worth} {day}"


def assumption_text(own: AssumptionRecord) -> str:
    """Write an assumption: what is assumed, where it stands, who confirms it until when, what it changes if wrong."""
    cost = "" if own.effect_cost is None else f"{own.effect_cost} a vehicle"
    effect = ", ".join(filter(None, (clean(own.effect), cost)))
    words = (
        clean(own.text),
        own.status,
        f"owner {clean(own.owner)}" if own.owner else "no owner",
        f"due {own.due}" if own.due is not None else "no due date",
        f"if wrong: {effect}" if effect else "effect if wrong not given",
    )
    return "; ".join(words)


def price_date_text(dates: PriceDates) -> str:
    """Write the days of the prices: one day, the first and the last, and how many are not known."""
    if dates.oldest is None or dates.newest is None:
        return NO_DATE
    span = f"{dates.oldest}" if dates.oldest == dates.newest else f"{dates.oldest} to {dates.newest}"
    return f"{span}, {dates.unknown} without a date" if dates.unknown else span
