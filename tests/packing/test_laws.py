"""Laws of packings and their bounds, on random problems (seeded, invented)."""

from collections.abc import Iterator

import msgspec
import pytest

from bomtui.packing.greedy import greedy
from bomtui.packing.problem import Problem, checked_cost
from bomtui.packing.proof import checked_bound
from bomtui.packing.solver.improve import Work, improve
from tests.packing.instances import random_problem, strict

# Hundreds of small searches.
pytestmark = pytest.mark.slow

SEEDS = range(60)


def ends(problem: Problem) -> tuple[int, int] | None:
    """Checked bound, and cost of the best packing, which is no worse than its start; None where there is none."""
    start = greedy(problem)
    found = improve(problem, start, Work())
    if found.packing is None:
        assert start is None
        return None
    cost = checked_cost(problem, found.packing)
    assert start is None or cost <= checked_cost(problem, start)
    bound = checked_bound(problem, found.certificate, found.packing).cost
    assert bound <= cost
    return bound, cost


def without_one_load(problem: Problem) -> Iterator[Problem]:
    """The problem without each of its kinds of loads."""
    for gone in range(len(problem.alike)):
        number = {old: old - (old > gone) for old in range(len(problem.alike)) if old != gone}
        yield msgspec.structs.replace(
            problem,
            alike=tuple(own for index, own in enumerate(problem.alike) if index != gone),
            apart=tuple((number[one], number[other]) for one, other in problem.apart if gone not in (one, other)),
        )


@pytest.mark.parametrize("seed", SEEDS)
def test_another_load_never_makes_it_cheaper(seed: int) -> None:
    """Neither the optimum nor its bound falls with a load more: on small problems both are the same number."""
    problem = strict(random_problem(seed, loads=4, places=1 + seed % 2))
    whole = ends(problem)
    if whole is None:
        return
    bound, cost = whole
    assert bound == cost
    for fewer in without_one_load(problem):
        found = ends(fewer)
        assert found is not None
        assert found[0] == found[1] <= cost


@pytest.mark.parametrize("seed", SEEDS)
def test_fewer_conditions_never_make_it_dearer(seed: int) -> None:
    """Without a pair kept apart, or with more room on a chip, the optimum is no higher."""
    problem = strict(random_problem(seed, loads=4, places=1 + seed % 2))
    whole = ends(problem)
    if whole is None:
        return
    freer = [
        msgspec.structs.replace(problem, apart=(*problem.apart[:index], *problem.apart[index + 1 :]))
        for index in range(len(problem.apart))
    ]
    roomy = tuple(
        msgspec.structs.replace(
            chip, rooms=tuple(room + 1 for room in chip.rooms), loosest=tuple(room + 1 for room in chip.loosest)
        )
        for chip in problem.chips
    )
    for own in (*freer, msgspec.structs.replace(problem, chips=roomy)):
        found = ends(own)
        assert found is not None
        assert found[1] <= whole[1]
