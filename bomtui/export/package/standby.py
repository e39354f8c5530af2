"""The standby budget: who draws what while the vehicle is parked, and how long the battery lasts."""

from typing import Annotated

from msgspec import Meta

from bomtui.export.package.artefact import Artefact
from bomtui.export.records import Bounded, Heading, Record
from bomtui.export.table import table_of

NAME, TITLE = "standby-budget", "Standby budget"


class StandbyRow(Record, frozen=True, kw_only=True):
    """What one thing draws while the vehicle is parked."""

    module: Annotated[str, Meta(description="empty for loads that no module serves")]
    what: Annotated[str, Meta(description="device, item or load")]
    id: Annotated[str, Meta(description="reference, catalog key or load")]
    part: Annotated[str, Meta(description="catalog key")]
    current_a: Annotated[Bounded, Meta(description="while parked", extra={"unit": "uA"})]


class ModuleStandbyRow(Record, frozen=True, kw_only=True):
    """Sum of a module, or of the vehicle."""

    module: str
    current_a: Annotated[Bounded, Meta(description="sum of its parts and loads", extra={"unit": "uA"})]


class StandbyBudget(Heading, frozen=True, kw_only=True):
    """Current of one variant while the vehicle is parked."""

    modules: tuple[ModuleStandbyRow, ...]
    terms: tuple[StandbyRow, ...]
    other_standby_a: Annotated[float | None, Meta(description="what is not part of the proposal draws")]
    battery_capacity_as: float | None
    parking_days: Bounded
    days_text: Annotated[str, Meta(description="parking days in words")]


def artefact(record: StandbyBudget) -> Artefact:
    """Return the artefact of a standby budget."""
    notes = (
        f"Parking days, at 20 degC and with a new battery: {record.days_text}.",
        "Parts whose kind is switched off while parked, and devices on terminal 15, draw nothing and are not listed.",
    )
    return Artefact(
        NAME,
        TITLE,
        record,
        record,
        (
            table_of("", "Sum of each module", ModuleStandbyRow, record.modules, notes=notes),
            table_of("terms", "Who draws what", StandbyRow, record.terms),
        ),
    )
