"""The vehicle: supply, battery, zones, operating modes, subsystems and stand-in pairs."""

import datetime
from typing import Annotated

from bomtui.model.base import Base
from bomtui.model.completeness import FUNCTIONS
from bomtui.model.fields import Field
from bomtui.model.safety import SAFETY_LEVELS
from bomtui.model.separation import ROLES

SUPPLY_CLASSES = ("12 V", "24 V", "48 V")
ENGINE_STATES = ("on", "off", "cranking")
ELECTRONICS_STATES = ("awake", "asleep")


class SupplyRange(Base, frozen=True):
    """Ends of a range of the supply voltage that a standard names."""

    low_v: float
    high_v: float


SUPPLY_RANGES: dict[str, SupplyRange] = {
    "12 V code A": SupplyRange(6.0, 16.0),
    "12 V code B": SupplyRange(8.0, 16.0),
    "12 V code C": SupplyRange(9.0, 16.0),
    "12 V code D": SupplyRange(10.5, 16.0),
    "24 V code E": SupplyRange(10.0, 32.0),
    "24 V code F": SupplyRange(16.0, 32.0),
    "24 V code G": SupplyRange(22.0, 32.0),
    "24 V code H": SupplyRange(18.0, 32.0),
    "48 V unlimited": SupplyRange(36.0, 52.0),
    "48 V lower limited": SupplyRange(24.0, 36.0),
    "48 V upper limited": SupplyRange(52.0, 54.0),
}
"""Supply ranges of standards.

Source: ISO 16750-2 DC supply voltage table: A, E and F seen second-hand in waveform files, the low end of D too; B, C,
G, H and the high end of D are values from memory (of G and H it is not sure which is which). 48 V unlimited operation:
VDA 320 / LV 148, seen second-hand, as ISO 21780 has it (value from memory); its limited ranges: values from memory.
"""


class Vehicle(Base, frozen=True):
    """What holds for the vehicle as a whole, whatever electronics it gets."""

    supply: Annotated[str | None, Field("nominal voltage class of the vehicle supply", choices=SUPPLY_CLASSES)] = None
    test_voltage_v: Annotated[
        float | None, Field("voltage at which the customer's list gives load currents", "voltage")
    ] = None
    volume_per_year: Annotated[int | None, Field("vehicles built in a year")] = None
    years: Annotated[int | None, Field("years of the programme")] = None
    pilot_build: Annotated[datetime.date | None, Field("day on which the parts of the first vehicles are needed")] = (
        None
    )
    start_of_production: Annotated[datetime.date | None, Field("day on which production starts")] = None
    battery_capacity_as: Annotated[float | None, Field("rated charge of the battery at 20 h rate", "charge")] = None
    other_standby_a: Annotated[
        float | None, Field("standby current of what is not part of this proposal", "current")
    ] = None
    battery_zone: Annotated[str, Field("zone from which every module is fed", refers_to="zone")] = ""
    gateway_zone: Annotated[str, Field("zone to which every module's bus runs", refers_to="zone")] = ""
    parked_mode: Annotated[str, Field("mode in which the vehicle is parked", refers_to="mode")] = ""
    note: Annotated[str, Field("free text", informational=True)] = ""


class Zone(Base, frozen=True):
    """A mounting place."""

    name: Annotated[str, Field("what people call the place", informational=True)] = ""
    ambient_degc: Annotated[float | None, Field("highest air temperature outside a module", "temperature")] = None
    distance_m: Annotated[
        dict[str, float],
        Field(
            "wire run to another zone, once per pair; to itself: the run inside the zone", "length", refers_to="zone"
        ),
    ] = {}
    note: Annotated[str, Field("free text", informational=True)] = ""


class Mode(Base, frozen=True):
    """An operating mode of the vehicle."""

    name: Annotated[str, Field("what people call the mode", informational=True)] = ""
    supply_low_v: Annotated[float | None, Field("lowest supply voltage in the mode", "voltage")] = None
    supply_nominal_v: Annotated[float | None, Field("usual supply voltage in the mode", "voltage")] = None
    supply_high_v: Annotated[float | None, Field("highest supply voltage in the mode", "voltage")] = None
    supply_range: Annotated[
        str | None,
        Field(
            "range of a standard (ISO 16750-2, ISO 21780) for an end not given; absent: none",
            choices=tuple(SUPPLY_RANGES),
        ),
    ] = None
    supply_dip_v: Annotated[float | None, Field("shortest, deepest dip, as while cranking", "voltage")] = None
    engine: Annotated[str, Field("what the engine does", choices=ENGINE_STATES)] = "on"
    electronics: Annotated[
        str, Field("awake: chips draw their run current; asleep: their standby current", choices=ELECTRONICS_STATES)
    ] = "awake"
    duration_s: Annotated[float | None, Field("how long the mode lasts at a stretch", "time")] = None
    alternator_current_a: Annotated[float | None, Field("current that the hot alternator can give", "current")] = None
    note: Annotated[str, Field("free text", informational=True)] = ""


class Subsystem(Base, frozen=True):
    """A group of functions that owns loads."""

    name: Annotated[str, Field("what people call it")] = ""
    function: Annotated[
        str | None, Field("what it is for; then what is usually in it is asked for", choices=FUNCTIONS)
    ] = None
    role: Annotated[
        str | None,
        Field("what its loads are for that do not say so themselves; absent: no separation by role", choices=ROLES),
    ] = None
    note: Annotated[str, Field("free text", informational=True)] = ""


class Pair(Base, frozen=True):
    """A load and the load that takes over when it fails; they must not share a cause of failure."""

    primary: Annotated[str, Field("load that may fail", refers_to="load")]
    stand_in: Annotated[str, Field("load that takes over", refers_to="load")]
    stand_in_duty_ratio: Annotated[
        float | None, Field("PWM duty at which the stand-in runs; 0 where both are needed together", "ratio")
    ] = None
    reason: Annotated[str, Field("why they belong together", informational=True)] = ""
    note: Annotated[str, Field("free text", informational=True)] = ""


class Decomposition(Base, frozen=True):
    """Two loads that are redundant for one requirement, each built to a lower level of ISO 26262 than it asks.

    A stand-in is another matter: it keeps a function available, and lowers no level.
    """

    one: Annotated[str, Field("the one load", refers_to="load")]
    other: Annotated[str, Field("the other load", refers_to="load")]
    one_level: Annotated[str | None, Field("level that the one is built to", choices=SAFETY_LEVELS)] = None
    other_level: Annotated[str | None, Field("level that the other is built to", choices=SAFETY_LEVELS)] = None
    requirement: Annotated[str, Field("what both of them are there for", informational=True)] = ""
    independence: Annotated[
        str, Field("assumption that records why they do not fail together", refers_to="assumption")
    ] = ""
    note: Annotated[str, Field("free text", informational=True)] = ""
