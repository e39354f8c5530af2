"""Driver packing of many loads: cost, checked bound, gap and time, against first-fit decreasing.

Own certified bound is the other side: the gap says how far the cost may be from the least. Run one by one on a quiet
machine; `-s` shows the figures.
"""

import time

import pytest

from bomtui.packing.greedy import greedy
from bomtui.packing.problem import checked_cost
from bomtui.packing.proof import checked_bound
from bomtui.packing.solver.improve import Work, improve
from tests.packing.many_loads import many_loads


@pytest.mark.parametrize("templated", [True, False], ids=["templated", "all-different"])
@pytest.mark.parametrize("loads", [50, 200, 500, 1_000, 2_000, 5_000])
def test_packing_beside_first_fit_decreasing(loads: int, *, templated: bool) -> None:
    """The packing is no dearer than first-fit decreasing and no cheaper than its checked bound."""
    problem = many_loads(1, loads, templated=templated)
    begin = time.perf_counter()
    start = greedy(problem)
    quick_s = time.perf_counter() - begin
    assert start is not None
    found = improve(problem, start, Work())
    solve_s = time.perf_counter() - begin
    assert found.packing is not None
    bound = checked_bound(problem, found.certificate, found.packing).cost
    whole_s = time.perf_counter() - begin
    first, cost = checked_cost(problem, start), checked_cost(problem, found.packing)
    print(  # noqa: T201 - what a benchmark is for
        f"\n{loads} loads, {len(problem.alike)} kinds: first fit {first} in {quick_s:.2f} s; cost {cost} in"
        f" {solve_s:.1f} s,"
        f" bound {bound} checked after {whole_s:.1f} s, gap {(cost - bound) / cost:.2%}"
    )
    assert bound <= cost <= first
