"""Whether the current sense of a channel sees that one of its loads is gone."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import reduce

import msgspec

from bomtui.engine.calc import formula
from bomtui.engine.electrics import Electrics
from bomtui.engine.load_current import load_columns, typical_currents
from bomtui.engine.supply_range import given_high_v, given_low_v
from bomtui.model.bound import Value, exceeds
from bomtui.model.ids import Address
from bomtui.model.part import Part
from bomtui.model.vehicle import Mode

OPEN = "open"


@formula(
    "max(tolerance_ratio * current_a, low_error_ratio * low_range_ratio * range_a)",
    "A",
    "relative error of a current sense, fixed at the low end of its range (common practice, no source)",
)
def sense_error_a(
    tolerance_ratio: float, current_a: float, low_error_ratio: float, low_range_ratio: float, range_a: float
) -> float:
    """Error of a current sense.

    Args:
        tolerance_ratio: Relative error inside its range.
        current_a: Current that is measured [A].
        low_error_ratio: Relative error at the low end of its range.
        low_range_ratio: Low end of its range over the range.
        range_a: Its range [A].

    Source: common practice, no source; the relative error is data of the part.
    """
    return max(tolerance_ratio * current_a, low_error_ratio * low_range_ratio * range_a)


@formula("current_a * (1 - tolerance_ratio)", "A", "lowest reading of a current sense (definition)")
def lowest_reading_a(current_a: float, tolerance_ratio: float) -> float:
    """Lowest reading of a current.

    Args:
        current_a: Current that is measured [A].
        tolerance_ratio: Relative error of the sense.

    Source: definition.
    """
    return current_a * (1 - tolerance_ratio)


@formula("(all_a - gone_a) * (1 + tolerance_ratio)", "A", "highest reading of a current sense (definition)")
def without_one_a(all_a: float, gone_a: float, tolerance_ratio: float) -> float:
    """Highest reading of a channel of which one load is gone.

    Args:
        all_a: Largest current of all its loads [A].
        gone_a: Largest current of the load that is gone [A].
        tolerance_ratio: Relative error of the sense.

    Source: definition.
    """
    return (all_a - gone_a) * (1 + tolerance_ratio)


@formula("factor * error_a", "A", "reading that stands out of an error (common practice, no source)")
def standing_out_a(factor: int, error_a: float) -> float:
    """Current that a sense tells from nothing.

    Args:
        factor: How many times its error.
        error_a: Its error [A].

    Source: common practice, no source.
    """
    return factor * error_a


@dataclass(frozen=True, slots=True)
class Watched:
    """A load whose outage a channel must see.

    Attributes:
        load_id: The load.
        device: Address of the device of the channel.
        part: Its part; None where nothing is known of it.
        lit_a: Lowest reading of the channel with all its loads on.
        out_a: What that must exceed: the highest reading without the load, or several times the error of the sense.
    """

    load_id: str
    device: Address
    part: Part | None
    lit_a: Value
    out_a: Value


def watched(electrics: Electrics) -> Iterator[Watched]:
    """Yield every load whose open circuit must be seen, on every channel that it is placed on."""
    on_channel: dict[Address, list[str]] = {}
    for per_module in electrics.serving.per_module.values():
        for own in per_module:
            for address in own.channels:
                if address.channel:
                    on_channel.setdefault(address, []).append(own.load_id)
    lowest, largest = _lowest_a(electrics), _largest_a(electrics)
    for address, loads in on_channel.items():
        for load_id in loads:
            if OPEN in electrics.proposal.loads[load_id].diagnosis:
                yield _watched(electrics, address, load_id, loads, lowest, largest)


def _watched(
    electrics: Electrics,
    address: Address,
    load_id: str,
    loads: list[str],
    lowest: Mapping[str, Value],
    largest: Mapping[str, Value],
) -> Watched:
    calc, limits = electrics.calc, electrics.proposal.settings.limits
    device = electrics.variant.modules[address.module].devices.get(address.device)
    part = None if device is None else electrics.snapshot.parts.get(device.part)
    tolerance = None if part is None else part.sense_tolerance_ratio
    all_low = calc.total(loads, [lowest[own] for own in loads])
    error = calc(
        sense_error_a,
        tolerance_ratio=tolerance,
        current_a=all_low,
        low_error_ratio=limits.sense_low_error_ratio,
        low_range_ratio=limits.sense_low_range_ratio,
        range_a=None if part is None else part.current_one_a,
    )
    least = calc(standing_out_a, factor=limits.outage_error_factor, error_a=error)
    lit: Value = all_low
    out = least
    if len(loads) > 1:
        lit = calc(lowest_reading_a, current_a=all_low, tolerance_ratio=tolerance)
        out = calc(
            without_one_a,
            all_a=calc.total(loads, [largest[own] for own in loads]),
            gone_a=largest[load_id],
            tolerance_ratio=tolerance,
        )
    return Watched(load_id, Address(address.module, address.device), part, lit, out)


def _lowest_a(electrics: Electrics) -> Mapping[str, Value]:
    """Return the lowest current of each load [A] over the supply ranges of all modes in which it may be on."""
    found: dict[str, list[Value]] = {}
    columns = load_columns(electrics.calc, electrics.proposal.loads, electrics.proposal.vehicle)
    for mode in electrics.awake:
        data = electrics.proposal.modes[mode]
        for volts in (given_low_v(data), given_high_v(data)):
            at_end: Mode = msgspec.structs.replace(data, supply_nominal_v=volts)
            currents = typical_currents(electrics.calc, columns, at_end)
            for load_id, load, current in zip(columns.ids, columns.loads, currents, strict=True):
                if load.time_share_ratio.get(mode) != 0:
                    found.setdefault(load_id, []).append(current)
    return {load_id: reduce(_smaller, found[load_id]) if load_id in found else None for load_id in columns.ids}


def _smaller(one: Value, other: Value) -> Value:
    if one is None or other is None:
        return None
    return other if exceeds(one, other) else one


def _largest_a(electrics: Electrics) -> Mapping[str, Value]:
    """Return the largest current of each load [A] over all modes in which it may be on."""
    found: dict[str, Value] = {}
    for load_id, load in electrics.proposal.loads.items():
        modes = [mode for mode in electrics.awake if load.time_share_ratio.get(mode) != 0]
        currents = [electrics.worst_a[mode].get(load_id) for mode in modes]
        found[load_id] = electrics.calc.largest(modes, currents) if modes else None
    return found
