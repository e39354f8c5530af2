"""The summary: what fits on one page."""

from typing import Annotated

from msgspec import Meta

from bomtui.export.package.artefact import Artefact
from bomtui.export.records import Amount, Bounded, Count, Heading, Record
from bomtui.export.table import table_of

NAME, TITLE = "summary", "Summary"


class CostRow(Record, frozen=True, kw_only=True):
    """One cost of the average vehicle; where terms are unknown it is at least this much."""

    cost: str
    amount: Amount
    unknown: Annotated[Count, Meta(description="terms that are missing; where it is not 0 the amount is a lower bound")]


class CountRow(Record, frozen=True, kw_only=True):
    """One count."""

    what: str
    number: Annotated[int | float | None, Meta(description="of the full-fit vehicle")]
    of: Annotated[int | None, Meta(description="how many there are")]
    unknown: Annotated[Count, Meta(description="how many more are not known")]


class ModeSumRow(Record, frozen=True, kw_only=True):
    """Current of the vehicle in one mode."""

    mode: str
    supply_a: Annotated[Bounded, Meta(description="from the battery, electronics included")]
    alternator_a: Annotated[float | None, Meta(description="what the hot alternator gives")]


class ModuleSumRow(Record, frozen=True, kw_only=True):
    """One module in short."""

    module: str
    name: str
    zone: str
    loads: Count
    cost: Amount
    cost_unknown: Count
    standby_a: Annotated[Bounded, Meta(description="while parked", extra={"unit": "uA"})]
    channels_used: Count
    channels: Count
    pins_short: Annotated[str, Meta(description="pins that the matching does not find, by function")]


class Summary(Heading, frozen=True, kw_only=True):
    """One variant on one page."""

    customer: str
    volume_per_year: int | None
    costs: tuple[CostRow, ...]
    counts: tuple[CountRow, ...]
    modes: tuple[ModeSumRow, ...]
    modules: tuple[ModuleSumRow, ...]
    standby_a: Bounded
    parking_days: Bounded
    parking_text: Annotated[str, Meta(description="parking days in words")]
    findings_text: Annotated[str, Meta(description="findings by severity in words")]


def artefact(record: Summary) -> Artefact:
    """Return the artefact of a summary."""
    volume = "volume unknown" if record.volume_per_year is None else f"{record.volume_per_year} vehicles a year"
    notes = (
        f"Customer: {record.customer or 'not named'}; {volume}; per vehicle, the average one.",
        f"Findings: {record.findings_text}. Parking days: {record.parking_text}.",
    )
    return Artefact(
        NAME,
        TITLE,
        record,
        record,
        (
            table_of("", "Cost of a vehicle", CostRow, record.costs, record.currency, notes),
            table_of("counts", "Counts", CountRow, record.counts),
            table_of("modes", "Current of the vehicle", ModeSumRow, record.modes),
            table_of("modules", "Modules", ModuleSumRow, record.modules, record.currency),
        ),
    )
