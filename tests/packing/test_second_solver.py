"""The class model against a direct one: load by load, chip by chip, written anew for a second solver (scipy.milp)."""

import math

import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp

from bomtui.packing.greedy import greedy
from bomtui.packing.problem import Problem, checked_cost
from bomtui.packing.proof import checked_bound
from bomtui.packing.solver.improve import Work, improve
from tests.packing.instances import random_problem, strict


def direct(problem: Problem) -> int | None:  # noqa: C901 - one model, row by row
    """Least cost by assigning every load to a slot of every chip; None where there is no packing."""
    loads = [(number, kind) for number, kind in enumerate(problem.alike) for _ in kind.loads]
    slots = [(number, slot) for number, chip in enumerate(problem.chips) for slot in range(min(chip.most, len(loads)))]
    choices = [
        (load, slot, way)
        for load, (_, kind) in enumerate(loads)
        for slot, (chip, _) in enumerate(slots)
        for way in kind.ways
        if way.chip == chip
    ]
    # Columns: choices, then slots in use, then one per count of each cost table.
    counts = [(table, count) for table, own in enumerate(problem.costs) for count in range(len(own))]
    total = len(choices) + len(slots) + len(counts)
    rows: list[tuple[np.ndarray, float, float]] = []

    def row(entries: dict[int, float], low: float, high: float) -> None:
        values = np.zeros(total)
        for column, value in entries.items():
            values[column] += value
        rows.append((values, low, high))

    first_slot, first_count = len(choices), len(choices) + len(slots)
    for load in range(len(loads)):
        row({column: 1.0 for column, (own, _, _) in enumerate(choices) if own == load}, 1, 1)
    for slot, (chip, _) in enumerate(slots):
        for resource, room in enumerate(problem.chips[chip].rooms):
            entries = {
                column: float(way.takes[resource]) for column, (_, own, way) in enumerate(choices) if own == slot
            }
            row({**entries, first_slot + slot: -float(room)}, -math.inf, 0)
        for one, other in problem.apart:
            for load_one, (number, _) in enumerate(loads):
                for load_other, (number_other, _) in enumerate(loads):
                    if (number, number_other) == (one, other):
                        pair = {
                            column: 1.0
                            for column, (own, where, _) in enumerate(choices)
                            if where == slot and own in (load_one, load_other)
                        }
                        row(pair, -math.inf, 1)
    for table in range(len(problem.costs)):
        own = {first_slot + slot: 1.0 for slot, (chip, _) in enumerate(slots) if problem.chips[chip].price == table}
        chosen = {first_count + index: 1.0 for index, (number, _) in enumerate(counts) if number == table}
        row(chosen, 1, 1)
        amounts = {
            first_count + index: -float(count) for index, (number, count) in enumerate(counts) if number == table
        }
        row({**own, **amounts}, 0, 0)
    cost = np.zeros(total)
    for index, (table, count) in enumerate(counts):
        cost[first_count + index] = problem.costs[table][count]
    matrix = np.array([values for values, _, _ in rows])
    limits = LinearConstraint(matrix, [low for _, low, _ in rows], [high for _, _, high in rows])
    found = milp(cost, constraints=limits, integrality=np.ones(total), bounds=Bounds(0, 1))
    return None if found.x is None else round(found.fun)


@pytest.mark.slow
@pytest.mark.parametrize("block", range(10))
def test_both_solvers_find_the_same_optimum(block: int) -> None:
    """200 random instances: the same least cost, or none, by the direct model; and every one is proved."""
    for seed in range(20 * block, 20 * block + 20):
        problem = strict(random_problem(seed, loads=4, places=1 + seed % 2))
        best = direct(problem)
        found = improve(problem, greedy(problem), Work())
        if best is None:
            assert found.packing is None
            continue
        assert found.packing is not None
        assert checked_cost(problem, found.packing) == best
        assert checked_bound(problem, found.certificate, found.packing).cost == best
