"""Everything computed for one variant."""

from decimal import Decimal

from bomtui.model.base import Base
from bomtui.model.bound import Value, ends
from bomtui.model.money import Total

COST_ELEMENTS = (
    "parts", "attrition", "freight", "duty", "placement", "test", "assembly", "wire", "wire_ends", "network", "one_off",
)  # fmt: skip


class Figure(Base, frozen=True, kw_only=False):
    """A figure at its two corners, in the SI unit of its name.

    Attributes:
        typ: Typical corner; None where nothing is known of it.
        max: Worst corner; for most figures the largest value, for a reserve (parking days) the smallest.
    """

    typ: Value
    max: Value


class PinUse(Base, frozen=True):
    """Pins of a module's controllers.

    Attributes:
        used: Pins needed by the matching.
        total: Pins of the controllers.
        plain_used: Historic plain count, kept as a check.
        plain_total: Pins by plain count.
        analog_used: Analog inputs by plain count.
        needs: Needed pins by function.
        short: Missing pins by function, or by functions joined with `+` where only together they do not fit.
        unknown: Names of parts whose pin needs, or whose pins, are not known.
    """

    used: int
    total: int
    plain_used: int
    plain_total: int
    analog_used: int
    needs: dict[str, int]
    short: dict[str, int]
    unknown: tuple[str, ...] = ()


class ChannelUse(Base, frozen=True):
    """Driver channels: used and there; `unknown` counts devices that do not say how many they have."""

    used: int
    total: int
    unknown: int = 0


class DeviceMode(Base, frozen=True, kw_only=False):
    """Heat of a device in one mode.

    Attributes:
        mode: Id of the mode.
        power_w: Mean heat over the mode (energy and box heat; not the verdict at the on-current).
        junction_degc: Junction at that heat, single chip on the reference board; a driver's own supply current is not
            in it.
        runaway: Whether heat rises faster with temperature than it flows away: there is no junction temperature then.
    """

    mode: str
    power_w: Figure
    junction_degc: Figure
    runaway: bool = False


class DeviceResult(Base, frozen=True):
    """One device.

    Attributes:
        ref: Reference in its module.
        part: Catalog key.
        channels_used: Channels that carry loads.
        channels: Channels of the part; None where it has none or does not say.
        worst_mode: Mode of the highest typical heat; empty where there is none.
        worst_mode_max: Mode of the highest heat in the worst corner, which need not be the same.
        modes: Heat per mode in which the electronics are awake.
    """

    ref: str
    part: str
    channels_used: int
    channels: int | None
    worst_mode: str
    worst_mode_max: str
    modes: tuple[DeviceMode, ...]

    @property
    def worst(self) -> DeviceMode | None:
        """Heat at its worst, each corner in the mode in which it is highest; None where no mode gives any.

        The mode that it names is that of the worst corner.
        """
        by_id = {mode.mode: mode for mode in self.modes}
        typ, largest = by_id.get(self.worst_mode), by_id.get(self.worst_mode_max)
        if typ is None or largest is None:
            return None
        return DeviceMode(
            self.worst_mode_max,
            Figure(typ.power_w.typ, largest.power_w.max),
            Figure(typ.junction_degc.typ, largest.junction_degc.max),
            any(mode.runaway for mode in self.modes),
        )


class ModeCurrent(Base, frozen=True):
    """Current of one mode.

    Attributes:
        mode: Id of the mode.
        loads_a: List arithmetic: current at the test voltage times time share.
        loads_at_mode_voltage_a: Mean current at the mode's own voltage, typical and worst corner of the supply range;
            while the electronics sleep what the loads draw of the standby current, with their sleep shares.
        on_current_a: Every load with a time share switched on, at the worst end of the supply range; of an exclusive
            group only the largest. Of the vehicle: over all loads, which is less than the sum of the modules where an
            exclusive group has loads in several.
        inrush_a: Largest inrush, of one load or of a together group, above what is counted as on.
        electronics_a: Current of the modules' own parts.
        supply_current_a: Typical: mean loads plus electronics. Worst: `on_current_a`, one inrush on top, electronics at
            their largest.
    """

    mode: str
    loads_a: Value
    loads_at_mode_voltage_a: Figure
    on_current_a: Value
    inrush_a: Value
    electronics_a: Figure
    supply_current_a: Figure


class WireUse(Base, frozen=True):
    """Wires, ways and metres of a module; `unknown` counts lengths that are not known."""

    wires: int
    length_m: Decimal
    ways: int
    power_headers: int
    unknown: int = 0


