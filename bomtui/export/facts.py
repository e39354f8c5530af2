"""The heading of an artefact as labelled facts, for artefacts that people read as tables or pages."""

from bomtui.export.records import Heading, PriceDates
from bomtui.model.plain_text import clean

NO_DATE = "unknown"


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
        *(("caution", caution) for caution in heading.cautions),
    )


def price_date_text(dates: PriceDates) -> str:
    """Write the days of the prices: one day, the first and the last, and how many are not known."""
    if dates.oldest is None or dates.newest is None:
        return NO_DATE
    span = f"{dates.oldest}" if dates.oldest == dates.newest else f"{dates.oldest} to {dates.newest}"
    return f"{span}, {dates.unknown} without a date" if dates.unknown else span
