"""Published and derived instances of which the optimum is known."""

import pytest

from bomtui.packing.greedy import greedy
from bomtui.packing.problem import Problem, checked_cost
from bomtui.packing.proof import checked_bound
from bomtui.packing.solver.improve import Work, improve
from tests.packing.instances import bins, cover, triplets, vectors

WORK = Work()
NINE = [51] * 6 + [27] * 6 + [26] * 6 + [23] * 12


def proved(problem: Problem) -> tuple[int, int, int]:
    """Cost of the greedy packing, of the improved one, and the bound that the integer check of its proof gives."""
    start = greedy(problem)
    assert start is not None
    found = improve(problem, start, WORK)
    assert found.packing is not None
    bound = checked_bound(problem, found.certificate, found.packing)
    return checked_cost(problem, start), checked_cost(problem, found.packing), bound.cost


@pytest.mark.parametrize(
    ("sizes", "room", "best"),
    [
        # A bin-packing guide of a solver library: 11 items, 4 bins of 100.
        pytest.param([48, 30, 19, 36, 36, 27, 42, 42, 36, 24, 30], 100, 4, id="guide"),
        # A school example of decision mathematics: first fit takes 6, 5 suffice.
        pytest.param([8, 7, 14, 9, 6, 9, 5, 15, 6, 7, 8], 20, 5, id="school"),
        # Johnson's family for 11/9 (value from memory; verified: 51 + 26 + 23 = 27 + 27 + 23 + 23 = 100).
        pytest.param(NINE, 100, 9, id="eleven-ninths"),
        # First fit in this order takes 10 (Dosa and Sgall, floor of 1.7 times the optimum; instance from memory).
        pytest.param([15] * 6 + [34] * 6 + [51] * 6, 100, 6, id="first-fit-worst"),
    ],
)
def test_fewest_bins_are_found_and_proved(sizes: list[int], room: int, best: int) -> None:
    """Packing, bound and published optimum are the same number."""
    _, cost, bound = proved(bins(sizes, room))
    assert (cost, bound) == (best, best)


def test_first_fit_decreasing_alone_is_not_the_answer() -> None:
    """Of the 11/9 family the greedy packing takes 11 bins, as published, and is not called the fewest."""
    start = greedy(bins(NINE, 100))
    assert start is not None
    assert len(start) == 11


def test_vectors_need_the_exact_mode() -> None:
    """Five vectors go into two bins of (6, 6) (derived; by exhaustive search)."""
    _, cost, bound = proved(vectors([(3, 1), (3, 1), (1, 3), (1, 3), (2, 2)], (6, 6)))
    assert (cost, bound) == (2, 2)


@pytest.mark.parametrize(
    ("universe", "sets"),
    [
        # Textbook counter-examples to greedy set cover: it takes 3 sets, 2 suffice.
        (14, [[1, 2, 4, 6, 8, 10, 12, 14], [3, 5, 9, 11], [7, 13], list(range(1, 8)), list(range(8, 15))]),
        (6, [[2, 3, 4, 5], [1, 2, 3], [4, 5, 6]]),
    ],
)
def test_fewest_kinds_that_cover(universe: int, sets: list[list[int]]) -> None:
    """Two sets cover what greedy choice covers with three."""
    _, cost, bound = proved(cover(universe, sets))
    assert (cost, bound) == (2, 2)


def test_small_triplets_fill_every_bin() -> None:
    """Eight triples that fill a bin each take eight bins."""
    _, cost, bound = proved(bins(triplets(8), 1000))
    assert (cost, bound) == (8, 8)


@pytest.mark.slow
def test_twenty_triplets() -> None:
    """Falkenauer's idea: 20 of 20, where first-fit decreasing takes 24 (check value, derived for this generator)."""
    first, cost, bound = proved(bins(triplets(20), 1000))
    assert (first, cost, bound) == (24, 20, 20)
