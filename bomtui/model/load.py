"""A load: one electrical consumer, actuator or input of the vehicle."""

from typing import Annotated

from bomtui.model.base import Base
from bomtui.model.completeness import ANSWERS
from bomtui.model.fields import Field
from bomtui.model.safety import ASKED_LEVELS, SCHEMES
from bomtui.model.separation import ROLES

LOAD_KINDS = (
    "filament", "led_lamp", "led_string", "motor", "fan", "stepper", "solenoid", "prop_valve", "injector", "coil",
    "relay", "heater", "ptc_heater", "glow_plug", "horn", "speaker", "display", "sensor", "switch", "rf", "smart",
    "module",
)  # fmt: skip

BEHAVIOURS = ("resistive", "filament", "constant_power", "constant_current", "pulsed")
"""How the current follows the supply voltage: I ~ V, I ~ V^0.55, I ~ 1/V, I constant, pulses of a known energy."""

DRIVE_CODES = (
    "HS", "HSP", "FEED", "LS", "HB2", "HB3", "HB4", "FB", "FBH", "BR1", "GDF", "INJ", "INJD", "IGN", "LEDB", "AMP",
    "VID", "AI", "DI", "FI", "SENT", "SPI", "LIN", "RF",
)  # fmt: skip
"""How a load is connected.

HS high-side, HSP high-side with PWM, FEED high-side feed of a box, LS low-side, HB2 HB3 HB4 that many half bridges, FB
full bridge, FBH two-speed motor on two high-sides, BR1 pair of power half bridges, GDF pre-driver with FETs, INJ port
injector, INJD common-rail injector, IGN ignition coil, LEDB LED driver, AMP amplifier channel, VID display, AI analog
input, DI switch input, FI frequency input, SENT, SPI, LIN, RF digital sensors and links.
"""

INPUT_DRIVES = frozenset(("AI", "DI", "FI", "SENT", "SPI", "LIN", "RF"))
"""Drive codes of what a controller reads or talks to; all others are outputs."""

CONFIDENCES = ("given", "estimated", "assumed")


LOW_SIDE_DRIVES = frozenset(("LS", "INJ", "IGN"))
"""Drive codes that switch towards ground only: such a load takes its battery current from somewhere else."""


class Load(Base, frozen=True):
    """One row of the customer's load list; it belongs to the vehicle, never to a variant."""

    subsystem: Annotated[str, Field("function group that owns the load", refers_to="subsystem")]
    name: Annotated[str, Field("what people call it", informational=True)] = ""
    customer_ref: Annotated[str, Field("the customer's own reference", informational=True)] = ""
    kind: Annotated[str, Field("what it is", choices=LOAD_KINDS)] = "module"
    zone: Annotated[str, Field("where it is mounted", refers_to="zone")] = ""
    drive: Annotated[str, Field("how it is connected", choices=DRIVE_CODES)] = "HS"
    behaviour: Annotated[str, Field("how its current follows the voltage", choices=BEHAVIOURS)] = "resistive"
    rated_power_w: Annotated[float | None, Field("power at the rating voltage", "power")] = None
    rated_power_max_w: Annotated[
        float | None, Field("largest power at the rating voltage (UN R37: objective maximum)", "power")
    ] = None
    rated_voltage_v: Annotated[float | None, Field("voltage for which the power is rated", "voltage")] = None
    test_current_a: Annotated[float | None, Field("battery current at the vehicle's test voltage", "current")] = None
    test_current_max_a: Annotated[
        float | None, Field("largest battery current at the test voltage; absent: the usual one", "current")
    ] = None
    peak_current_a: Annotated[float | None, Field("inrush, start or stall current", "current")] = None
    peak_time_s: Annotated[float | None, Field("how long the peak lasts", "time")] = None
    pwm_frequency_hz: Annotated[float | None, Field("PWM frequency; absent where it is switched only", "frequency")] = (
        None
    )
    resistance_ohm: Annotated[float | None, Field("winding or coil resistance", "resistance")] = None
    inductance_h: Annotated[float | None, Field("winding or coil inductance", "inductance")] = None
    freewheel: Annotated[bool, Field("has a freewheel diode of its own")] = False
    input_capacitance_f: Annotated[float | None, Field("capacitance behind its supply input", "capacitance")] = None
    driven_current_a: Annotated[
        float | None, Field("current of the string, coil or speaker itself, where a converter lies between", "current")
    ] = None
    driven_voltage_v: Annotated[float | None, Field("voltage of the string, coil or speaker itself", "voltage")] = None
    driven_effective_a: Annotated[
        float | None,
        Field("effective value of that current while the load works, pulses and pauses together", "current"),
    ] = None
    safety: Annotated[str, Field("integrity level that its function asks for", choices=ASKED_LEVELS)] = "QM"
    safety_scheme: Annotated[
        str, Field("what the level is of: ISO 26262, ISO 13849-1, IEC 61508, or none", choices=SCHEMES)
    ] = "ASIL"
    role: Annotated[
        str | None, Field("what it is for, where such loads are kept apart; absent: as its subsystem", choices=ROLES)
    ] = None
    separate_from: Annotated[
        tuple[str, ...], Field("loads that must not hang on a device with it", refers_to="load")
    ] = ()
    contacts: Annotated[int, Field("contacts or parts joined on this row")] = 1
    time_share_ratio: Annotated[
        dict[str, float], Field("share of the mode's time in which it is on", "ratio", refers_to="mode")
    ] = {}
    pwm_duty_ratio: Annotated[
        dict[str, float], Field("duty inside one PWM period; without any: fully on", "ratio", refers_to="mode")
    ] = {}
    pulse_energy_j: Annotated[
        float | None,
        Field("energy of one pulse at the battery, losses of the converter before it included", "energy"),
    ] = None
    pulse_rate_hz: Annotated[
        dict[str, float], Field("pulses in a second, as of an injector", "frequency", refers_to="mode")
    ] = {}
    on_time_max_s: Annotated[float | None, Field("longest uninterrupted on-time; absent: continuous", "time")] = None
    sleep_share_ratio: Annotated[
        float | None,
        Field("share of its parked current left while the electronics sleep (pulsed, periodic wake)", "ratio"),
    ] = None
    wire_count: Annotated[int | None, Field("wires to it; absent: as its drive code asks")] = None
    exclusive_group: Annotated[
        str, Field("loads of one name here are never on together, save what a together group joins")
    ] = ""
    together_group: Annotated[str, Field("loads of one name here are always on together")] = ""
    fitment_ratio: Annotated[
        float | None, Field("share of the vehicles with its module that have it; absent: all of them", "ratio")
    ] = None
    diagnosis: Annotated[tuple[str, ...], Field("faults that must be seen: short, open, overtemperature")] = ()
    current_regulation: Annotated[bool, Field("needs a regulated current")] = False
    needed_in_crank: Annotated[bool, Field("must work while the engine is cranked")] = False
    answers: Annotated[
        str | None, Field("what of the usual contents of its subsystem's function it is", choices=ANSWERS)
    ] = None
    source: Annotated[str, Field("where the numbers of this row come from", informational=True)] = ""
    confidence: Annotated[str, Field("how sure they are", choices=CONFIDENCES, informational=True)] = "given"
    note: Annotated[str, Field("free text", informational=True)] = ""
