"""Whether a load fits the channels that it is given: the one comparison that rules, candidates and packing ask.

Each check compares one number, or one word, of the load with one of the part. A check is asked only where both kinds
have the value: an amplifier has no current rating per channel, a lamp that is switched has no PWM frequency. A value
that the kind has and nobody gives leaves the check undecided.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Literal, get_args

from bomtui.engine.capability import declared_for, falls_short
from bomtui.model.bound import Range, Value, exceeds
from bomtui.model.load import Load
from bomtui.model.part import DRIVER_KINDS, Part
from bomtui.model.settings import Settings
from bomtui.model.variant import BATTERY, Device

Check = Literal[
    "channels", "side", "supply", "current", "stage", "pwm", "regulation", "string", "parallel", "diagnosis", "safety"
]
CHECKS: tuple[Check, ...] = get_args(Check)
"""Every check, in the order in which people read them."""

NO_SIDE = "no load"
"""What a part drives that has no channels for loads."""

NET_KINDS = DRIVER_KINDS - {"amplifier"}
"""Kinds made for a vehicle supply; an amplifier works from a rail of its own (common practice)."""

CURRENT_KINDS = DRIVER_KINDS - {"amplifier", "gate_driver"}
"""Kinds whose channels carry load current: an amplifier is rated by power, behind a gate driver FETs carry it."""

PWM_KINDS = DRIVER_KINDS - {"amplifier"}
SWITCH_KINDS = frozenset(("high_side", "low_side"))
"""Kinds that need a freewheel path to regulate the current of a coil; a bridge has one in its other switch."""


@dataclass(frozen=True, slots=True)
class Given:
    """What a load is given on one device.

    Attributes:
        part: Part of the device; None where nothing is known of it.
        channels: Channels over all devices that serve the load; None where one is named without a channel.
        devices: How many devices these are on.
        joined: How the channels are joined; None where they are not.
        staged: Whether FETs of a power stage carry the current.
        on_battery: Whether the device takes the vehicle's supply; False where all its inputs hang on rails.
        supply: Supply class of the vehicle, `24 V`; None where unknown.
        current_a: Largest current of one channel, as `engine.channel_current` computes it.
    """

    part: Part | None
    channels: int | None
    devices: int = 1
    joined: str | None = None
    staged: bool = False
    on_battery: bool = True
    supply: str | None = None
    current_a: Value = None


@dataclass(frozen=True, slots=True)
class Comparison:
    """One check of a load against what it is given.

    Attributes:
        check: Which check.
        measured: What there is; None where that is not known.
        limit: What it is held against; None where that is not known.
        fits: Whether it fits; None where something unknown decides.
        unit: Unit of both; empty for words and counts.
    """

    check: Check
    measured: Value | str
    limit: Value | str
    fits: bool | None
    unit: str = ""


def concerns(check: Check, load: Load) -> bool:
    """Tell whether a check is asked of a load at all, whatever it is given."""
    match check:
        case "stage":
            return load.drive == "GDF"
        case "pwm":
            pulsed = load.pwm_frequency_hz is not None or any(duty < 1 for duty in load.pwm_duty_ratio.values())
            return pulsed or load.drive == "HSP"
        case "regulation":
            return load.current_regulation
        case "diagnosis":
            return bool(load.diagnosis)
        case _:
            return True


def compare(check: Check, load: Load, given: Given, settings: Settings) -> Comparison | None:
    """Ask one check; None where it is not asked of such a load on such a part.

    Of a part of which nothing is known, the side alone is asked, and undecided.

    Args:
        check: Which check.
        load: The load.
        given: What it is given.
        settings: For the channels that a drive code needs.

    Source: common practice; the limits are data of the part, the channels per drive code settings of the proposal.
    """
    if check == "channels":
        return _channels(load, given, settings)
    if given.channels == 0 or not settings.habit(load.drive).channels or not concerns(check, load):
        return None
    if check == "side":
        return _side(load, given.part)
    return None if given.part is None else _CHECKS[check](load, given.part, given, settings)


def misfits(load: Load, given: Given, settings: Settings) -> tuple[Comparison, ...]:
    """Return everything in which a load does not fit, or may not fit, what it is given; empty where it fits.

    The rest is compared only where there is a channel to compare: a load that is given none lacks channels, and that
    alone is said.

    Args:
        load: The load.
        given: What it is given.
        settings: For the channels that a drive code needs.
    """
    asked = (compare(check, load, given, settings) for check in CHECKS)
    return tuple(found for found in asked if found is not None and not found.fits)


def _channels(load: Load, given: Given, settings: Settings) -> Comparison | None:
    needed = settings.habit(load.drive).channels
    if not needed:
        return None
    fits = None if given.channels is None else given.channels >= needed
    return Comparison("channels", given.channels, needed, fits)


def _side(load: Load, part: Part | None) -> Comparison:
    if part is None or (not part.sides and part.kind in DRIVER_KINDS):
        return Comparison("side", None, load.drive, None)
    return Comparison("side", " ".join(part.sides) if part.sides else NO_SIDE, load.drive, load.drive in part.sides)


def meets_supply(part: Part, device: Device | None = None) -> bool:
    """Tell whether a part meets the vehicle's supply: one of its supply inputs takes the battery, or it has none.

    Args:
        part: The part.
        device: The device that it is in, or would be: an input that is wired there keeps its wire.
    """
    wired = {} if device is None else device.supply
    inputs = part.supplies.items()
    return not inputs or any(
        wired[name] == BATTERY if name in wired else need.voltage_v is None for name, need in inputs
    )


def compare_supply(part: Part, supply: str | None, *, on_battery: bool) -> Comparison | None:
    """Ask whether a part is made for the vehicle's supply; None where it does not meet it.

    Args:
        part: The part.
        supply: Supply class of the vehicle; None where unknown.
        on_battery: Whether it takes the vehicle's supply.

    Source: common practice; what it is made for is data of the part.
    """
    if part.kind not in NET_KINDS or not on_battery:
        return None
    nets = tuple(f"{net} V" for net in part.nets)
    fits = supply in nets if nets and supply is not None else None
    return Comparison("supply", " ".join(nets) or None, supply, fits)


def _supply(load: Load, part: Part, given: Given, settings: Settings) -> Comparison | None:
    del load, settings
    return compare_supply(part, given.supply, on_battery=given.on_battery)


def _current(load: Load, part: Part, given: Given, settings: Settings) -> Comparison | None:
    del load, settings
    if part.kind not in CURRENT_KINDS or given.staged:
        return None
    over = exceeds(given.current_a, part.current_all_a)
    return Comparison("current", given.current_a, part.current_all_a, None if over is None else not over, "A")


def _stage(load: Load, part: Part, given: Given, settings: Settings) -> Comparison | None:
    del load, part, settings
    return Comparison("stage", "FETs" if given.staged else "no FETs", "FETs of a power stage", given.staged)


def _pwm(load: Load, part: Part, given: Given, settings: Settings) -> Comparison | None:
    del given, settings
    if part.kind not in PWM_KINDS:
        return None
    over = exceeds(load.pwm_frequency_hz, part.pwm_max_hz)
    return Comparison("pwm", load.pwm_frequency_hz, part.pwm_max_hz, None if over is None else not over, "Hz")


def _regulation(load: Load, part: Part, given: Given, settings: Settings) -> Comparison | None:
    del load, given, settings
    limit = "regulated current"
    if part.kind == "led_driver":
        return Comparison("regulation", limit, limit, fits=True)
    has = {"current sense": part.current_sense}
    if part.kind in SWITCH_KINDS:
        has["freewheel path"] = part.freewheel
    lacking = [f"no {what}" for what, there in has.items() if there is False]
    if lacking:
        return Comparison("regulation", ", ".join(lacking), limit, fits=False)
    if None in has.values():
        return Comparison("regulation", None, limit, None)
    return Comparison("regulation", ", ".join(has), limit, fits=True)


def _string(load: Load, part: Part, given: Given, settings: Settings) -> Comparison | None:
    del given, settings
    if part.kind != "led_driver":
        return None
    voltage_v, low_v, high_v = load.driven_voltage_v, part.string_min_v, part.string_max_v
    if exceeds(voltage_v, high_v):
        return Comparison("string", voltage_v, high_v, fits=False, unit="V")
    if exceeds(low_v, voltage_v):
        return Comparison("string", voltage_v, low_v, fits=False, unit="V")
    if low_v is None or high_v is None:
        return Comparison("string", voltage_v, high_v if low_v is None else low_v, None, "V")
    window = Range(low_v, high_v, frozenset())
    return Comparison("string", voltage_v, window, None if voltage_v is None else True, "V")


def _parallel(load: Load, part: Part, given: Given, settings: Settings) -> Comparison | None:
    needed = settings.habit(load.drive).channels
    if given.joined != "parallel" or given.channels is None or given.channels <= needed:
        return None
    if given.devices > 1:
        return Comparison("parallel", f"{given.devices} devices", "1 device", fits=False)
    own = f"{given.channels} channels"
    if part.parallel_ok is None:
        return Comparison("parallel", own, None, None)
    return Comparison("parallel", own, own if part.parallel_ok else f"{needed}", fits=part.parallel_ok)


def _diagnosis(load: Load, part: Part, given: Given, settings: Settings) -> Comparison | None:
    del given, settings
    # How a part reports faults does not say which ones; a measured current shows a short and an open load.
    seen = part.current_sense is True and set(load.diagnosis) <= {"short", "open"}
    reported = "current sense" if seen else " ".join(part.diagnosis) or None
    return Comparison("diagnosis", reported, " ".join(load.diagnosis), True if seen else None)


def _safety(load: Load, part: Part, given: Given, settings: Settings) -> Comparison | None:
    del given, settings
    declared = declared_for(part, load.safety_scheme)
    short = falls_short(declared, load.safety, load.safety_scheme)
    # Levels of ISO 26262 stand for themselves; of another scheme its name goes with them.
    scheme = "" if load.safety_scheme == "ASIL" else f"{load.safety_scheme} "
    measured = None if declared is None else f"{scheme}{declared}"
    return Comparison("safety", measured, f"{scheme}{load.safety}", None if short is None else not short)


_CHECKS: Mapping[Check, Callable[[Load, Part, Given, Settings], Comparison | None]] = {
    "supply": _supply,
    "current": _current,
    "stage": _stage,
    "pwm": _pwm,
    "regulation": _regulation,
    "string": _string,
    "parallel": _parallel,
    "diagnosis": _diagnosis,
    "safety": _safety,
}
