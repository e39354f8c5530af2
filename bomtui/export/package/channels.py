"""Channels, and the pins of controllers: who drives which load, and what of it is spare."""

from typing import Annotated

from msgspec import Meta

from bomtui.export.package.artefact import Artefact
from bomtui.export.records import Heading, Record
from bomtui.export.table import table_of

NAME, TITLE = "channel-list", "Channel and pin list"


class ChannelRow(Record, frozen=True, kw_only=True):
    """One channel of a device with what hangs on it, or a load that needs no channel."""

    module: str
    ref: Annotated[str, Meta(description="device; empty for a load that needs a controller pin only")]
    part: Annotated[str, Meta(description="catalog key")]
    channel: Annotated[int | None, Meta(description="number of the channel; empty where none is named")]
    state: Annotated[str, Meta(description="used, spare, or unknown where the part does not say how many it has")]
    load: Annotated[str, Meta(description="load, or feed that the channel switches")]
    name: Annotated[str, Meta(description="what people call it")]
    drive: Annotated[str, Meta(description="how it is connected")]
    joined: Annotated[str, Meta(description="parallel: several channels carry it; shared: it shares its channel")]
    pin_function: Annotated[str, Meta(description="what a controller pin must do for a load without a channel")]
    pins: Annotated[int | None, Meta(description="how many such pins it takes")]
    commanded_by: Annotated[str, Meta(description="controller of the device, where it is named")]
    wires: Annotated[int | None, Meta(description="wires between module and load, where the load names them")]
    wire_area_m2: Annotated[float | None, Meta(description="cross-section of each", extra={"unit": "mm2"})]


class PinRow(Record, frozen=True, kw_only=True):
    """Pins of one controller for one function, or what is short of several functions together."""

    module: str
    controller: Annotated[str, Meta(description="reference; empty for signals that any controller may take")]
    part: Annotated[str, Meta(description="catalog key")]
    function: Annotated[str, Meta(description="what the pin must do; joined with + where only together they are short")]
    needed: Annotated[int | None, Meta(description="pins that devices and loads need")]
    short: Annotated[int | None, Meta(description="pins that the matching does not find; empty where none is")]
    pins_of_controller: Annotated[int | None, Meta(description="pins that the controller has for all functions")]


class ChannelList(Heading, frozen=True, kw_only=True):
    """Channels and controller pins of one variant."""

    channels: tuple[ChannelRow, ...]
    pins: tuple[PinRow, ...]
    pins_unknown: Annotated[tuple[str, ...], Meta(description="parts whose pins, or pin needs, are not known")]


def artefact(record: ChannelList) -> Artefact:
    """Return the artefact of a channel list."""
    missing = f"Pins not known of: {' '.join(record.pins_unknown)}." if record.pins_unknown else ""
    notes = ("Positions in connectors are not part of a proposal and are not given here.",)
    return Artefact(
        NAME,
        TITLE,
        record,
        record,
        (
            table_of("", "Channels", ChannelRow, record.channels, notes=notes, keys=4),
            table_of("pins", "Controller pins", PinRow, record.pins, notes=(missing,) if missing else ()),
        ),
    )
