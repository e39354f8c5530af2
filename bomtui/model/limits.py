"""Thresholds of checks, and the test voltages that a vehicle supply puts on its parts; all are settings."""

from typing import Annotated

import msgspec

from bomtui.model.base import Base
from bomtui.model.fields import Field


class Levels(Base, frozen=True):
    """Test voltages of the vehicle supply; an absent one is that of its supply class (`LEVELS`)."""

    load_dump_v: Annotated[
        float | None, Field("highest voltage of a load dump, as central suppression leaves it", "voltage")
    ] = None
    jump_start_v: Annotated[float | None, Field("voltage of a jump start or long overvoltage", "voltage")] = None
    reverse_v: Annotated[float | None, Field("voltage of a battery put in the wrong way, without sign", "voltage")] = (
        None
    )
    filament_v: Annotated[float | None, Field("voltage above which lamps are dimmed to save their life", "voltage")] = (
        None
    )
    low_v: Annotated[
        float | None, Field("lowest voltage at which everything still works, for which feeds are sized", "voltage")
    ] = None


LEVELS: dict[str, Levels] = {
    "12 V": Levels(load_dump_v=35.0, jump_start_v=24.0, reverse_v=14.0, filament_v=13.2, low_v=9.0),
    "24 V": Levels(load_dump_v=58.0, jump_start_v=36.0, reverse_v=28.0, filament_v=26.4, low_v=16.0),
    "48 V": Levels(load_dump_v=70.0, jump_start_v=60.0, low_v=36.0),
}
"""Test voltages per supply class; None where the class knows no such test.

Source: suppressed load dump (test B) 35 V, ISO 16750-2:2010 cl. 4.6.4, and 58 V, ISO 16750-2:2012 cl. 4.6.4, both seen
second-hand (the 2023 edition may ask 65 V: value from memory); jump start 24 V and long overvoltage 36 V, ISO 16750-2
cl. 4.3, reversed voltage 14 V and 28 V, cl. 4.7: values from memory. 48 V: 70 V of LV 148 test E48-02, seen
second-hand; 60 V, the end of the overvoltage range of ISO 21780: value from memory. Lamps: common practice, no source.
Lowest voltage: 9 V and 16 V common practice, no source; 36 V, the end of the operating range of ISO 21780: value from
memory.
"""

NOMINAL_V: dict[str, float] = {"12 V": 12.0, "24 V": 24.0, "48 V": 48.0}
"""Nominal voltage per supply class, of which a wire may take a share; source: definition."""


