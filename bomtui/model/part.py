"""A part: one catalog entry with maker, parameters, prices and life cycle."""

import datetime
from decimal import Decimal
from typing import Annotated

from bomtui.model.base import Base
from bomtui.model.fields import Field
from bomtui.model.load import CONFIDENCES
from bomtui.model.parameter import Parameter
from bomtui.model.safety import INTEGRITY_LEVELS, PERFORMANCE_LEVELS, SAFETY_LEVELS

PART_KINDS = (
    "controller", "high_side", "low_side", "half_bridge", "full_bridge", "gate_driver", "led_driver", "ignition_driver",
    "injector_driver", "fet", "transceiver_lin", "transceiver_can", "transceiver_eth", "transceiver_optical",
    "transceiver_rf", "sbc", "ldo", "dcdc", "reverse", "sensor", "amplifier", "display", "memory", "passive",
    "connector", "board", "housing",
)  # fmt: skip

DRIVER_KINDS = frozenset(
    (
        "high_side", "low_side", "half_bridge", "full_bridge", "gate_driver", "led_driver", "ignition_driver",
        "injector_driver", "amplifier",
    )
)  # fmt: skip
"""Kinds with channels that carry loads."""

SUPPLY_KINDS = frozenset(("sbc", "ldo", "dcdc"))
"""Kinds that make a rail."""

GRADES = ("G0", "G1", "G2", "G3")
"""Ambient grades of AEC-Q100: up to 150, 125, 105, 85 degC."""

LIFE_CYCLES = ("preview", "active", "nrnd", "lasttime", "obsolete")
SALE_UNITS = ("piece", "dm2")
NETS = ("12", "24", "48")
CONVERTERS = ("linear", "switching")
REVERSE_BEHAVIOURS = ("blocks", "turns_on", "conducts", "needs_protection")
"""What a part does when the battery is put in the wrong way.

blocks: no current flows; turns_on: its channels switch on, so that they carry the reversed current as at work;
conducts: their body diodes carry it; needs_protection: something before it must keep the reversed voltage away.
"""
PIN_FUNCTIONS = ("gpio", "pwm", "adc", "capture", "can", "lin", "spi", "eth", "debug")
"""What a controller pin can be used for; every pin of a group can do each function named for it.

`debug` are pins for crystal and debugger, which a controller may have beside its general pins.
"""


class PriceBreak(Base, frozen=True):
    """One rung of a price ladder: the unit price from this order quantity upwards."""

    quantity: Annotated[int, Field("lowest order quantity of the rung")]
    price: Annotated[Decimal, Field("unit price in the part's currency")]


class PinGroup(Base, frozen=True):
    """Pins of a controller that can all do the same."""

    pins: Annotated[int, Field("how many pins")]
    functions: Annotated[tuple[str, ...], Field("what each of them can be used for", choices=PIN_FUNCTIONS)]


class SupplyNeed(Base, frozen=True):
    """One supply input of a part."""

    voltage_v: Annotated[
        float | None, Field("nominal voltage of the rail it needs; absent: it takes the battery", "voltage")
    ] = None
    current_a: Annotated[
        Parameter, Field("current drawn while awake; of a bus driver: with the bus dominant", "current")
    ] = Parameter()
    idle_current_a: Annotated[Parameter | None, Field("current of a bus driver with the bus recessive", "current")] = (
        None
    )


