"""Packing problems of many loads from a seed: invented driver chips, and loads as load lists have them.

Nothing here is anybody's data. `templated` loads are drawn from kinds with three ratings each, as in a real list; loads
that are `all different` have a current of their own each, the worst case for whoever puts equal ones together.
"""

import random
from math import ceil, floor
from typing import NamedTuple

from bomtui.packing.problem import Alike, Chip, Problem, Way

MICRO = 1_000_000


class Kind(NamedTuple):
    """A kind of load: side, current in amperes, share of time in two modes, current senses that it asks for."""

    side: str
    current_a: float
    duties: tuple[float, float]
    sensed: int


class Driver(NamedTuple):
    """A driver chip: sides, channels, ohms and rated current of one, watts that it can lose, current senses, price."""

    sides: str
    channels: int
    ohm: float
    rated_a: float
    power_w: float
    sensed: int
    price: int


KINDS = (
    Kind("H", 4.3, (1.0, 1.0), 1),
    Kind("H", 2.1, (0.2, 1.0), 1),
    Kind("H", 1.7, (0.5, 0.5), 1),
    Kind("H", 0.42, (0.0, 1.0), 0),
    Kind("H", 0.85, (1.0, 0.0), 0),
    Kind("H", 6.5, (0.3, 0.3), 1),
    Kind("H", 8.4, (1.0, 0.2), 1),
    Kind("H", 3.2, (0.1, 0.6), 0),
    Kind("H", 1.1, (0.7, 0.7), 0),
    Kind("H", 11.0, (0.15, 0.15), 1),
    Kind("L", 0.16, (1.0, 1.0), 0),
    Kind("L", 0.33, (0.5, 0.2), 0),
    Kind("L", 0.9, (0.6, 0.1), 0),
    Kind("L", 1.8, (0.3, 0.3), 1),
    Kind("L", 3.5, (0.05, 0.4), 1),
    Kind("L", 0.6, (1.0, 0.5), 0),
    Kind("B", 0.25, (0.1, 0.1), 0),
    Kind("B", 0.55, (0.2, 0.05), 0),
    Kind("B", 1.4, (0.05, 0.05), 1),
    Kind("B", 3.8, (0.1, 0.02), 1),
    Kind("B", 7.0, (0.03, 0.03), 1),
)


def drivers(chance: random.Random, count: int) -> list[Driver]:
    """Invented chips; the last three of them serve every kind of load, at a price."""
    found = []
    for _ in range(count - 3):
        sides = chance.choice(("H", "H", "H", "L", "L", "B", "B"))
        channels = chance.choice((1, 2, 4, 4, 6, 8)) if sides != "B" else chance.choice((2, 4, 6, 8, 12))
        ohm = 0.005 * chance.choice((1, 2, 4, 8, 16, 32, 64)) * chance.uniform(0.8, 1.2)
        power = chance.uniform(0.7, 1.4) * (0.9 + 0.12 * channels)
        rated = min(0.9 / ohm**0.5, 16.0)
        sensed = int(chance.random() < 0.65)
        price = round(1000 * (0.22 + channels * (0.06 + 0.006 / ohm) * (1.15 if sensed else 1.0)))
        found.append(Driver(sides, channels, ohm, rated, power, sensed, price))
    return [
        *found,
        Driver("H", 1, 0.004, 20.0, 2.0, 1, 2900),
        Driver("L", 1, 0.006, 15.0, 1.6, 1, 2400),
        Driver("B", 2, 0.008, 15.0, 2.2, 1, 4200),
    ]


def many_loads(
    seed: int, loads: int, *, templated: bool = True, chips: int = 60, rungs: bool = False, pairs: int = 0
) -> Problem:
    """Return a packing problem of one module.

    Args:
        seed: Seed.
        loads: How many loads.
        templated: Whether loads come in 63 kinds, or each is different.
        chips: How many driver chips there are.
        rungs: Whether prices fall by 8 % from a number of chips on.
        pairs: How many pairs of loads are kept apart.
    """
    chance = random.Random(seed)
    catalog = drivers(chance, chips)
    kinds = [kind._replace(current_a=kind.current_a * chance.uniform(0.8, 1.2)) for kind in KINDS for _ in range(3)]
    rooms = [(own.channels, *[floor(own.power_w * MICRO)] * 2) for own in catalog]
    names: dict[tuple[tuple[Way, ...], int], list[str]] = {}
    # A load that is kept apart from another is alike to nothing.
    alone = chance.sample(range(loads), 2 * pairs)
    for index in range(loads):
        kind = chance.choice(kinds)
        current_a = kind.current_a if templated else kind.current_a * chance.uniform(0.7, 1.3)
        ways = tuple(_ways(kind, current_a, catalog))
        names.setdefault((ways, index if index in alone else -1), []).append(f"L{index}")
    alike = tuple(Alike(tuple(own), 0, ways) for (ways, _), own in names.items())
    number_of = {load_id: number for number, own in enumerate(alike) for load_id in own.loads}
    apart = sorted(
        {
            tuple(sorted((number_of[f"L{one}"], number_of[f"L{other}"])))
            for one, other in zip(alone[:pairs], alone[pairs:], strict=True)
        }
    )
    costs = []
    for own in catalog:
        rung = chance.choice((10, 25, 50)) if rungs else loads + 1
        costs.append(
            tuple(count * (own.price if count < rung else own.price * 92 // 100) for count in range(loads + 1))
        )
    return Problem(
        ("M",),
        tuple(Chip(f"C{number}", 0, number, room, room, loads) for number, room in enumerate(rooms)),
        alike,
        tuple((one, other) for one, other in apart),
        tuple(costs),
    )


def _ways(kind: Kind, current_a: float, catalog: list[Driver]) -> list[Way]:
    found = []
    for number, own in enumerate(catalog):
        if own.sides != kind.side or (kind.sensed and not own.sensed):
            continue
        channels = 2 if kind.side == "B" else 1
        shares = ceil(current_a / own.rated_a)
        watts = [channels * current_a**2 * own.ohm / shares * duty * MICRO for duty in kind.duties]
        takes = (channels * shares, *map(ceil, watts))
        if takes[0] > own.channels or max(watts) > own.power_w * MICRO:
            continue
        found.append(Way(number, takes, takes))
    return found
