"""Settings of a proposal: rates, counting habits and thresholds. Whatever changes a figure by habit stands here."""

from typing import Annotated

from bomtui.model.base import Base
from bomtui.model.feed import CONDUCTORS
from bomtui.model.fields import Field
from bomtui.model.limits import Levels, Limits
from bomtui.model.money import Money
from bomtui.model.part import PART_KINDS, PIN_FUNCTIONS


class Rates(Base, frozen=True):
    """What work, wire and networks cost; an absent rate is unknown, not free."""

    placement: Annotated[Money | None, Field("placing one piece on a board")] = None
    test_per_module: Annotated[Money | None, Field("testing one module")] = None
    test_per_way: Annotated[Money | None, Field("testing one connector way")] = None
    assembly_per_module: Annotated[Money | None, Field("closing, sealing and labelling one module")] = None
    wire_per_metre: Annotated[Money | None, Field("one metre of wire")] = None
    wire_end: Annotated[Money | None, Field("one wire end with its contact")] = None
    bus_node: Annotated[Money | None, Field("one module on a network")] = None
    one_off: Annotated[Money | None, Field("engineering, tooling and qualification of the programme")] = None
    freight_ratio: Annotated[float | None, Field("freight over the value of parts with attrition", "ratio")] = None
    duty_ratio: Annotated[float | None, Field("customs duty over the value of parts with attrition", "ratio")] = None
    attrition_ratio: Annotated[float, Field("parts lost in assembly over parts needed", "ratio")] = 0.008
    carry_over: Annotated[bool, Field("left-over pieces of a year serve the next")] = True


class Counting(Base, frozen=True):
    """How wires and connector ways of a module are counted."""

    feed_wires: Annotated[int, Field("wires from the battery zone to a module")] = 2
    bus_wires: Annotated[int, Field("wires from the gateway zone to a module")] = 2
    common_ways: Annotated[int, Field("connector ways of a module for supply, ground and bus")] = 6
    feed_ways: Annotated[int, Field("of them for the current of a feed")] = 2
    ground_ways: Annotated[int, Field("of them for the current that returns")] = 2
    power_contact_above_a: Annotated[
        float, Field("a load above this test current takes power contacts instead of signal ways", "current")
    ] = 7.0
    power_header_ways: Annotated[int, Field("ways of the power contacts of one such load")] = 2
    wire_ends: Annotated[int, Field("ends of a wire that are paid for")] = 2


class Wires(Base, frozen=True):
    """What wires are made of, and how they lie where nobody says so."""

    conductor: Annotated[str, Field("kind of copper conductor", choices=CONDUCTORS)] = "class 5"
    wire_max_degc: Annotated[
        float, Field("temperature that insulation stands (ISO 6722-1 class B, value from memory)", "temperature")
    ] = 100.0
    bundle: Annotated[int, Field("loaded wires that lie together")] = 4


class Heat(Base, frozen=True):
    """Thermal habits."""

    case_rise_k: Annotated[float, Field("air at the board over the air of the zone", "temperature_difference")] = 15.0


class Standby(Base, frozen=True):
    """What draws current while the vehicle is parked, and what the battery has for it."""

    counted: Annotated[
        tuple[str, ...], Field("part kinds whose standby current always counts", choices=PART_KINDS)
    ] = (
        "high_side", "low_side", "half_bridge", "full_bridge", "gate_driver", "led_driver", "ignition_driver",
        "injector_driver", "sbc", "reverse", "transceiver_can", "transceiver_lin", "transceiver_eth",
        "transceiver_optical", "amplifier",
    )  # fmt: skip
    counted_when_kept_alive: Annotated[
        tuple[str, ...], Field("part kinds that count only in a module that is kept alive", choices=PART_KINDS)
    ] = ("controller", "transceiver_rf", "ldo", "dcdc")
    charge_start_ratio: Annotated[float, Field("charge of the battery when the vehicle is parked", "ratio")] = 0.9
    charge_end_ratio: Annotated[float, Field("charge at which it still starts", "ratio")] = 0.5
    ageing_ratio: Annotated[float, Field("capacity left in an aged battery", "ratio")] = 0.9
    self_discharge_ratio: Annotated[float, Field("self-discharge of the battery in a month of 720 h", "ratio")] = 0.04


class Electronics(Base, frozen=True):
    """How the modules' own current is counted."""

    bus_dominant_ratio: Annotated[float, Field("share of time in which a bus is dominant", "ratio")] = 0.5
    spi_pins: Annotated[int, Field("pins of the SPI that all serial chips of a controller share")] = 3
    crystal_debug_pins: Annotated[int, Field("pins of a controller for crystal and debugger")] = 4
    unfed_efficiency_ratio: Annotated[
        float, Field("poorest efficiency of a converter for a chip that hangs on no rail yet", "ratio")
    ] = 0.5
    unfed_quiescent_a: Annotated[
        float, Field("largest own current of a supply for a chip that hangs on no rail yet", "current")
    ] = 0.005
    unfed_tolerance_ratio: Annotated[
        float, Field("how far the voltage of a chip that hangs on no rail yet may be off what it asks for", "ratio")
    ] = 0.1


