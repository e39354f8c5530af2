"""To whom the cost of a module goes: its subsystems, what is common to all, and the reserve."""

from collections.abc import Mapping, Sequence
from decimal import Decimal
from itertools import repeat

from bomtui.engine.quantities import ChannelCount, Keys, ModuleWiring, Weights
from bomtui.model.money import Proportion
from bomtui.model.part import DRIVER_KINDS, Part

COMMON = " common"
"""Share of supply, ground and bus; no id starts with a space."""
COAXIAL = "coaxial"
"""What connectors for single lines to aerials, cameras and displays serve."""
RESERVE = " reserve"
"""Share of spare channels and ways."""


def split_keys(
    wiring: ModuleWiring,
    subsystems: Sequence[str],
    channels: Mapping[str, ChannelCount],
    header_ways: Decimal,
    power_headers: Decimal,
    fitment: Sequence[Decimal] | None = None,
) -> Keys:
    """Gather the weights of one module.

    Wire goes by what loads take of it on average; points and ways are there in every module, whatever is fitted.

    Args:
        wiring: Its wires and ways.
        subsystems: Per load, who pays for it.
        channels: Per driver part, its channels.
        header_ways: Signal ways of its connectors together.
        power_headers: Power headers in it.
        fitment: Per load, the share of vehicles that have it; None where all have all.
    """
    totals: dict[str, list[int | Decimal]] = {}
    metres: Weights = {}
    ratios = repeat(None) if fitment is None else fitment
    for subsystem, load, ratio in zip(subsystems, wiring.loads, ratios, strict=False):
        own = totals.get(subsystem)
        if own is None:
            own = totals[subsystem] = [0, 0, 0, 0]
        own[0] += load.points
        own[1] += load.ways
        own[2] += load.power_headers
        own[-1] += load.wires if ratio is None else load.wires * ratio
        length_m = load.length_m if ratio is None or load.length_m is None else load.length_m * ratio
        if length_m is not None and length_m > 0:
            known_m = metres.get(subsystem)
            metres[subsystem] = length_m if known_m is None else known_m + length_m
    points, ways, power, wires = (
        {subsystem: Decimal(own[column]) for subsystem, own in totals.items() if own[column]}
        for column in (0, 1, 2, -1)
    )
    _add(ways, COMMON, Decimal(wiring.common_ways))
    _add(metres, COMMON, wiring.common_length_m)
    _add(wires, COMMON, Decimal(wiring.common_wires))
    _add(ways, RESERVE, header_ways - sum(ways.values(), Decimal(0)))
    _add(power, RESERVE, power_headers - sum(power.values(), Decimal(0)))
    return Keys(
        points=Proportion(points or {COMMON: Decimal(1)}),
        ways=Proportion(ways or {RESERVE: Decimal(1)}),
        power=Proportion(power or {RESERVE: Decimal(1)}),
        metres=Proportion(metres or {COMMON: Decimal(1)}),
        wires=Proportion(wires or {COMMON: Decimal(1)}),
        channels={part: _channel_weights(count) for part, count in channels.items()},
    )


def part_weights(key: str, part: Part | None, keys: Keys, power_contact_above_a: float) -> Proportion:
    """Return the weights by which the cost of one part in a module is split.

    Drivers go by channels, signal headers by ways, power headers by power contacts, everything else by I/O points.
    """
    if part is None:
        return keys.points
    if part.kind in DRIVER_KINDS:
        return keys.channels.get(key, keys.points)
    if part.kind == "connector" and part.contact_current_a is not None:
        return keys.power if part.contact_current_a > power_contact_above_a else keys.ways
    return keys.points


def splits_by_ways_known(part: Part) -> bool:
    """Tell whether it is known how the cost of a connector is split: a coaxial one by points, another by its ways."""
    return part.bus == COAXIAL or (part.ways is not None and part.contact_current_a is not None)


def connector_ways(
    quantities: Mapping[str, Decimal], parts: Mapping[str, Part], above_a: float
) -> tuple[Decimal, Decimal]:
    """Return the signal ways and the number of power headers of a module's connectors."""
    signal: Sequence[Decimal] = [
        Decimal(part.ways) * quantity
        for key, quantity in quantities.items()
        if (part := _connector(parts, key)) is not None
        and part.ways is not None
        and part.contact_current_a is not None
        and part.contact_current_a <= above_a
    ]
    power = [
        quantity
        for key, quantity in quantities.items()
        if (part := _connector(parts, key)) is not None
        and part.contact_current_a is not None
        and part.contact_current_a > above_a
    ]
    return sum(signal, Decimal(0)), sum(power, Decimal(0))


def _connector(parts: Mapping[str, Part], key: str) -> Part | None:
    part = parts.get(key)
    return part if part is not None and part.kind == "connector" else None


def _channel_weights(count: ChannelCount) -> Proportion:
    weights = {subsystem: Decimal(used) for subsystem, used in count.used.items() if used}
    _add(weights, RESERVE, Decimal(count.spare))
    return Proportion(weights or {RESERVE: Decimal(1)})


def _add(weights: Weights, key: str, amount: Decimal) -> None:
    if amount > 0:
        weights[key] = weights.get(key, Decimal(0)) + amount
