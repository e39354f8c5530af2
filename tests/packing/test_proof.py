"""A bound holds whatever a certificate claims, and is the optimum where the certificate is good."""

import random

import pytest

from bomtui.packing.fills import Filler
from bomtui.packing.greedy import greedy
from bomtui.packing.problem import Alike, Chip, Filled, Problem, ProblemError, Way, checked_cost
from bomtui.packing.proof import Certificate, checked_bound
from bomtui.packing.solver.improve import Work, improve
from tests.packing.instances import bins, optimum, random_problem, strict

SEEDS = range(12)
CHEAP = Work(rounds=30, nodes=500)


@pytest.mark.parametrize("seed", SEEDS)
def test_no_prices_lift_the_bound_over_the_optimum(seed: int) -> None:
    """Any prices and any claims of what is impossible give a bound that holds."""
    problem = random_problem(seed)
    start = greedy(problem)
    if start is None:
        assert optimum(strict(problem)) is None or problem.apart
        return
    chance = random.Random(seed)
    counts = tuple(chance.randint(0, 2) for _ in problem.chips)
    rows = tuple(tuple(chance.randint(0, 9) for _ in problem.alike) for _ in range(3))
    bound = checked_bound(problem, Certificate(rows, ((0, counts), (7, counts), (0, ()))), start)
    best = optimum(problem)
    assert best is not None
    assert bound.cost <= best


@pytest.mark.parametrize("seed", SEEDS)
def test_proved_means_the_optimum(seed: int) -> None:
    """Where plan and bound count alike, the improved packing costs what trying everything finds, and it is proved."""
    problem = strict(random_problem(seed))
    best = optimum(problem)
    found = improve(problem, greedy(problem), CHEAP)
    if best is None:
        assert found.packing is None
        return
    assert found.packing is not None
    assert checked_cost(problem, found.packing) == best
    assert checked_bound(problem, found.certificate, found.packing).cost == best


def test_an_empty_certificate_still_gives_the_plain_bound() -> None:
    """So many channels take so many chips: 370 of 100 are 4 bins, without any price."""
    problem = bins([48, 30, 19, 36, 36, 27, 42, 42, 36, 24, 30], 100)
    start = greedy(problem)
    assert start is not None
    assert checked_bound(problem, Certificate(), start).cost == 4


def test_a_fill_is_the_best_one() -> None:
    """The most valuable loads of a chip are those that trying every choice finds."""
    chance = random.Random(3)
    for _ in range(40):
        takes = [(1, chance.randint(1, 6)) for _ in range(7)]
        prices = [chance.randint(0, 20) for _ in takes]
        rooms = (3, 9)
        alike = tuple(Alike((f"L{index}",), 0, (Way(0, own, own),)) for index, own in enumerate(takes))
        problem = Problem(("M",), (Chip("C", 0, 0, rooms, rooms, 7),), alike, ((0, 1),), ((0, 1),))
        best = max(
            sum(price for index, price in enumerate(prices) if chosen >> index & 1)
            for chosen in range(1 << len(takes))
            if chosen & 3 != 3
            and chosen.bit_count() <= 3
            and sum(own[1] for index, own in enumerate(takes) if chosen >> index & 1) <= 9
        )
        fill = Filler(problem).most_valuable(0, prices)
        assert (fill.value, fill.exact) == (best, True)
        assert sum(prices[number] for number, _ in fill.loads) == best


def test_a_fill_cut_short_is_an_upper_bound() -> None:
    """A search that runs out of steps never says less than the best."""
    alike = tuple(Alike((f"L{index}",), 0, (Way(0, (1, index), (1, index)),)) for index in range(1, 12))
    problem = Problem(("M",), (Chip("C", 0, 0, (4, 20), (4, 20), 11),), alike, (), ((0, 1),))
    prices = [7 * index % 11 + 1 for index in range(11)]
    filler = Filler(problem)
    assert filler.most_valuable(0, prices, steps=1).value >= filler.most_valuable(0, prices).value


@pytest.mark.parametrize(
    ("filled", "words"),
    [
        ((), "not every load is served"),
        ((Filled(0, ((0, 0), (1, 0))),), "kept apart"),
        ((Filled(0, ((0, 0),)), Filled(0, ((1, 0), (2, 0)))), "overfilled"),
        ((Filled(0, ((0, 0),)), Filled(0, ((1, 0),)), Filled(1, ((2, 1),))), "at most"),
    ],
)
def test_what_is_no_packing_is_refused(filled: tuple[Filled, ...], words: str) -> None:
    """The integer check names what is wrong with a packing."""
    ways = (Way(0, (1, 3), (1, 3)), Way(1, (1, 3), (1, 3)))
    heavy = (Way(0, (1, 5), (1, 5)), ways[1])
    alike = (Alike(("L1",), 0, ways), Alike(("L2",), 0, ways), Alike(("L3",), 0, heavy))
    chips = (Chip("a", 0, 0, (2, 7), (2, 7), 3), Chip("b", 0, 1, (2, 6), (2, 6), 0))
    problem = Problem(("M",), chips, alike, ((0, 1),), ((0, 1, 2, 3), (0, 1)))
    with pytest.raises(ProblemError, match=words):
        checked_cost(problem, filled)


def test_more_loads_never_lower_the_bound_and_fewer_conditions_never_raise_the_optimum() -> None:
    """Taking a load or a condition away makes nothing dearer."""
    for seed in range(6):
        problem = strict(random_problem(seed))
        best = optimum(problem)
        fewer = Problem(problem.places, problem.chips, problem.alike[:-1], (), problem.costs)
        without = optimum(fewer)
        assert without is not None or best is None
        assert best is None or (without is not None and without <= best)
