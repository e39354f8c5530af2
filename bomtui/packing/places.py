"""One place of a packing problem by itself, every chip at the least that one of it ever costs."""

from msgspec import structs

from bomtui.packing.counting import slopes_of
from bomtui.packing.problem import Packing, Problem


def place_problem(problem: Problem, place: int, steps_of_cost: int) -> Problem:
    """Return the problem of one place, with the same numbers of chips and loads.

    What the places cost by themselves, added up, is never more than what they cost together: prices only fall, and
    never below the least that one chip costs.

    Args:
        problem: The problem of all places.
        place: Number of the place.
        steps_of_cost: Into how many parts a millionth of a step of cost is put together: 1 for exact costs in
            millionths, more for rounder ones.
    """
    slopes = slopes_of(problem)
    return structs.replace(
        problem,
        chips=tuple(chip if chip.place == place else structs.replace(chip, most=0) for chip in problem.chips),
        alike=tuple(kind if kind.place == place else structs.replace(kind, loads=()) for kind in problem.alike),
        costs=tuple(
            tuple(slope * count // steps_of_cost for count in range(len(table)))
            for slope, table in zip(slopes, problem.costs, strict=True)
        ),
        floors=tuple(floor for floor in problem.floors if floor.place == place),
    )


def part_of(problem: Problem, packing: Packing, place: int) -> Packing:
    """Return what a packing has in one place."""
    return tuple(own for own in packing if problem.chips[own.chip].place == place)