class Limits(Base, frozen=True):
    """Where a check says that something is too much or too little; common practice unless its rule names a source."""

    junction_margin_k: Annotated[
        float, Field("a junction closer than this to its maximum is a warning", "temperature_difference")
    ] = 15.0
    loop_gain_ratio: Annotated[float, Field("loop gain of heat and on-resistance that is a warning", "ratio")] = 0.5
    thermal_time_s: Annotated[
        float, Field("on-time from which a load heats its chip as if it were on for ever", "time")
    ] = 100.0
    box_time_s: Annotated[float, Field("a mode shorter than this does not warm up the air in a housing", "time")] = (
        600.0
    )
    box_load_ratio: Annotated[
        float, Field("share of the heat that a housing carries away at the assumed rise that may be in it", "ratio")
    ] = 0.8
    parallel_mismatch_ratio: Annotated[
        float, Field("part by which one of several channels in parallel may carry more than an equal share", "ratio")
    ] = 0.1
    reverse_time_s: Annotated[float, Field("how long the battery is put in the wrong way", "time")] = 60.0
    reverse_ambient_degc: Annotated[
        float, Field("air around a module while the battery is put in the wrong way", "temperature")
    ] = 25.0
    body_diode_v: Annotated[float, Field("voltage across the body diode of a switch that conducts", "voltage")] = 0.8
    output_tolerance_ratio: Annotated[
        float, Field("tolerance of the output of a supply that does not say its own", "ratio")
    ] = 0.02
    rail_load_ratio: Annotated[
        float, Field("share of the current of a supply above which its rail is a warning", "ratio")
    ] = 0.8
    alternator_load_ratio: Annotated[float, Field("share of the alternator's current that may be used", "ratio")] = 0.9
    deficit_ratio: Annotated[
        float, Field("share of the battery that a mode may take in its typical time with the engine on", "ratio")
    ] = 0.05
    deficit_time_s: Annotated[
        float, Field("typical time of a mode with the engine on that does not say how long it lasts", "time")
    ] = 3600.0
    engine_off_time_s: Annotated[
        float, Field("typical time of a mode with the engine off that does not say how long it lasts", "time")
    ] = 3600.0
    standby_module_a: Annotated[float, Field("standby current of a module that is a warning", "current")] = 100e-6
    parking_s: Annotated[
        float, Field("how long the parked vehicle must stay able to start, aged and in the cold", "time")
    ] = 3628800.0
    cold_capacity_ratio: Annotated[float, Field("capacity of the battery in the cold over the rated one", "ratio")] = (
        0.6
    )
    wetting_a: Annotated[float, Field("least current of a switch contact that keeps it clean", "current")] = 5e-3
    wetting_sleep_ratio: Annotated[
        float, Field("largest share of its current that a switch contact keeps while the electronics sleep", "ratio")
    ] = 0.05
    channel_load_ratio: Annotated[
        float, Field("share of the continuous current of a channel above which it is a warning", "ratio")
    ] = 0.8
    chip_load_ratio: Annotated[
        float, Field("share of the rating with all channels on that the loads of a driver together may take", "ratio")
    ] = 1.0
    lamp_pwm_low_hz: Annotated[float, Field("PWM below this is seen in the light of a lamp", "frequency")] = 90.0
    lamp_pwm_high_hz: Annotated[float, Field("PWM above this makes a lamp's edges a burden", "frequency")] = 200.0
    led_pwm_low_hz: Annotated[float, Field("PWM below this is seen in the light of an LED", "frequency")] = 200.0
    fan_pwm_low_hz: Annotated[
        float, Field("PWM up to this is too slow to be heard as a tone of a fan", "frequency")
    ] = 100.0
    fan_pwm_high_hz: Annotated[float, Field("PWM from this on is too fast to be heard", "frequency")] = 18e3
    filament_life_exponent: Annotated[int, Field("power of the voltage with which a lamp's life falls")] = 13
    outage_error_factor: Annotated[
        int, Field("how many times the error of a current sense a load must draw for its outage to be seen")
    ] = 3
    sense_low_range_ratio: Annotated[
        float, Field("share of a channel's current below which its sense has a fixed error", "ratio")
    ] = 0.05
    sense_low_error_ratio: Annotated[float, Field("error of a current sense at that share of its range", "ratio")] = 0.3
    string_headroom_v: Annotated[
        float, Field("battery over string voltage that a linear or buck LED driver needs", "voltage")
    ] = 1.0
    grade_margin_k: Annotated[
        float, Field("air closer than this to the end of a part's ambient grade is a warning", "temperature_difference")
    ] = 5.0
    on_time_edges: Annotated[
        int, Field("delays and switch-on edges that must fit into the shortest on-time of PWM")
    ] = 5
    inrush_filament_max_ratio: Annotated[
        float, Field("inrush of a cold filament over its steady current, at an ideal source", "ratio")
    ] = 15.0
    inrush_loop_ohm: Annotated[
        float, Field("resistance of battery, fuse, wires and contacts that limits an inrush", "resistance")
    ] = 0.05
    inrush_warning_ratio: Annotated[
        float, Field("current limit over inrush below which a load starts late", "ratio")
    ] = 0.7
    inrush_error_ratio: Annotated[
        float, Field("current limit over inrush below which a load may never start", "ratio")
    ] = 0.5
    clamp_single_ratio: Annotated[
        float, Field("share of the single clamp energy of a switch that a turn-off may take", "ratio")
    ] = 0.6
    spare_pins_ratio: Annotated[float, Field("least share of a module's controller pins that stays free", "ratio")] = (
        0.1
    )
    spare_channels_ratio: Annotated[
        float, Field("least share of a module's driver channels that stays free", "ratio")
    ] = 0.1
    spare_ways_ratio: Annotated[float, Field("least share of a module's connector ways that stays free", "ratio")] = 0.1
    spare_flash_ratio: Annotated[float, Field("least share of program memory that stays free", "ratio")] = 0.3
    spare_ram_ratio: Annotated[float, Field("least share of working memory that stays free", "ratio")] = 0.25
    spare_core_ratio: Annotated[float, Field("least share of computing time that stays free", "ratio")] = 0.3
    idle_channels_ratio: Annotated[
        float, Field("share of free channels above which a driver is larger than needed", "ratio")
    ] = 0.6
    idle_pins_ratio: Annotated[
        float, Field("share of free pins above which the controllers of a module are larger than needed", "ratio")
    ] = 0.5
    single_source_ratio: Annotated[
        float, Field("share of the money for parts that may go to parts without an alternate", "ratio")
    ] = 0.4
    single_source_lead_s: Annotated[
        float, Field("lead time above which a part without an alternate is a warning", "time")
    ] = 12096000.0
    lead_s: Annotated[float, Field("lead time above which a part is a warning whatever the dates", "time")] = 15724800.0
    near_rung_ratio: Annotated[
        float, Field("how far below a lower price an order may be for it to be worth asking", "ratio")
    ] = 0.1
    excess_ratio: Annotated[
        float, Field("share of the money for parts that may be left over after the programme", "ratio")
    ] = 0.01
    price_age_s: Annotated[float, Field("age of a price from which it has to be asked for anew", "time")] = 7776000.0
    rate_age_s: Annotated[float, Field("age of an exchange rate from which it is a warning", "time")] = 2592000.0
    fuse_load_ratio: Annotated[
        float, Field("share of its current that a fuse carries for ever at 23 degC", "ratio")
    ] = 0.75
    fuse_load_hot_ratio: Annotated[
        float, Field("share of its current that a fuse carries for ever at 80 degC", "ratio")
    ] = 0.65
    fuse_melting_ratio: Annotated[
        float, Field("share of the melting integral of a fuse that a start may use", "ratio")
    ] = 0.5
    fuse_pulse_s: Annotated[float, Field("longest pulse that counts by the melting integral of a fuse", "time")] = 10e-3
    contact_load_ratio: Annotated[
        float, Field("share of its current that a contact carries among many loaded ones", "ratio")
    ] = 0.7
    contact_loaded_ratio: Annotated[
        float, Field("share of the ways of a connector in use from which that counts", "ratio")
    ] = 0.6
    drop_lamp_ratio: Annotated[
        float, Field("share of the nominal voltage that the wire of a lamp may take", "ratio")
    ] = 0.03
    drop_ratio: Annotated[
        float, Field("share of the nominal voltage that the wire of anything else may take", "ratio")
    ] = 0.05
    diagnosis_safety_ratio: Annotated[
        float,
        Field("share of the loads with an integrity level whose required faults must be seen for certain", "ratio"),
    ] = 0.9
    diagnosis_comfort_ratio: Annotated[
        float, Field("the same share of all other loads whose faults must be seen", "ratio")
    ] = 0.6
    programme_ratio: Annotated[
        float, Field("mean of speech and music over the largest output power of an amplifier", "ratio")
    ] = 0.125
    lin_cable_typ_f_per_m: Annotated[float, Field("capacitance of a LIN cable, typical", "capacitance_per_length")] = (
        100e-12
    )
    lin_cable_max_f_per_m: Annotated[float, Field("capacitance of a LIN cable, largest", "capacitance_per_length")] = (
        150e-12
    )
    lin_node_f: Annotated[
        float, Field("capacitance that a node puts on a LIN line where it does not say", "capacitance")
    ] = 220e-12
    lin_line_f: Annotated[float, Field("largest capacitance of a LIN line with its nodes", "capacitance")] = 10e-9
    lin_length_m: Annotated[float, Field("longest LIN line with all branches", "length")] = 40.0
    lin_nodes: Annotated[int, Field("nodes of a LIN network, commander included")] = 16
    lin_responders: Annotated[int, Field("responders of a LIN network above which it is a warning")] = 12
    lin_rate_bit_per_s: Annotated[float, Field("highest bit rate of LIN", "bit_rate")] = 20e3
    can_nodes: Annotated[int, Field("nodes of a CAN network")] = 16
    can_nodes_warning: Annotated[int, Field("nodes of a CAN network above which it is a warning")] = 12
    can_length_m: Annotated[
        float, Field("longest CAN line at an arbitration rate of 1 Mbit/s; longer at less in proportion", "length")
    ] = 40.0
    can_stub_m: Annotated[float, Field("longest branch off a CAN line", "length")] = 1.0
    can_load_ratio: Annotated[float, Field("load of a CAN network that is a warning", "ratio")] = 0.5
    can_full_ratio: Annotated[float, Field("load of a CAN network that is an error", "ratio")] = 0.7
    multidrop_nodes: Annotated[int, Field("nodes that every 10BASE-T1S segment carries")] = 8
    multidrop_length_m: Annotated[float, Field("length that every 10BASE-T1S segment carries", "length")] = 25.0
    multidrop_stub_m: Annotated[float, Field("longest branch off a 10BASE-T1S segment", "length")] = 0.1
    single_pair_length_m: Annotated[float, Field("longest 100BASE-T1 cable", "length")] = 15.0
    single_pair_connectors: Annotated[int, Field("connectors within a 100BASE-T1 cable")] = 4
    ring_nodes: Annotated[int, Field("nodes of an optical ring")] = 64
    optical_margin_db: Annotated[float, Field("light that a receiver must get beyond its need", "attenuation")] = 3.0
    radio_margin_db: Annotated[float, Field("power that a radio must get beyond its need", "attenuation")] = 10.0


def levels_of(own: Levels, supply: str | None) -> Levels:
    """Return the test voltages of a vehicle: its own ones, the others as its supply class has them.

    Args:
        own: Settings of the proposal.
        supply: Supply class of the vehicle; None where unknown, which leaves open what is not set.
    """
    usual = Levels() if supply is None else LEVELS[supply]
    given = {name: value for name in Levels.__struct_fields__ if (value := getattr(own, name)) is not None}
    return msgspec.structs.replace(usual, **given)
