"""Loads of which a packing need not tell one from the other, and those that it keeps apart."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from bomtui.engine.separation import separations
from bomtui.model.proposal import Proposal
from bomtui.packing.kept import Keep
from bomtui.packing.load_ways import LoadWays
from bomtui.packing.problem import Alike, Way


@dataclass(frozen=True, slots=True)
class Numbered:
    """How a problem counts.

    Attributes:
        places: Number of each module.
        chips: Number of each part in each place.
        kept: Resources of it that the problem keeps.
    """

    places: Mapping[str, int]
    chips: Mapping[tuple[int, str], int]
    kept: Mapping[tuple[int, str], Sequence[int]]


def grouped(
    served: Sequence[LoadWays], enemies: Mapping[str, frozenset[str]], numbered: Numbered
) -> tuple[tuple[Alike, ...], tuple[tuple[int, int], ...], dict[str, int]]:
    """Return loads by likeness, the pairs that are kept apart, and the number of each load.

    Args:
        served: Loads that some part serves.
        enemies: Of which others each is kept apart.
        numbered: Numbers of places and chips.
    """
    groups: dict[tuple[int, tuple[Way, ...], frozenset[str]], list[str]] = {}
    for own in served:
        place = numbered.places[own.module]
        ways = tuple(
            Way(
                numbered.chips[place, key],
                tuple(up[index] for index in numbered.kept[place, key]),
                tuple(down[index] for index in numbered.kept[place, key]),
                sure,
            )
            for key, (up, down, sure) in own.ways.items()
            if (place, key) in numbered.chips
        )
        groups.setdefault((place, ways, enemies[own.load_id]), []).append(own.load_id)
    alike = tuple(Alike(tuple(loads), place, ways) for (place, ways, _), loads in groups.items())
    number_of = {load_id: number for number, own in enumerate(alike) for load_id in own.loads}
    apart = sorted(
        {tuple(sorted((number_of[one], number_of[other]))) for one, others in enemies.items() for other in others}
    )
    return alike, tuple((one, other) for one, other in apart), number_of


def enemies_of(
    proposal: Proposal, served: Iterable[LoadWays], keep: Keep
) -> tuple[dict[str, frozenset[str]], tuple[str, ...]]:
    """Return of which loads of its own module each load is kept apart, as far as it is now, and what is granted.

    Args:
        proposal: Whose stand-ins and separations they are.
        served: Loads that some part serves.
        keep: Which findings a plan may not bring.
    """
    own_ways = {own.load_id: own for own in served}
    conditions: list[str] = []
    pairs: list[tuple[str, str]] = [(own.primary, own.stand_in) for own in proposal.pairs.values()]
    for separation in separations(proposal):
        if separation.severity == "error" or (separation.severity == "warning" and keep == "warnings"):
            pairs += [(one, other) for one in separation.loads for other in separation.others]
    found: dict[str, set[str]] = {load_id: set() for load_id in own_ways}
    for one, other in pairs:
        first, second = own_ways.get(one), own_ways.get(other)
        if first is None or second is None or one == other or first.module != second.module:
            continue
        if first.ref and first.ref == second.ref:
            conditions.append(f"{one} and {other} are on one device now and may stay so")
            continue
        found[one].add(other)
        found[other].add(one)
    return {load_id: frozenset(own) for load_id, own in found.items()}, tuple(conditions)