class DriveHabit(Base, frozen=True):
    """What a load of one drive code takes: channels, wires, connector ways, controller pins."""

    channels: Annotated[int, Field("driver channels; 0 where it needs none")] = 0
    conducting_paths: Annotated[int, Field("channels, or bridge paths, that carry its current at one time")] = 1
    wires: Annotated[int, Field("wires of a load")] = 1
    wires_per_contact: Annotated[int, Field("further wires per contact")] = 0
    ways: Annotated[int, Field("connector ways of a load")] = 1
    ways_per_contact: Annotated[int, Field("further ways per contact")] = 0
    least_points: Annotated[int, Field("lowest number of points by which common cost is shared")] = 0
    function: Annotated[str, Field("controller pin function that it takes", choices=PIN_FUNCTIONS)] = "gpio"
    pins: Annotated[int, Field("controller pins of that function")] = 0
    pins_per_contact: Annotated[int, Field("further pins per contact")] = 0
    plain_pins: Annotated[int, Field("controller pins by plain count")] = 0
    plain_pins_per_contact: Annotated[int, Field("further pins per contact by plain count")] = 0
    only_from_other_zone: Annotated[bool, Field("takes pins only where it is mounted outside the module's zone")] = (
        False
    )
    on_serial_bus: Annotated[bool, Field("hangs on the controller's shared SPI")] = False


DRIVE_HABITS: dict[str, DriveHabit] = {
    "HS": DriveHabit(channels=1),
    "HSP": DriveHabit(channels=1),
    "FEED": DriveHabit(channels=1),
    "LS": DriveHabit(channels=1),
    "HB2": DriveHabit(channels=2, wires=2, ways=2),
    "HB3": DriveHabit(channels=3, wires=3, ways=3),
    "HB4": DriveHabit(channels=4, conducting_paths=2, wires=4, ways=4),
    "FB": DriveHabit(channels=2, wires=2, ways=2),
    "FBH": DriveHabit(channels=2, wires=2, ways=2),
    "BR1": DriveHabit(channels=2, wires=2, ways=2),
    "GDF": DriveHabit(channels=2, wires=2, ways=2),
    "INJ": DriveHabit(channels=1),
    "INJD": DriveHabit(channels=1, wires=2, ways=2),
    "IGN": DriveHabit(channels=1),
    "LEDB": DriveHabit(channels=1, wires=2, ways=2),
    "AMP": DriveHabit(channels=1, wires=2, ways=2),
    "VID": DriveHabit(wires=0, ways=0, least_points=1),
    "AI": DriveHabit(wires=2, ways=2, function="adc", pins=1, plain_pins=1),
    "DI": DriveHabit(wires_per_contact=1, ways_per_contact=1, pins_per_contact=1, plain_pins_per_contact=1),
    "FI": DriveHabit(wires=2, ways=2, function="capture", pins=1, plain_pins=1),
    "SENT": DriveHabit(wires=6, ways=6, function="capture", pins=2, plain_pins=2),
    "SPI": DriveHabit(wires=5, ways=5, pins=1, plain_pins=4, only_from_other_zone=True, on_serial_bus=True),
    "LIN": DriveHabit(plain_pins=3),
    "RF": DriveHabit(ways=0, least_points=1),
}
"""Habits of the trade per drive code (common practice, no source); a proposal may replace any of them."""


class Settings(Base, frozen=True):
    """All settings of a proposal."""

    rates: Annotated[Rates, Field("what work, wire and networks cost")] = Rates()
    counting: Annotated[Counting, Field("how wires and ways are counted")] = Counting()
    wires: Annotated[Wires, Field("what wires are made of and how they lie")] = Wires()
    heat: Annotated[Heat, Field("thermal habits")] = Heat()
    standby: Annotated[Standby, Field("parked current and battery")] = Standby()
    electronics: Annotated[Electronics, Field("the modules' own current and pins")] = Electronics()
    limits: Annotated[Limits, Field("where a check says that something is too much")] = Limits()
    levels: Annotated[Levels, Field("test voltages of the vehicle supply")] = Levels()
    drives: Annotated[dict[str, DriveHabit], Field("what a load of a drive code takes", choices=())] = {}

    def habit(self, drive: str) -> DriveHabit:
        """Return what a load of a drive code takes: the proposal's own habit, or that of the trade."""
        own = self.drives.get(drive)
        return DRIVE_HABITS[drive] if own is None else own