class Part(Base, frozen=True):
    """A catalog entry. Fields that its kind does not have stay absent; a field its kind has and nobody knows too."""

    kind: Annotated[str, Field("what it is", choices=PART_KINDS)]
    family: Annotated[str, Field("what of its kind it is, such as EEPROM, panel or suppressor", informational=True)] = (
        ""
    )
    maker: Annotated[str, Field("who makes it")] = ""
    mpn: Annotated[str, Field("maker part number, letter by letter")] = ""
    description: Annotated[str, Field("one line for people", informational=True)] = ""
    package: Annotated[str, Field("package name")] = ""
    package_area_m2: Annotated[float | None, Field("board area of the package", "area", informational=True)] = None
    theta_ja_k_per_w: Annotated[
        float | None, Field("junction to air on the reference board, single chip", "thermal_resistance")
    ] = None
    theta_jc_k_per_w: Annotated[float | None, Field("junction to case", "thermal_resistance", informational=True)] = (
        None
    )
    junction_max_degc: Annotated[float | None, Field("highest junction temperature", "temperature")] = None
    grade: Annotated[str | None, Field("ambient grade", choices=GRADES)] = None
    life_cycle: Annotated[str | None, Field("where the part is in its life", choices=LIFE_CYCLES)] = None
    last_order: Annotated[datetime.date | None, Field("last day on which it can be ordered")] = None
    available_until: Annotated[
        int | None, Field("year to which the maker commits to make it; absent: no end is announced")
    ] = None
    lead_weeks: Annotated[int | None, Field("weeks from order to delivery")] = None
    moq: Annotated[int | None, Field("smallest order quantity")] = None
    multiple: Annotated[int | None, Field("orders come in multiples of this")] = None
    sale_unit: Annotated[str, Field("what the price is for", choices=SALE_UNITS)] = "piece"
    currency: Annotated[str, Field("currency of the price breaks")] = ""
    breaks: Annotated[tuple[PriceBreak, ...], Field("unit price per order quantity")] = ()
    price_date: Annotated[datetime.date | None, Field("day of the price")] = None
    price_valid_to: Annotated[
        datetime.date | None, Field("last day on which the price holds; absent: as long as its age is taken")
    ] = None
    alternates: Annotated[tuple[str, ...], Field("parts that can replace it", refers_to="part")] = ()
    safety: Annotated[
        str | None, Field("highest integrity level for which it is declared usable", choices=SAFETY_LEVELS)
    ] = None
    safety_pl: Annotated[
        str | None,
        Field("highest performance level (ISO 13849-1) for which it is declared usable", choices=PERFORMANCE_LEVELS),
    ] = None
    safety_sil: Annotated[
        str | None,
        Field("highest integrity level of IEC 61508 for which it is declared usable", choices=INTEGRITY_LEVELS),
    ] = None
    moisture_level: Annotated[int | None, Field("moisture sensitivity level", informational=True)] = None
    material_declaration: Annotated[
        bool | None, Field("whether a material declaration is available", informational=True)
    ] = None
    origin_country: Annotated[str, Field("country of origin", informational=True)] = ""
    customs_code: Annotated[str, Field("customs tariff number", informational=True)] = ""
    mass_kg: Annotated[float | None, Field("mass of one piece", "mass", informational=True)] = None
    placements: Annotated[int, Field("how often one piece is placed on a board")] = 1

    supplies: Annotated[dict[str, SupplyNeed], Field("its supply inputs by name")] = {}
    standby_current_a: Annotated[
        Parameter,
        Field("off-state, sleep, stop or quiescent current while the module sleeps", "current"),
    ] = Parameter()
    absolute_max_v: Annotated[float | None, Field("absolute maximum of the supply input", "voltage")] = None
    operating_min_v: Annotated[float | None, Field("lowest operating voltage", "voltage")] = None
    operating_max_v: Annotated[float | None, Field("highest operating voltage", "voltage")] = None
    nets: Annotated[tuple[str, ...], Field("vehicle supplies it is made for", choices=NETS)] = ()

    control_pins: Annotated[int | None, Field("controller pins by plain count")] = None
    analog_pins: Annotated[int | None, Field("analog controller inputs by plain count")] = None
    pin_needs: Annotated[
        dict[str, int], Field("controller pins by function; `channel` inputs take PWM where the load needs it")
    ] = {}
    serial_bus: Annotated[bool, Field("hangs on the controller's shared SPI")] = False

    gpio_pins: Annotated[int | None, Field("pins of a controller")] = None
    pwm_pins: Annotated[int | None, Field("of them able to give PWM")] = None
    adc_pins: Annotated[int | None, Field("of them able to read an analog voltage")] = None
    capture_pins: Annotated[int | None, Field("of them able to time an edge")] = None
    pin_groups: Annotated[
        dict[str, PinGroup],
        Field("which pins can do what; together all general pins, and those only for crystal and debugger"),
    ] = {}
    can_ports: Annotated[int | None, Field("CAN FD ports")] = None
    lin_ports: Annotated[int | None, Field("LIN ports")] = None
    eth_ports: Annotated[int | None, Field("Ethernet ports", informational=True)] = None
    spi_ports: Annotated[int | None, Field("SPI ports", informational=True)] = None
    uart_ports: Annotated[int | None, Field("UART ports", informational=True)] = None
    core_frequency_hz: Annotated[float | None, Field("clock of the core", "frequency", informational=True)] = None
    flash_byte: Annotated[float | None, Field("program memory", "data_size")] = None
    ram_byte: Annotated[float | None, Field("working memory", "data_size")] = None
    data_flash_byte: Annotated[
        float | None, Field("memory that keeps fault records", "data_size", informational=True)
    ] = None
    lockstep: Annotated[bool | None, Field("cores compared in lockstep", informational=True)] = None
    security_module: Annotated[bool | None, Field("has a hardware security module", informational=True)] = None
    wake_time_s: Annotated[float | None, Field("time to wake", "time", informational=True)] = None

    channels: Annotated[int | None, Field("outputs that carry loads")] = None
    sides: Annotated[tuple[str, ...], Field("drive codes that one channel, or several, can serve")] = ()
    rds_on_ohm: Annotated[
        Parameter, Field("on-resistance at 25 degC; of a bridge: high side plus low side", "resistance")
    ] = Parameter()
    saturation_v: Annotated[
        Parameter, Field("voltage across a bipolar switch that conducts, in place of an on-resistance", "voltage")
    ] = Parameter()
    hot_rds_on_ratio: Annotated[float | None, Field("on-resistance at 150 degC over that at 25 degC", "ratio")] = None
    current_all_a: Annotated[float | None, Field("continuous current of a channel, all channels on", "current")] = None
    current_one_a: Annotated[float | None, Field("continuous current of a channel, the others off", "current")] = None
    current_limit_a: Annotated[Parameter, Field("current at which a channel limits or trips", "current")] = Parameter()
    inrush_i2t_a2s: Annotated[float | None, Field("inrush that it stands repeatedly", "i2t", informational=True)] = None
    rise_time_s: Annotated[Parameter, Field("switch-on edge", "time")] = Parameter()
    fall_time_s: Annotated[Parameter, Field("switch-off edge", "time")] = Parameter()
    delay_time_s: Annotated[float | None, Field("delay from input to edge", "time")] = None
    pwm_max_hz: Annotated[float | None, Field("highest PWM frequency", "frequency")] = None
    clamp_v: Annotated[Parameter, Field("voltage across the switch at inductive turn-off", "voltage")] = Parameter()
    clamp_energy_j: Annotated[float | None, Field("single turn-off energy that it stands", "energy")] = None
    clamp_repetitive_ratio: Annotated[
        float | None, Field("share of the single energy that it stands at every cycle", "ratio")
    ] = None
    freewheel: Annotated[bool | None, Field("has a freewheel path of its own")] = None
    current_sense: Annotated[bool | None, Field("measures its load currents")] = None
    sense_tolerance_ratio: Annotated[float | None, Field("error of the current sense", "ratio")] = None
    diagnosis: Annotated[tuple[str, ...], Field("how faults are reported: sense, flag, serial")] = ()
    parallel_ok: Annotated[bool | None, Field("channels of one chip may work in parallel")] = None
    reverse_behaviour: Annotated[
        str | None, Field("what it does at reverse battery by itself", choices=REVERSE_BEHAVIOURS)
    ] = None
    fail_safe_output: Annotated[bool | None, Field("has an output that works without the controller")] = None
    restart: Annotated[str, Field("after a trip: latch or retry", informational=True)] = ""
    topology: Annotated[str, Field("circuit, such as linear, buck or boost-buck")] = ""
    shunt_amplifiers: Annotated[int | None, Field("amplifiers for current shunts", informational=True)] = None
    full_duty: Annotated[bool | None, Field("can stay fully on under PWM", informational=True)] = None
    string_min_v: Annotated[float | None, Field("lowest voltage of an LED string that it drives", "voltage")] = None
    string_max_v: Annotated[float | None, Field("highest voltage of an LED string that it drives", "voltage")] = None
    led_fault_v: Annotated[
        float | None, Field("string voltage step at which a failed LED is seen", "voltage", informational=True)
    ] = None

    drain_source_v: Annotated[float | None, Field("drain-source voltage of a FET", "voltage")] = None
    drain_current_a: Annotated[float | None, Field("continuous drain current", "current")] = None
    gate_charge_c: Annotated[float | None, Field("total gate charge", "gate_charge")] = None
    gate_threshold_v: Annotated[float | None, Field("gate threshold of a FET", "voltage", informational=True)] = None
    gate_current_a: Annotated[float | None, Field("gate current of a pre-driver", "current")] = None

    bus: Annotated[str, Field("network that it serves")] = ""
    ports: Annotated[int | None, Field("ports of a transceiver or switch")] = None
    rate_bit_per_s: Annotated[float | None, Field("highest bit rate", "bit_rate")] = None
    wake: Annotated[str, Field("what wakes it")] = ""
    bus_fault_v: Annotated[float | None, Field("voltage that its bus pins stand", "voltage", informational=True)] = None
    bus_pull_up_ohm: Annotated[float | None, Field("pull-up of its bus pin", "resistance", informational=True)] = None
    node_capacitance_f: Annotated[
        float | None, Field("capacitance at the bus pin", "capacitance", informational=True)
    ] = None
    launch_power_dbm: Annotated[float | None, Field("lowest transmit power", "power_level")] = None
    sensitivity_dbm: Annotated[float | None, Field("receiver sensitivity", "power_level")] = None

    converter: Annotated[str | None, Field("how it makes its rail", choices=CONVERTERS)] = None
    output_v: Annotated[float | None, Field("voltage of its rails", "voltage")] = None
    output_current_a: Annotated[float | None, Field("current of all its rails together", "current")] = None
    output_tolerance_ratio: Annotated[
        float | None, Field("tolerance of the output voltage; absent: as set", "ratio")
    ] = None
    rails: Annotated[int | None, Field("rails it makes")] = None
    efficiency_ratio: Annotated[Parameter, Field("efficiency of a switching converter", "ratio")] = Parameter()
    short_to_battery_ok: Annotated[bool | None, Field("stands its output shorted to the battery")] = None
    dropout_v: Annotated[float | None, Field("input over output voltage that a linear supply needs", "voltage")] = None
    switching_frequency_hz: Annotated[float | None, Field("switching frequency", "frequency", informational=True)] = (
        None
    )
    watchdog: Annotated[bool | None, Field("has a watchdog")] = None
    auxiliary_outputs: Annotated[int | None, Field("small high-side outputs", informational=True)] = None

    measures: Annotated[str, Field("what a sensor measures", informational=True)] = ""
    tracks: Annotated[int | None, Field("independent tracks of a sensor", informational=True)] = None
    output_form: Annotated[str, Field("how a sensor gives its value", informational=True)] = ""
    measuring_range: Annotated[str, Field("range of a sensor", informational=True)] = ""
    accuracy: Annotated[str, Field("accuracy of a sensor", informational=True)] = ""

    channel_power_w: Annotated[float | None, Field("output power of an amplifier channel", "power")] = None
    rating: Annotated[str, Field("rating as the maker writes it", informational=True)] = ""
    size: Annotated[str, Field("size of a panel or memory", informational=True)] = ""

    leakage_a: Annotated[float | None, Field("leakage of a suppressor or FET", "current", informational=True)] = None
    suppressor_clamp_v: Annotated[float | None, Field("clamp voltage of a suppressor", "voltage")] = None
    shunt_ohm: Annotated[float | None, Field("resistance of a shunt", "resistance", informational=True)] = None
    capacitance_f: Annotated[float | None, Field("capacitance of a capacitor", "capacitance", informational=True)] = (
        None
    )
    rated_voltage_v: Annotated[float | None, Field("voltage rating of a capacitor", "voltage", informational=True)] = (
        None
    )
    ways: Annotated[int | None, Field("ways of a connector")] = None
    contact_current_a: Annotated[float | None, Field("current of one contact", "current")] = None
    ingress: Annotated[str, Field("ingress class (ISO 20653)", informational=True)] = ""
    layers: Annotated[int | None, Field("copper layers of a board", informational=True)] = None
    case_power_w: Annotated[float | None, Field("heat that a housing carries away at its rise", "power")] = None
    case_rise_k: Annotated[float | None, Field("rise of the air inside at that heat", "temperature_difference")] = None
    board_area_max_m2: Annotated[float | None, Field("largest board that a housing holds", "area")] = None

    confidence: Annotated[str, Field("how sure the data are", choices=CONFIDENCES, informational=True)] = "given"
    invented: Annotated[
        tuple[str, ...],
        Field("fields of a demo part that were invented beyond its published table", informational=True),
    ] = ()
    note: Annotated[str, Field("free text", informational=True)] = ""
