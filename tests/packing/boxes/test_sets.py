"""Which sets of modules are taken together: exactly the best, held against every choice there is."""

import random
from collections.abc import Iterator, Mapping
from decimal import Decimal
from itertools import combinations

from bomtui.packing.boxes.sets import Modules, best_choice


def _choices(sets: list[Modules]) -> Iterator[tuple[Modules, ...]]:
    """Every choice of sets without a module in common."""
    if not sets:
        yield ()
        return
    first, *rest = sets
    yield from _choices(rest)
    yield from ((first, *own) for own in _choices([one for one in rest if not set(one) & set(first)]))


def _saved(savings: Mapping[Modules, Decimal], sets: tuple[Modules, ...]) -> Decimal:
    return sum((savings[own] for own in sets), Decimal(0))


def test_the_best_choice_saves_as_much_as_the_best_of_all_choices() -> None:
    """100 invented tables of savings over six modules, drawn from a seed."""
    drawn = random.Random(7)
    every = [own for size in (2, 3, 4) for own in combinations(("A", "B", "C", "D", "E", "F"), size)]
    for _ in range(100):
        savings = {own: Decimal(drawn.randint(1, 90)) for own in drawn.sample(every, 9)}
        best = best_choice(savings)
        assert len({module for own in best for module in own}) == sum(map(len, best))
        assert _saved(savings, best) == max(_saved(savings, own) for own in _choices(list(savings)))


def test_nothing_is_chosen_of_nothing_and_fewer_sets_of_equal_ones() -> None:
    """No set, no choice; one set of four in place of two pairs that save as much."""
    assert best_choice({}) == ()
    savings = {("A", "B"): Decimal(2), ("C", "D"): Decimal(3), ("A", "B", "C", "D"): Decimal(5)}
    assert best_choice(savings) == (("A", "B", "C", "D"),)
