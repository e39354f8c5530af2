"""A variant: one architecture, made of modules with devices, items and placements."""

import datetime
from decimal import Decimal
from typing import Annotated

from bomtui.model.base import Base
from bomtui.model.feed import TERMINALS, Circuit, Feed
from bomtui.model.fields import Field
from bomtui.model.money import Money
from bomtui.model.network import Network

FET_CURRENTS = ("feed", "load", "freewheel", "converter")
"""What a FET carries: the current of its module behind the reverse-battery protection; of the loads whose power stage
it is; of these while the other switch is off; of a converter, whose loss is counted at its controller."""

JOINS = ("parallel", "shared")
"""parallel: several channels carry one load; shared: several loads hang knowingly on one channel."""

BATTERY = "battery"
"""What a device names in place of a rail when it draws from the battery."""


class Amount(Base, frozen=True):
    """An exact quantity of a part, with the unit in which it is sold where that is not pieces."""

    quantity: Decimal
    unit: str = "piece"


class Rail(Base, frozen=True):
    """A voltage inside a module."""

    voltage_v: Annotated[float, Field("nominal voltage", "voltage")]
    source: Annotated[str, Field("reference of the device that makes it", refers_to="device")]
    note: Annotated[str, Field("free text", informational=True)] = ""


class Device(Base, frozen=True):
    """One placed part with a reference."""

    part: Annotated[str, Field("catalog key", refers_to="part")]
    supply: Annotated[
        dict[str, str], Field("per supply input of the part: the rail, or `battery`", refers_to="rail")
    ] = {}
    terminal: Annotated[str, Field("battery terminal it is fed from", choices=TERMINALS)] = "30"
    feed: Annotated[
        str, Field("feed of its module that supplies it; absent: the only one, or unknown", refers_to="feed")
    ] = ""
    commanded_by: Annotated[
        str,
        Field(
            "reference of the controller that commands it; absent: the only one of its module, or unknown",
            refers_to="device",
        ),
    ] = ""
    counted_in_load: Annotated[
        str, Field("load whose battery current already holds this device's draw", refers_to="load")
    ] = ""
    carries: Annotated[str | None, Field("what current a FET carries", choices=FET_CURRENTS)] = None
    in_parallel_with: Annotated[str, Field("FET with which it shares that current equally", refers_to="device")] = ""
    behind_reverse_fet: Annotated[bool | None, Field("whether its current passes the reverse-battery FET")] = None
    flash_need_byte: Annotated[float | None, Field("program memory that its software takes", "data_size")] = None
    ram_need_byte: Annotated[float | None, Field("working memory that its software takes", "data_size")] = None
    core_load_ratio: Annotated[float | None, Field("share of its computing time that its software takes", "ratio")] = (
        None
    )
    fitment_ratio: Annotated[
        float | None, Field("share of the vehicles with its module that have it; absent: all of them", "ratio")
    ] = None
    note: Annotated[str, Field("free text", informational=True)] = ""


class Item(Base, frozen=True):
    """A part counted in a module without a reference."""

    quantity: Annotated[Amount, Field("how much of it; may be fractional")]
    note: Annotated[str, Field("free text", informational=True)] = ""


class Module(Base, frozen=True):
    """One box in one zone."""

    name: Annotated[str, Field("what people call it", informational=True)] = ""
    zone: Annotated[str, Field("where it is mounted", refers_to="zone")] = ""
    keep_alive: Annotated[bool, Field("stays partly awake while the vehicle is parked")] = False
    fitment_ratio: Annotated[float | None, Field("share of the vehicles that have it; absent: all", "ratio")] = None
    feeds: Annotated[tuple[str, ...], Field("feeds that supply it", refers_to="feed")] = ()
    rails: Annotated[dict[str, Rail], Field("voltages inside it")] = {}
    devices: Annotated[dict[str, Device], Field("placed parts by reference")] = {}
    items: Annotated[dict[str, Item], Field("parts counted without a reference", refers_to="part")] = {}
    note: Annotated[str, Field("free text", informational=True)] = ""


class Placement(Base, frozen=True):
    """Where a load is served."""

    on: Annotated[tuple[str, ...], Field("channels `MODULE.REF.CHANNEL`, or only the module for what needs no channel")]
    joined: Annotated[str | None, Field("how channels or loads are joined", choices=JOINS)] = None
    stage: Annotated[tuple[str, ...], Field("FETs `MODULE.REF` that the channel drives")] = ()
    rail: Annotated[
        str,
        Field(
            "rail of the module that feeds it, as of a 5 V sensor; absent: the battery, or the rail of its driver",
            refers_to="rail",
        ),
    ] = ""
    fail_safe: Annotated[
        str, Field("device `MODULE.REF` whose fail-safe output keeps it on without its controller; absent: none")
    ] = ""
    commanded_over: Annotated[
        str,
        Field(
            "network over which its command comes from another module; absent: none, or unknown", refers_to="network"
        ),
    ] = ""
    pinned: Annotated[bool, Field("kept by automatic placement", informational=True)] = False
    circuit: Annotated[Circuit, Field("wire and contact between module and load")] = Circuit()
    note: Annotated[str, Field("free text", informational=True)] = ""


class Acceptance(Base, frozen=True):
    """A finding that somebody has accepted, with the numbers it was accepted at."""

    rule: Annotated[str, Field("rule that found it")]
    place: Annotated[str, Field("where")]
    reason: Annotated[str, Field("why it is accepted")]
    by: Annotated[str, Field("who accepted it")] = ""
    date: Annotated[datetime.date | None, Field("when")] = None
    measured: Annotated[str, Field("measured value at acceptance, as printed")] = ""
    limit: Annotated[str, Field("limit at acceptance, as printed")] = ""
    note: Annotated[str, Field("free text")] = ""


class Variant(Base, frozen=True):
    """One architecture for the vehicle's loads."""

    name: Annotated[str, Field("what people call it")] = ""
    one_off: Annotated[
        Money | None, Field("engineering, tooling and qualification of this variant; absent: that of the rates")
    ] = None
    feeds: Annotated[dict[str, Feed], Field("what brings battery current to its modules")] = {}
    networks: Annotated[dict[str, Network], Field("buses, rings and links between modules")] = {}
    modules: Annotated[dict[str, Module], Field("boxes by id")] = {}
    placements: Annotated[dict[str, Placement], Field("where each load is served", refers_to="load")] = {}
    accepted: Annotated[dict[str, Acceptance], Field("accepted findings")] = {}
    note: Annotated[str, Field("free text")] = ""
