"""Many loads: bounds that hold, packings no worse than their start, and what more loads or fewer conditions do."""

import pytest
from msgspec import structs

from bomtui.packing.fills import Filler
from bomtui.packing.greedy import greedy
from bomtui.packing.joined import joined
from bomtui.packing.problem import Problem, checked_cost
from bomtui.packing.proof import Certificate, checked_bound
from bomtui.packing.solver.columns import Columns
from bomtui.packing.solver.improve import Progress, Work, improve
from bomtui.packing.solver.table import good_filling
from tests.packing.instances import optimum, random_problem, strict
from tests.packing.many_loads import many_loads

BRIEF = Work(rounds=0, column_rounds=60, nodes=20, dives=1, dive_rounds=5, dive_nodes=20)


def bound_of(problem: Problem, prices: tuple[int, ...]) -> int:
    """The bound that prices give, checked in whole numbers."""
    start = greedy(problem)
    assert start is not None
    return checked_bound(problem, Certificate((prices,)), start, steps=1).cost


@pytest.mark.slow
@pytest.mark.parametrize("templated", [True, False])
def test_adding_a_load_never_lowers_the_bound(*, templated: bool) -> None:
    """One more load of any kind, priced anew: the bound is no lower, but for a step of rounded prices."""
    problem = many_loads(2, 16, templated=templated, chips=12)
    bound = bound_of(problem, Columns(problem, Filler(problem)).priced(60).prices)
    for number in range(0, len(problem.alike), 3):
        kind = problem.alike[number]
        more = structs.replace(kind, loads=(*kind.loads, "MORE"))
        alike = (*problem.alike[:number], more, *problem.alike[number + 1 :])
        costs = tuple((*own, 2 * own[-1] - own[-2]) for own in problem.costs)
        grown = structs.replace(problem, alike=alike, costs=costs)
        assert bound_of(grown, Columns(grown, Filler(grown)).priced(60).prices) >= bound - 1


def test_taking_a_condition_away_never_raises_the_optimum() -> None:
    """Kept apart no more, or more room: nothing becomes dearer (every sharing-out is tried)."""
    for seed in range(12):
        problem = strict(random_problem(seed))
        best = optimum(problem)
        if best is None:
            continue
        roomy = tuple(structs.replace(chip, rooms=tuple(room + 1 for room in chip.rooms)) for chip in problem.chips)
        for freer in (structs.replace(problem, apart=()), structs.replace(problem, chips=roomy)):
            found = optimum(freer)
            assert found is not None
            assert found <= best


@pytest.mark.parametrize(("templated", "pairs"), [(True, 0), (False, 0), (True, 3)])
def test_no_packing_is_worse_than_its_start(*, templated: bool, pairs: int) -> None:
    """What comes back is a packing of the problem, no dearer than the start and no cheaper than the checked bound."""
    problem = many_loads(3, 22, templated=templated, chips=12, rungs=True, pairs=pairs)
    start = greedy(problem)
    assert start is not None
    told: list[Progress] = []
    found = improve(problem, start, BRIEF, told.append)
    assert found.packing is not None
    cost = checked_cost(problem, found.packing)
    bound = checked_bound(problem, found.certificate, found.packing, steps=200, packing_steps=200)
    assert bound.cost <= cost <= checked_cost(problem, start)
    assert found.bound <= cost
    # What is told on the way is worth keeping: a packing of this very problem.
    for own in told:
        assert own.packing is None or checked_cost(problem, own.packing) == own.best


def test_nearly_alike_loads_put_together_keep_plans_and_prices() -> None:
    """A packing of the smaller problem is one of the whole, and its prices bound the whole."""
    problem = many_loads(4, 120, templated=False, chips=12)
    small = joined(problem, 40)
    assert len(small.problem.alike) < len(problem.alike)
    packing = greedy(small.problem)
    assert packing is not None
    whole = small.whole(packing)
    assert checked_cost(problem, whole) == checked_cost(small.problem, packing)
    prices = Columns(small.problem, Filler(small.problem)).priced(5).prices
    bound = checked_bound(problem, Certificate((small.prices(prices),)), whole, steps=1)
    assert 0 < bound.cost <= checked_cost(problem, whole)


def test_a_table_finds_what_fits_and_is_worth_no_more_than_the_best() -> None:
    """A filling by the table fits the chip, and the exact search finds nothing less."""
    problem = many_loads(5, 40, templated=False, chips=12)
    filler = Filler(problem)
    prices = tuple(7 + 5 * number % 11 for number in range(len(problem.alike)))
    for chip, own in enumerate(problem.chips):
        loads = good_filling(filler.pieces(chip, prices), own.rooms)
        takes = [problem.alike[number].ways[way].takes for number, way in loads]
        assert all(sum(column) <= room for column, room in zip(zip(*takes, strict=True), own.rooms, strict=False))
        assert filler.most_valuable(chip, prices).value >= sum(prices[number] for number, _ in loads)


def test_the_same_question_gets_the_same_answer() -> None:
    """Limits are work, so that two runs are equal to the last load."""
    problem = many_loads(6, 30, chips=12)
    start = greedy(problem)
    assert improve(problem, start, BRIEF) == improve(problem, start, BRIEF)