class ModuleResult(Base, frozen=True):
    """One module.

    Attributes:
        id: Id of the module.
        zone: Its zone.
        loads: Ids of the loads it serves, in natural order.
        pins: Controller pins.
        channels: Driver channels.
        wires: Wires and connector ways.
        standby_a: Current while the vehicle is parked.
        modes: Currents per mode.
        devices: Devices in natural order of their references.
        placed_pieces: Pieces placed on boards.
        quantities: Per part key, how much of it is in the module.
    """

    id: str
    zone: str
    loads: tuple[str, ...]
    pins: PinUse
    channels: ChannelUse
    wires: WireUse
    standby_a: Figure
    modes: tuple[ModeCurrent, ...]
    devices: tuple[DeviceResult, ...]
    placed_pieces: Decimal
    quantities: dict[str, Decimal]


class MessageResult(Base, frozen=True):
    """One message of a network.

    Attributes:
        id: Id of the message.
        frame_s: Time of its frame: without any stuff bit or lost time, and the longest it can be.
        interval_s: LIN: time from one of its slots to the next; None elsewhere.
        response_s: Longest time from the event that it reports to the end of its frame; None where no formula tells it.
        load_ratio: Share of the time that it takes.
    """

    id: str
    frame_s: Figure
    interval_s: Value
    response_s: Value
    load_ratio: Figure


class LinkResult(Base, frozen=True):
    """One way of light or radio from a node to another one.

    Attributes:
        sender: Id of the sending node.
        receiver: Id of the receiving node.
        received_dbm: Lowest power that reaches it.
        margin_db: What that is beyond its sensitivity.
    """

    sender: str
    receiver: str
    received_dbm: Value
    margin_db: Value


class NetworkResult(Base, frozen=True):
    """One network.

    Attributes:
        id: Id of the network.
        kind: What it is.
        nodes: How many nodes it has.
        length_m: Cable, fibre or way; None where unknown.
        capacitance_f: LIN: capacitance of line and nodes; None elsewhere.
        load_ratio: Share of the time in which frames are on it; None where nothing is said of its messages, or no
            formula tells it.
        cycle_s: LIN: one round of its schedule; None elsewhere.
        messages: Its messages in natural order.
        links: Ways of light or radio.
    """

    id: str
    kind: str
    nodes: int
    length_m: Value
    capacitance_f: Figure | None
    load_ratio: Figure
    cycle_s: Value
    messages: tuple[MessageResult, ...]
    links: tuple[LinkResult, ...]

    @property
    def slowest(self) -> MessageResult | None:
        """The message with the longest response, one of unknown bound before all others; None where none has any."""
        timed = [own for own in self.messages if own.response_s is not None]
        return max(
            timed, key=lambda own: ends(own.response_s)[::-1] if own.response_s is not None else (), default=None
        )

    @property
    def weakest(self) -> LinkResult | None:
        """The link with the least margin, one of unknown bound before all others; None where none has any."""
        known = [own for own in self.links if own.margin_db is not None]
        return min(known, key=lambda own: ends(own.margin_db) if own.margin_db is not None else (), default=None)


class FeedMode(Base, frozen=True):
    """Current of a feed in one mode.

    Attributes:
        mode: Id of the mode.
        current_a: Typical: mean of all that its modules draw through it. Worst: everything on, electronics at their
            largest.
        heating_a: Steady current that heats fuse, wire and contacts as the worst one does: PWM and short on-times count
            by their heat.
        peak_a: Worst current with one inrush on top.
    """

    mode: str
    current_a: Figure
    heating_a: Value
    peak_a: Value


class FeedResult(Base, frozen=True):
    """One feed.

    Attributes:
        id: Id of the feed.
        modules: Modules that it supplies, in natural order.
        modes: Its current per mode in which the electronics are awake.
        heating_a: Steady current in its worst mode.
        protection_a: Current at which it is cut off at last: that of its fuse, or the highest trip current of its
            switch.
        usable_a: What its fuse, or the channel in its place, carries for ever.
        load_ratio: Steady current over the rated current of its fuse or channel.
        length_m: Copper that its current passes, there and back.
        resistance_ohm: The same as resistance with its wires as hot as they may be.
        drop_v: Voltage that its wires take: mean current with the wires as warm as the air, worst current with them as
            hot as they may be.
        drop_ratio: Worst drop over the nominal voltage.
        wire_heat_w: Heat of its wires at the steady current.
        ampacity_a: What its wires carry for ever as they lie.
        copper_kg: Copper of its wires.
        proposed_fuse_a: Smallest fuse of its type that carries the steady current; None where none will do.
        proposed_area_m2: Smallest wire that carries what protects it and keeps the drop; None where none will do.
    """

    id: str
    modules: tuple[str, ...]
    modes: tuple[FeedMode, ...]
    heating_a: Value
    protection_a: Value
    usable_a: Value
    load_ratio: Value
    length_m: Value
    resistance_ohm: Value
    drop_v: Figure
    drop_ratio: Value
    wire_heat_w: Value
    ampacity_a: Value
    copper_kg: Value
    proposed_fuse_a: Value
    proposed_area_m2: Value


class GroundResult(Base, frozen=True):
    """One ground point.

    Attributes:
        id: What the feeds call it.
        feeds: Feeds that return to it, in natural order.
        returned_a: Steady current that comes back to it through modules, per mode.
    """

    id: str
    feeds: tuple[str, ...]
    returned_a: dict[str, Value]


