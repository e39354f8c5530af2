"""The thermal sheet: every part with a thermal resistance, controllers and supplies included."""

from typing import Annotated, Literal

from msgspec import Meta

from bomtui.export.package.artefact import Artefact
from bomtui.export.records import Bounded, Heading, Record
from bomtui.export.table import table_of

NAME, TITLE = "thermal-sheet", "Thermal sheet"
State = Literal["within", "over", "runaway", "unknown"]

AIR_NOTE = (
    "Each chip by itself on the reference board of its theta (JESD51), in air warmer than the zone by a setting or by"
    " what the heat of its module makes of its housing, whichever is more."
)
CORNER_NOTE = (
    "on: with every load on that may be on in the mode, at the worst values: what decides whether a chip survives."
    " mean: over the mode. A junction above its maximum is the number of a model: the chip has switched off or failed."
)


class ThermalRow(Record, frozen=True, kw_only=True):
    """Heat and junction of one device in its worst mode."""

    module: str
    ref: str
    part: Annotated[str, Meta(description="catalog key")]
    kind: str
    theta_k_per_w: Annotated[float | None, Meta(description="junction to air on the reference board")]
    air_degc: Annotated[Bounded, Meta(description="air at the board", extra={"one": True})]
    mode: Annotated[str, Meta(description="in which it is hottest with its loads on")]
    power_on_w: Annotated[Bounded, Meta(description="heat with its loads on", extra={"one": True})]
    junction_on_degc: Annotated[Bounded, Meta(description="junction with its loads on", extra={"one": True})]
    junction_max_degc: Annotated[float | None, Meta(description="what the part stands")]
    margin_k: Annotated[Bounded, Meta(description="what is left to that", extra={"one": True})]
    state: Annotated[State, Meta(description="within, over its maximum, without any balance, or unknown")]
    power_mean_w: Annotated[Bounded, Meta(description="mean heat of its worst mode")]
    junction_mean_degc: Annotated[Bounded, Meta(description="junction by that heat")]


class ThermalSheet(Heading, frozen=True, kw_only=True):
    """Heat of every device of one variant that has a thermal resistance, or should have one."""

    devices: tuple[ThermalRow, ...]


def artefact(record: ThermalSheet) -> Artefact:
    """Return the artefact of a thermal sheet."""
    table = table_of("", "Devices", ThermalRow, record.devices, notes=(AIR_NOTE, CORNER_NOTE), keys=3)
    return Artefact(NAME, TITLE, record, record, (table,))
