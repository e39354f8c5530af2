"""A packing problem in whole numbers: loads that are alike, chips that may serve them, and what chips cost.

Everything that the engine says in amperes, watts and kelvin comes here as whole numbers of small steps, rounded against
the packing, so that a plan, a bound and a proof are exact arithmetic and depend on no solver's rounding.
"""

from bomtui.model.base import Base

CHANNELS = 0
"""Number of the resource that counts channels; the further ones are those of the chip (heat per mode, say)."""


class Chip(Base, frozen=True, kw_only=False):
    """A part in one place that may serve loads there.

    Attributes:
        name: Catalog key of the part, or address of the device where it is one that stays.
        place: Number of the place (module) in which it stands.
        price: Number of its cost table.
        rooms: Room per resource, channels first, as a plan counts with it.
        loosest: The same at its largest, as a bound counts with it: in the coolest air, say.
        most: How many of it there may be at most.
    """

    name: str
    place: int
    price: int
    rooms: tuple[int, ...]
    loosest: tuple[int, ...]
    most: int


class Way(Base, frozen=True, kw_only=False):
    """One way to serve a load.

    Attributes:
        chip: Number of the chip.
        takes: What it takes of each resource of the chip, rounded up: a plan counts with it.
        least: What it takes at least, rounded down and without what may not come together: a bound counts with it.
        sure: Whether everything is known that decides whether it fits; a plan uses sure ways only.
    """

    chip: int
    takes: tuple[int, ...]
    least: tuple[int, ...]
    sure: bool = True


class Alike(Base, frozen=True, kw_only=False):
    """Loads of one place that are alike in everything that packing asks.

    Attributes:
        loads: Their ids, in natural order.
        place: Number of the place.
        ways: How one of them may be served.
    """

    loads: tuple[str, ...]
    place: int
    ways: tuple[Way, ...]


class Floor(Base, frozen=True, kw_only=False):
    """What the chips of a place must come to together, less what its loads use: spare channels, pins, chips at most.

    Attributes:
        what: What it is about, for people.
        place: Number of the place; -1 where it is about all places.
        weights: What one of each chip adds; below 0 what it takes.
        least: What they must come to.
        per_channel: What each channel that a load takes takes away.
    """

    what: str
    place: int
    weights: tuple[int, ...]
    least: int
    per_channel: int = 0


class Problem(Base, frozen=True, kw_only=False):
    """Which chips serve which loads at the least cost.

    Attributes:
        places: Names of the places.
        chips: Chips that may be used.
        alike: Loads to be served, by likeness; every load once.
        apart: Pairs of numbers of `alike` that must not be on one chip, the lower number first.
        costs: Per cost table, what so many chips cost: `costs[t][n]`, in whole steps of money (or of another aim).
        floors: What chips must come to together.
    """

    places: tuple[str, ...]
    chips: tuple[Chip, ...]
    alike: tuple[Alike, ...]
    apart: tuple[tuple[int, int], ...] = ()
    costs: tuple[tuple[int, ...], ...] = ()
    floors: tuple[Floor, ...] = ()


class Filled(Base, frozen=True, kw_only=False):
    """One chip with its loads.

    Attributes:
        chip: Number of the chip.
        loads: Pairs of the number of `alike` and of its way, sorted; one pair per load.
    """

    chip: int
    loads: tuple[tuple[int, int], ...]


Packing = tuple[Filled, ...]
"""Chips with their loads; a chip that serves nothing may stand in it to meet a floor."""

Counts = tuple[int, ...]
"""How many there are of each chip."""


class ProblemError(ValueError):
    """A packing that is none: it leaves a load out, overfills a chip or breaks another condition."""


def counts_of(problem: Problem, packing: Packing) -> Counts:
    """Return how many of each chip a packing has."""
    counts = [0] * len(problem.chips)
    for own in packing:
        counts[own.chip] += 1
    return tuple(counts)


def cost_of(problem: Problem, counts: Counts) -> int:
    """Return what so many chips cost.

    Raises:
        ProblemError: There are more chips than the cost tables, or the chips themselves, allow.
    """
    totals = [0] * len(problem.costs)
    for chip, count in zip(problem.chips, counts, strict=True):
        if not 0 <= count <= chip.most:
            raise ProblemError(f"{count} of {chip.name}, at most {chip.most} are allowed")
        totals[chip.price] += count
    if any(total >= len(table) for table, total in zip(problem.costs, totals, strict=True)):
        raise ProblemError("more chips than the cost table has")
    return sum(table[total] for table, total in zip(problem.costs, totals, strict=True))


def level_of(problem: Problem, floor: Floor, packing: Packing) -> int:
    """Return what the chips of a packing come to, less what its loads use."""
    level = 0
    for filled in packing:
        level += floor.weights[filled.chip]
        if floor.per_channel and problem.chips[filled.chip].place == floor.place:
            ways = (problem.alike[number].ways[way] for number, way in filled.loads)
            level -= floor.per_channel * sum(way.takes[CHANNELS] for way in ways)
    return level


def least_of(problem: Problem, floor: Floor) -> int:
    """Return what chips must come to at least, however few channels each load takes."""
    if not floor.per_channel:
        return floor.least
    fewest = sum(
        len(kind.loads) * min((way.least[CHANNELS] for way in kind.ways), default=0)
        for kind in problem.alike
        if kind.place == floor.place
    )
    return floor.least + floor.per_channel * fewest


def checked_cost(problem: Problem, packing: Packing) -> int:
    """Check a packing in whole numbers and return its cost.

    Raises:
        ProblemError: It is no packing of the problem; the sentence says what is wrong.
    """
    left = [len(own.loads) for own in problem.alike]
    apart = set(problem.apart)
    for filled in packing:
        chip = problem.chips[filled.chip]
        used = [0] * len(chip.rooms)
        for number, way_number in filled.loads:
            way = problem.alike[number].ways[way_number]
            if way.chip != filled.chip or not way.sure or problem.alike[number].place != chip.place:
                raise ProblemError(f"{problem.alike[number].loads[0]} is not served that way by {chip.name}")
            left[number] -= 1
            used = [total + own for total, own in zip(used, way.takes, strict=True)]
        if any(total > room for total, room in zip(used, chip.rooms, strict=True)):
            raise ProblemError(f"{chip.name} is overfilled")
        numbers = sorted({number for number, _ in filled.loads})
        together = {(one, other) for one in numbers for other in numbers if one < other}
        if together & apart:
            raise ProblemError(f"{chip.name} serves loads that are kept apart")
    if any(left):
        raise ProblemError("not every load is served exactly once")
    counts = counts_of(problem, packing)
    for floor in problem.floors:
        if level_of(problem, floor, packing) < floor.least:
            raise ProblemError(f"{floor.what}: less than {floor.least}")
    return cost_of(problem, counts)
