"""The heading of an artefact as labelled facts, for artefacts that people read as tables or pages."""

from bomtui.export.records import AssumptionRecord, Heading, PriceDates
from bomtui.model.plain_text import clean

NO_DATE = "unknown"
ASSUMPTION = "assumption"
"""Label of a fact that is taken for granted, before its id."""


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
        ("open errors", str(heading.open_errors)),
        ("checks not decided", str(heading.undecided)),
        ("faults of the files", str(heading.file_problems)),
        *((f"{ASSUMPTION} {own.id}", assumption_text(own)) for own in heading.assumptions),
        *(("caution", caution) for caution in heading.cautions),
    )


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