class PartLine(Base, frozen=True):
    """One line of the costed parts list.

    Attributes:
        part: Catalog key.
        quantity: Quantity per average vehicle over all modules; with a fitment rate, a share of what is built in.
        lean: Quantity in the vehicle that has only what every vehicle has.
        full: Quantity in the vehicle that has everything.
        need: Quantity needed in a year, without attrition; None where volume or quantity is unknown.
        order_base: Need with attrition.
        order: Order quantity after minimum and multiple.
        rung: Lower bound of the price rung; None where there is no price.
        below_lowest: Whether the order is below the lowest rung, so that its price is only the nearest.
        unit_price: Price of the rung.
        line_price: Price per average vehicle, rounded half up to 4 digits; None where unknown.
        excess_per_year: Money in pieces ordered beyond the need with attrition, first order.
        excess_life_per_vehicle: Money in pieces left after the programme, per vehicle built.
        per_module: Share of the line price per module.
        quantities: Quantity per average vehicle in each module.
    """

    part: str
    quantity: Decimal
    lean: Decimal
    full: Decimal
    need: int | None
    order_base: int | None
    order: int | None
    rung: int | None
    below_lowest: bool
    unit_price: Decimal | None
    line_price: Decimal | None
    excess_per_year: Decimal | None
    excess_life_per_vehicle: Decimal | None
    per_module: dict[str, Decimal]
    quantities: dict[str, Decimal]


class VehicleCost(Base, frozen=True):
    """Cost of one vehicle.

    Attributes:
        elements: Cost per element.
        total: Sum of the elements.
    """

    elements: dict[str, Total]
    total: Total


class ModuleCost(Base, frozen=True):
    """Cost of one module and to whom it goes; each figure says how many of its terms are missing.

    Attributes:
        elements: Cost per element.
        subsystems: Share per subsystem.
        common: What belongs to no subsystem: supply, ground and bus.
        reserve: Spare channels and ways.
        total: Sum of the elements.
    """

    elements: dict[str, Total]
    subsystems: dict[str, Total]
    common: Total
    reserve: Total
    total: Total


class CostRollup(Base, frozen=True):
    """Cost of a variant per average vehicle, in the proposal's currency.

    The average vehicle has of everything the share that its fitment rate says. Order quantity and price rung come from
    what it needs, because that is what is bought; the lean and the full-fit vehicle differ from it in what they carry,
    at the same unit prices. Without fitment rates the three are the same.

    Attributes:
        lines: Parts list, ordered by kind and key.
        elements: Total per cost element.
        total: Sum of the elements.
        modules: Cost per module.
        subsystems: Cost per subsystem.
        common: Cost of supply, ground and bus.
        reserve: Cost of spare channels and ways.
        excess_per_year: Rounding excess, first order (capital tied up, once).
        excess_life_per_vehicle: Rounding excess left after the programme, per vehicle.
        lean: Cost of the vehicle that has only what every vehicle has.
        full: Cost of the vehicle that has everything; a part that no vehicle has is not bought and has no price.
    """

    lines: tuple[PartLine, ...]
    elements: dict[str, Total]
    total: Total
    modules: dict[str, ModuleCost]
    subsystems: dict[str, Total]
    common: Total
    reserve: Total
    excess_per_year: Total
    excess_life_per_vehicle: Total
    lean: VehicleCost
    full: VehicleCost

    @property
    def is_partly_fitted(self) -> bool:
        """Whether lean, average and full-fit vehicle differ in cost."""
        return (self.lean.total, self.full.total) != (self.total, self.total)


class Rollup(Base, frozen=True):
    """Everything computed for one variant.

    Attributes:
        snapshot_number: Number of the snapshot it was computed from.
        variant: Id of the variant.
        modules: Results per module, in natural order.
        modes: Currents of the vehicle per mode, in the order of the proposal.
        standby_a: Standby current of all modules together.
        parking_days: How long the parked vehicle lasts.
        cost: Cost rollup.
        wire_count: Wires of the vehicle.
        wire_length_m: Their length.
        feeds: Feeds in natural order.
        grounds: Ground points in natural order.
        driver_devices: Devices with channels that carry loads.
        unplaced: Loads that no module serves.
        single_values: Parameters of the parts used of which only one value is given (`part.field`): assumptions.
        networks: Results per network, in natural order.
    """

    snapshot_number: int
    variant: str
    modules: dict[str, ModuleResult]
    modes: tuple[ModeCurrent, ...]
    standby_a: Figure
    parking_days: Figure
    cost: CostRollup
    wire_count: int
    wire_length_m: Decimal
    feeds: dict[str, FeedResult]
    grounds: dict[str, GroundResult]
    driver_devices: int
    unplaced: tuple[str, ...]
    single_values: tuple[str, ...]
    networks: dict[str, NetworkResult] = {}
