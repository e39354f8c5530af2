"""Cost tables in an integer program: what so many chips cost, rung by rung, as straight pieces."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from bomtui.packing.problem import Problem, least_of
from bomtui.packing.solver.highs import Model


class Piece(NamedTuple):
    """A stretch of a cost table on which each further chip costs the same."""

    first: int
    last: int
    cost_at_first: int
    step: int


def pieces_of(table: Sequence[int]) -> Iterator[Piece]:
    """Yield the stretches of a cost table."""
    first = 0
    while first < len(table):
        last = first
        step = table[first + 1] - table[first] if first + 1 < len(table) else 0
        while last + 1 < len(table) and table[last + 1] - table[last] == step:
            last += 1
        yield Piece(first, last, table[first], step if last > first else 0)
        first = last + 1


def count_columns(model: Model, problem: Problem) -> list[int]:
    """Add a whole variable per chip, and what all chips cost; return the variables of the chips."""
    chips = [model.column(0.0, 0.0, float(chip.most), whole=True) for chip in problem.chips]
    for number, table in enumerate(problem.costs):
        own = [chips[index] for index, chip in enumerate(problem.chips) if chip.price == number]
        if not own:
            continue
        total: dict[int, float] = dict.fromkeys(own, 1.0)
        chosen: dict[int, float] = {}
        for piece in pieces_of(table):
            # Chosen at all, and how many beyond the first of the piece.
            is_chosen = model.column(float(piece.cost_at_first), 0.0, 1.0, whole=True)
            chosen[is_chosen] = 1.0
            total[is_chosen] = -float(piece.first)
            length = piece.last - piece.first
            if length:
                further = model.column(float(piece.step), 0.0, float(length), whole=True)
                total[further] = -1.0
                model.row(-float("inf"), 0.0, {further: 1.0, is_chosen: -float(length)})
        model.row(1.0, 1.0, chosen)
        model.row(0.0, 0.0, total)
    for floor in problem.floors:
        weights = {chips[index]: float(weight) for index, weight in enumerate(floor.weights) if weight}
        model.row(float(least_of(problem, floor)), float("inf"), weights)
    return chips
