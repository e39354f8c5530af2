"""Loads that are nearly alike put together, so that a problem of very many different loads becomes a small one.

A plan counts each with the most that any of its group takes, a bound with the least: a packing of the small problem is
one of the whole, and prices of the small one are prices of the whole that hold.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from msgspec import structs

from bomtui.packing.problem import CHANNELS, Alike, Filled, Packing, Problem, Way

RATIOS = (1.03, 1.06, 1.1, 1.15, 1.25, 1.4)
"""How much more one may take than another of its group, the finest that makes few enough groups."""

Key = tuple[int, tuple[tuple[int, int, int, bool], ...]]


@dataclass(frozen=True, slots=True)
class Joined:
    """A problem with loads put together.

    Attributes:
        problem: The smaller problem.
        members: Per group, the numbers of what it is made of, one per load.
    """

    problem: Problem
    members: tuple[tuple[int, ...], ...]

    def whole(self, packing: Packing) -> Packing:
        """Return a packing of the small problem as one of the whole."""
        names = [iter(own) for own in self.members]
        return tuple(
            Filled(own.chip, tuple(sorted((next(names[number]), way) for number, way in own.loads))) for own in packing
        )

    def small(self, packing: Packing) -> Packing:
        """Return a packing of the whole in the words of the small problem; it may not fit there."""
        group_of = {number: group for group, own in enumerate(self.members) for number in own}
        return tuple(
            Filled(own.chip, tuple(sorted((group_of[number], way) for number, way in own.loads))) for own in packing
        )

    def prices(self, row: Sequence[int]) -> tuple[int, ...]:
        """Return prices of the small problem's loads as prices of the whole's."""
        by_number = {number: price for price, own in zip(row, self.members, strict=True) for number in own}
        return tuple(by_number[number] for number in range(len(by_number)))


def joined(problem: Problem, at_most: int) -> Joined:
    """Put loads together that are nearly alike, until there are few enough groups or they would differ too much.

    Args:
        problem: The problem.
        at_most: Groups that are few enough; where loads are no more than that, nothing is put together.
    """
    groups = [[number] for number in range(len(problem.alike))]
    for ratio in RATIOS:
        if len(groups) <= at_most:
            break
        groups = list(_groups(problem, ratio))
    members = tuple(tuple(number for number in own for _ in problem.alike[number].loads) for own in groups)
    if len(groups) == len(problem.alike):
        return Joined(problem, members)
    group_of = {number: group for group, own in enumerate(groups) for number in own}
    apart = tuple(sorted((group_of[one], group_of[other])) for one, other in problem.apart)
    small = structs.replace(
        problem,
        alike=tuple(_one([problem.alike[number] for number in own]) for own in groups),
        apart=tuple(sorted((low, high) for low, high in apart)),
    )
    return Joined(small, members)


def _groups(problem: Problem, ratio: float) -> Iterator[list[int]]:
    """Yield the numbers of loads that are nearly alike; what is kept apart from something stays by itself."""
    apart = {number for pair in problem.apart for number in pair}
    by_key: dict[Key, list[int]] = {}
    for number, kind in enumerate(problem.alike):
        if number in apart or not kind.ways:
            yield [number]
            continue
        ways = tuple((way.chip, way.takes[CHANNELS], way.least[CHANNELS], way.sure) for way in kind.ways)
        by_key.setdefault((kind.place, ways), []).append(number)
    for numbers in by_key.values():
        numbers.sort(key=lambda number: (_takes(problem.alike[number]), number))
        group: list[int] = []
        for number in numbers:
            if group and not _is_near(problem.alike[group[0]], problem.alike[number], ratio):
                yield group
                group = []
            group.append(number)
        yield group


def _takes(kind: Alike) -> tuple[int, ...]:
    return tuple(take for way in kind.ways for take in way.takes)


def _is_near(one: Alike, other: Alike, ratio: float) -> bool:
    return all(
        more <= less * ratio and less <= more * ratio for less, more in zip(_takes(one), _takes(other), strict=True)
    )


def _one(kinds: Sequence[Alike]) -> Alike:
    first = kinds[0]
    ways = tuple(
        Way(
            way.chip,
            tuple(map(max, zip(*(kind.ways[index].takes for kind in kinds), strict=True))),
            tuple(map(min, zip(*(kind.ways[index].least for kind in kinds), strict=True))),
            way.sure,
        )
        for index, way in enumerate(first.ways)
    )
    return Alike(tuple(load for kind in kinds for load in kind.loads), first.place, ways)
