"""Packing problems with a known or quickly found optimum."""

import random
from collections.abc import Iterator, Sequence
from itertools import product

from bomtui.packing.problem import Alike, Chip, Filled, Packing, Problem, ProblemError, Way, checked_cost


def bins(sizes: Sequence[int], room: int, *, sort: bool = True) -> Problem:
    """Bin packing: every size a load of so many channels, every bin a chip of cost 1."""
    numbers: dict[int, list[str]] = {}
    for index, size in enumerate(sizes):
        numbers.setdefault(size, []).append(f"L{index}")
    order = sorted(numbers, reverse=True) if sort else list(numbers)
    alike = tuple(Alike(tuple(numbers[size]), 0, (Way(0, (size,), (size,)),)) for size in order)
    chip = Chip("bin", 0, 0, (room,), (room,), len(sizes))
    return Problem(("M",), (chip,), alike, (), (tuple(range(len(sizes) + 1)),))


def vectors(sizes: Sequence[tuple[int, int]], room: tuple[int, int]) -> Problem:
    """Two-dimensional vector packing: one channel each, and two further resources."""
    alike = tuple(Alike((f"L{index}",), 0, (Way(0, (1, *size), (1, *size)),)) for index, size in enumerate(sizes))
    rooms = (len(sizes), *room)
    return Problem(("M",), (Chip("bin", 0, 0, rooms, rooms, len(sizes)),), alike, (), (tuple(range(len(sizes) + 1)),))


def cover(universe: int, sets: Sequence[Sequence[int]]) -> Problem:
    """Set cover: every element a load, every set a chip that serves its elements, each at most once."""
    chips = tuple(Chip(f"S{index}", 0, index, (universe,), (universe,), 1) for index in range(len(sets)))
    alike = tuple(
        Alike(
            (f"E{element}",),
            0,
            tuple(Way(index, (1,), (1,)) for index, own in enumerate(sets) if element in own),
        )
        for element in range(1, universe + 1)
    )
    return Problem(("M",), chips, alike, (), ((0, 1),) * len(sets))


def triplets(count: int) -> list[int]:
    """Sizes of triples that fill a bin of 1000 each, so that as many bins as triples suffice."""
    chance = random.Random(1)
    sizes: list[int] = []
    for _ in range(count):
        first = chance.randint(380, 490)
        second = chance.randint(250, (1000 - first) // 2)
        sizes += [first, second, 1000 - first - second]
    return sizes


def random_problem(seed: int, loads: int = 3, chips: int = 3, places: int = 1) -> Problem:
    """A small problem with rungs, two resources, several ways, loads kept apart."""
    chance = random.Random(seed)
    found_chips = []
    for place, number in product(range(places), range(chips)):
        rooms = (chance.randint(1, 4), chance.randint(4, 12))
        loosest = (rooms[0], rooms[1] + chance.randint(0, 1))
        found_chips.append(Chip(f"C{number}", place, number, rooms, loosest, loads))
    alike = []
    for index in range(loads):
        place = chance.randrange(places)
        ways = []
        for number, chip in enumerate(found_chips):
            if chip.place == place and chance.random() < 0.8:
                heat = chance.randint(1, 6)
                least = heat - chance.randint(0, 1)
                ways.append(Way(number, (chance.choice((1, 1, 2)), heat), (1, least), chance.random() < 0.95))
        alike.append(Alike((f"L{index}",) if chance.random() < 0.7 else (f"L{index}", f"K{index}"), place, tuple(ways)))
    apart = tuple(
        (one, other)
        for one in range(loads)
        for other in range(one + 1, loads)
        if chance.random() < 0.15 and alike[one].place == alike[other].place and len(alike[one].loads) == 1
    )
    costs = []
    for _ in range(chips):
        price, rung = chance.randint(40, 120), chance.randint(2, 4)
        costs.append(tuple(count * (price if count < rung else price - 15) for count in range(loads * places + 1)))
    return Problem(tuple(f"M{place}" for place in range(places)), tuple(found_chips), tuple(alike), apart, tuple(costs))


def strict(problem: Problem) -> Problem:
    """The same problem where a bound counts just as a plan does."""
    return Problem(
        problem.places,
        tuple(Chip(own.name, own.place, own.price, own.rooms, own.rooms, own.most) for own in problem.chips),
        tuple(
            Alike(kind.loads, kind.place, tuple(Way(way.chip, way.takes, way.takes) for way in kind.ways if way.sure))
            for kind in problem.alike
        ),
        problem.apart,
        problem.costs,
        problem.floors,
    )


def optimum(problem: Problem) -> int | None:
    """The least cost of a problem of very few loads, by trying every sharing-out; None where there is none."""
    loads = [number for number, kind in enumerate(problem.alike) for _ in kind.loads]
    best: int | None = None
    for packing in _packings(problem, loads, 0, []):
        try:
            cost = checked_cost(problem, packing)
        except ProblemError:
            continue
        best = cost if best is None else min(best, cost)
    return best


def _packings(
    problem: Problem, loads: Sequence[int], index: int, filled: list[tuple[int, list[tuple[int, int]]]]
) -> Iterator[Packing]:
    if index == len(loads):
        yield tuple(Filled(chip, tuple(sorted(own))) for chip, own in filled)
        return
    number = loads[index]
    for way_number, way in enumerate(problem.alike[number].ways):
        for chip, own in filled:
            if chip == way.chip:
                own.append((number, way_number))
                yield from _packings(problem, loads, index + 1, filled)
                own.pop()
        filled.append((way.chip, [(number, way_number)]))
        yield from _packings(problem, loads, index + 1, filled)
        filled.pop()
