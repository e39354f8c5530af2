"""What a load takes of a chip, and what room the chip has, in whole microwatts per mode."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, floor, isfinite

from bomtui.engine.calc import PLAIN
from bomtui.engine.chip_current import is_rated
from bomtui.engine.chip_room import conduction_room_w, gain_room_w, heat_room_w
from bomtui.engine.driver_columns import BRIDGE_KINDS
from bomtui.engine.heat import hot_power_w, resistance_slope_per_k
from bomtui.engine.rail_load import usable_output_a
from bomtui.model.bound import Value, ends
from bomtui.model.part import Part
from bomtui.model.settings import Settings
from bomtui.packing.kept import Keep
from bomtui.packing.probe import Asked

UNLIMITED = 10**12
"""Room of what nothing limits, in microwatts."""

MICRO = 10**6
"""Steps of a watt."""


@dataclass(frozen=True, slots=True)
class Air:
    """Air at the boards of a module: as it is now, and the coolest that it may become; None where unknown."""

    warmest_degc: float | None
    coolest_degc: float | None


def air_of(now: Value, assumed: Value) -> Air:
    """Return the air of a module.

    Args:
        now: As it is now.
        assumed: As it is assumed to be at least, whatever heat is in the module.
    """
    warmest, coolest = (None if own is None else ends(own) for own in (now, assumed))
    known = warmest is not None and isfinite(warmest[1])
    return Air(
        warmest[1] if warmest is not None and known else None,
        coolest[0] if coolest is not None and isfinite(coolest[0]) else None,
    )


@dataclass(frozen=True, slots=True)
class Room:
    """Room of one chip.

    Attributes:
        limit_degc: Junction temperature up to which it is counted; None where unknown.
        rooms: Channels, then heat per mode, then conduction loss per mode, in the air as it is now.
        loosest: The same in the coolest air that there may be.
        known: Whether heat limits of it are known.
    """

    limit_degc: float | None
    rooms: tuple[int, ...]
    loosest: tuple[int, ...]
    known: bool


def room_of(part: Part, air: Air, own_w: Sequence[Value], settings: Settings, keep: Keep) -> Room:
    """Return the room of a chip in a module.

    Args:
        part: Its part; its channels are known.
        air: Air at the boards of the module.
        own_w: Heat of its own supply current, per mode.
        settings: For margins.
        keep: Whether warnings of heat count as limits, or errors only.
    """
    channels = part.channels if part.channels is not None else 0
    limit = part.junction_max_degc
    theta = part.theta_ja_k_per_w
    if limit is not None and keep == "warnings":
        limit -= settings.limits.junction_margin_k
    known = limit is not None and theta is not None and air.warmest_degc is not None
    known = known and all(isinstance(own, float) for own in own_w)
    beside = [_conduction(part, settings, keep)] * len(own_w)
    warmest, coolest = (
        (channels, *_heat_rooms(limit, degc, theta, own_w), *beside) for degc in (air.warmest_degc, air.coolest_degc)
    )
    return Room(limit, warmest, coolest, known)


def _heat_rooms(
    limit_degc: float | None, air_degc: float | None, theta_k_per_w: float | None, own_w: Sequence[Value]
) -> list[int]:
    if limit_degc is None or air_degc is None or theta_k_per_w is None:
        return [UNLIMITED] * len(own_w)
    whole = PLAIN(heat_room_w, limit_degc=limit_degc, air_degc=air_degc, theta_k_per_w=theta_k_per_w)
    return [_up(whole - own) if isinstance(whole, float) and isinstance(own, float) else UNLIMITED for own in own_w]


def _conduction(part: Part, settings: Settings, keep: Keep) -> int:
    """Return the conduction loss that the chip may have by its rating and its loop gain; warnings both."""
    if keep == "errors" or not is_rated(part) or part.channels is None:
        return UNLIMITED
    usable = PLAIN(usable_output_a, output_current_a=part.current_all_a, load_ratio=settings.limits.chip_load_ratio)
    paths: Value = part.channels / 2 if part.kind in BRIDGE_KINDS else float(part.channels)
    slope = PLAIN(resistance_slope_per_k, hot_ratio=part.hot_rds_on_ratio)
    rooms = [
        PLAIN(conduction_room_w, current_a=usable, rds_on_ohm=part.rds_on_ohm.upper, channels=paths),
        PLAIN(
            gain_room_w,
            gain_ratio=settings.limits.loop_gain_ratio,
            theta_k_per_w=part.theta_ja_k_per_w,
            slope_per_k=slope,
        )
        if slope != 0
        else None,
    ]
    return min([UNLIMITED, *(_up(own) for own in rooms if isinstance(own, float))])


def takes_of(asked: Asked, room: Room, own_w: Sequence[Value]) -> tuple[tuple[int, ...], tuple[int, ...], bool]:
    """Return what a load takes of a chip, rounded up and rounded down, and whether all of it is known.

    Args:
        asked: What the engine says of the load alone on the chip.
        room: Room of the chip.
        own_w: Heat of the chip's own supply current, per mode.
    """
    up, down = [asked.channels], [asked.channels]
    known = room.known
    heats: list[Value] = []
    for heat, own in zip(asked.heats, own_w, strict=True):
        hot = PLAIN(
            hot_power_w,
            constant_w=heat.constant_w,
            cold_conduction_w=heat.conduction_w,
            slope_per_k=heat.slope_per_k,
            junction_degc=room.limit_degc,
        )
        heats.append(hot - own if isinstance(hot, float) and isinstance(own, float) else None)
    for value in (*heats, *(heat.conduction_w for heat in asked.heats)):
        if isinstance(value, float):
            up.append(_up(max(value, 0.0)))
            down.append(_down(max(value, 0.0)))
        else:
            known = False
            up.append(0)
            down.append(0)
    return tuple(up), tuple(down), known


def _up(power: float) -> int:
    return min(UNLIMITED, ceil(power * MICRO))


def _down(power: float) -> int:
    return min(UNLIMITED, floor(power * MICRO))


def thinned(rooms: Sequence[int], takes: Sequence[tuple[int, ...]]) -> list[int]:
    """Return which resources of a chip can ever be short; channels always, of others those that no other one implies.

    Args:
        rooms: Room per resource, channels first.
        takes: What each load takes of them.
    """
    kept = [0]
    for index in range(1, len(rooms)):
        # What no load takes beyond its share cannot be short, however full the chip is.
        if max((own[index] * rooms[0] for own in takes), default=0) <= rooms[index]:
            continue
        implied = any(
            rooms[other] <= rooms[index] and all(own[other] >= own[index] for own in takes) for other in kept[1:]
        )
        if not implied:
            kept = [
                other
                for other in kept
                if other == 0 or not (rooms[index] <= rooms[other] and all(own[index] >= own[other] for own in takes))
            ]
            kept.append(index)
    return kept
