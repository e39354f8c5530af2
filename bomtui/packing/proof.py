"""What a packing costs at least, and the check of it: whole numbers only, no trust in whoever found the prices.

A certificate is prices of loads and counts of chips that were found impossible. The check fills every chip anew at
those prices, tries every way to pack the impossible counts, and searches all counts that are left.
"""

from collections.abc import Sequence

from bomtui.model.base import Base
from bomtui.packing.counting import (
    SCALE,
    STEPS,
    Cut,
    TooMuchWorkError,
    channel_cuts,
    cheapest,
    cut_bound,
    cut_of,
    dominated,
    slopes_of,
    tightened,
)
from bomtui.packing.exhaustive import STEPS as PACKING_STEPS
from bomtui.packing.exhaustive import packed_exactly
from bomtui.packing.fills import Filler
from bomtui.packing.places import place_problem
from bomtui.packing.problem import Counts, Packing, Problem, checked_cost, counts_of

TRIES = 3
"""How often a bound that takes too much work is tried halfway down to what is surely known."""


class Certificate(Base, frozen=True, kw_only=False):
    """What is claimed of a problem, to be checked.

    Attributes:
        prices: Prices of one load of each kind; each row says what loads are worth beside each other.
        impossible: Place and counts of chips on which the loads of that place cannot be packed.
    """

    prices: tuple[tuple[int, ...], ...] = ()
    impossible: tuple[tuple[int, Counts], ...] = ()


class Bound(Base, frozen=True, kw_only=False):
    """What a packing costs at least.

    Attributes:
        cost: No packing costs less.
        cuts: How many rows of prices it rests on.
        impossible: How many impossible counts it rests on.
    """

    cost: int
    cuts: int
    impossible: int


def checked_bound(
    problem: Problem,
    certificate: Certificate,
    packing: Packing,
    steps: int = STEPS,
    packing_steps: int = PACKING_STEPS,
) -> Bound:
    """Check a certificate and return the bound that it really gives; what does not hold is left out.

    Args:
        problem: The problem.
        certificate: What is claimed.
        packing: A packing that is at hand; the bound is never above its cost.
        steps: Steps of a search over counts.
        packing_steps: Steps of a search for a packing.

    Raises:
        ProblemError: The packing is none.
    """
    ceiling = checked_cost(problem, packing)
    filler = Filler(problem)
    rows = [row for row in certificate.prices if len(row) == len(problem.alike) and min(row, default=0) >= 0]
    cuts = [cut_of(problem, row, filler) for row in (*channel_cuts(problem), *rows)]
    impossible = tuple(own for own in certificate.impossible if _is_impossible(problem, own, packing_steps))
    low = min(ceiling, max([0, *(cut_bound(problem, cut) for cut in cuts)]))
    problem = tightened(problem, cuts, ceiling)
    if low < ceiling and len(problem.places) > 1:
        counts = counts_of(problem, packing)
        low = max(low, min(ceiling, _by_places(problem, rows, impossible, counts, filler, steps)))
    return Bound(_searched(problem, cuts, impossible, low, ceiling, steps), len(cuts), len(impossible))


def _by_places(
    problem: Problem,
    rows: Sequence[tuple[int, ...]],
    impossible: Sequence[tuple[int, Counts]],
    counts: Counts,
    filler: Filler,
    steps: int,
) -> int:
    """Return the sum of what each place costs at least by itself, each chip at the least that one of it ever costs."""
    slopes = slopes_of(problem)
    total = 0
    for place in range(len(problem.places)):
        own = place_problem(problem, place, 1)
        here = [
            tuple(price if kind.place == place else 0 for price, kind in zip(row, problem.alike, strict=True))
            for row in (*channel_cuts(problem), *rows)
        ]
        cuts = [cut_of(own, row, filler) for row in dict.fromkeys(here) if any(row)]
        known = tuple(claim for claim in impossible if claim[0] == place)
        there = [count if chip.place == place else 0 for chip, count in zip(problem.chips, counts, strict=True)]
        ceiling = sum(slopes[chip.price] * count for chip, count in zip(own.chips, there, strict=True))
        total += _searched(own, cuts, known, 0, ceiling, steps)
    return -(-total // SCALE)


def _searched(
    problem: Problem,
    cuts: Sequence[Cut],
    impossible: Sequence[tuple[int, Counts]],
    low: int,
    ceiling: int,
    steps: int,
) -> int:
    """Return the cost below which no counts are left, between what is known and the ceiling."""
    for _ in range(TRIES):
        if low >= ceiling:
            return low
        try:
            found = cheapest(problem, cuts, ceiling, lambda counts: dominated(counts, impossible, problem), steps)
        except TooMuchWorkError:
            ceiling = (low + ceiling) // 2
            continue
        return max(low, found.bound)
    return low


def _is_impossible(problem: Problem, claim: tuple[int, Counts], steps: int) -> bool:
    place, counts = claim
    if not 0 <= place < len(problem.places) or len(counts) != len(problem.chips):
        return False
    try:
        return packed_exactly(problem, place, counts, planned=False, steps=steps) is None
    except TooMuchWorkError:
        return False
