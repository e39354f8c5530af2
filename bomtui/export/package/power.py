"""The power budget: currents per mode of every module, what supplies give to their rails, and who draws from them."""

from typing import Annotated

from msgspec import Meta

from bomtui.export.package.artefact import Artefact
from bomtui.export.records import Bounded, Heading, Record
from bomtui.export.table import table_of

NAME, TITLE = "power-budget", "Power budget"
VEHICLE = "vehicle"
"""What stands in the place of a module for the sum of all."""

MODE_NOTE = (
    "Currents from the battery. typ: mean over the mode at its usual voltage. max: everything with a time share on, at"
    " the worst end of the supply range, with one inrush on top; of an exclusive group of loads the largest."
)
RAIL_NOTE = (
    "Largest currents: buses dominant, loads on the rail on. The margin is what the supply can give beyond it, over"
    " what it can give."
)
CONSUMER_NOTE = "A supply that makes rails of its own is listed with its own current only."


class ModeRow(Record, frozen=True, kw_only=True):
    """Currents of a module, or of the vehicle, in one mode."""

    module: str
    mode: str
    supply_low_v: Annotated[float | None, Meta(description="lowest supply voltage of the mode")]
    supply_high_v: Annotated[float | None, Meta(description="highest supply voltage of the mode")]
    list_current_a: Annotated[
        Bounded, Meta(description="list arithmetic: current at the test voltage times time share", extra={"one": True})
    ]
    loads_a: Annotated[Bounded, Meta(description="loads at the voltage of the mode")]
    electronics_a: Annotated[Bounded, Meta(description="the modules' own parts")]
    supply_a: Annotated[Bounded, Meta(description="both together, the largest with one inrush")]
    alternator_a: Annotated[float | None, Meta(description="what the hot alternator gives; of the vehicle only")]


class SupplyRow(Record, frozen=True, kw_only=True):
    """What a supply gives to its rails in the mode in which it gives most."""

    module: str
    ref: str
    part: Annotated[str, Meta(description="catalog key")]
    rails: tuple[str, ...]
    output_v: float | None
    mode: Annotated[str, Meta(description="in which it is worst")]
    output_a: Annotated[Bounded, Meta(description="what is drawn from its rails at most", extra={"one": True})]
    limit_a: Annotated[float | None, Meta(description="what it can give")]
    margin_ratio: Annotated[Bounded, Meta(description="what is left, over what it can give", extra={"one": True})]


class ConsumerRow(Record, frozen=True, kw_only=True):
    """One supply input and what it draws of itself."""

    module: str
    rail: Annotated[str, Meta(description="rail, or battery; empty where it hangs on nothing")]
    voltage_v: Annotated[float | None, Meta(description="of the rail")]
    ref: str
    part: Annotated[str, Meta(description="catalog key")]
    supply_input: str
    current_a: Annotated[Bounded, Meta(description="its own current while awake", extra={"unit": "mA"})]
    counted_in_load: Annotated[str, Meta(description="load whose current holds it already")]


class PowerBudget(Heading, frozen=True, kw_only=True):
    """Currents of one variant per mode, supply and consumer."""

    modes: tuple[ModeRow, ...]
    supplies: tuple[SupplyRow, ...]
    consumers: tuple[ConsumerRow, ...]


def artefact(record: PowerBudget) -> Artefact:
    """Return the artefact of a power budget."""
    return Artefact(
        NAME,
        TITLE,
        record,
        record,
        (
            table_of("", "Currents per mode", ModeRow, record.modes, notes=(MODE_NOTE,)),
            table_of("supplies", "Supplies and their rails", SupplyRow, record.supplies, notes=(RAIL_NOTE,)),
            table_of("consumers", "Consumers per rail", ConsumerRow, record.consumers, notes=(CONSUMER_NOTE,)),
        ),
    )
