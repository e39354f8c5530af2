"""The best packing that is made of given fillings: an integer program over how often each is used."""

from collections.abc import Sequence

from bomtui.packing.problem import CHANNELS, Counts, Filled, Floor, Packing, Problem
from bomtui.packing.solver.highs import INFINITE, Model
from bomtui.packing.solver.tables import count_columns


def restricted(
    problem: Problem,
    fillings: Sequence[Filled],
    nodes: int,
    counts: Counts | None = None,
) -> Packing | None:
    """Return the cheapest packing of given fillings, as far as some nodes go; None where there is none.

    Loads that are carried twice are carried once in the end.

    Args:
        problem: The problem.
        fillings: What chips may carry; what a plan may not use is left out.
        nodes: Nodes of the search tree after which it stops.
        counts: Use just so many chips; None for any.
    """
    usable = [own for own in fillings if _is_planned(problem, own)]
    model = Model()
    chips = count_columns(model, problem)
    if counts is not None:
        for number, count in zip(chips, counts, strict=True):
            model.row(float(count), float(count), {number: 1.0})
    covers = [model.row(float(len(kind.loads)), INFINITE, {}) for kind in problem.alike]
    uses = [model.row(0.0, INFINITE, {number: 1.0}) for number in chips]
    charged = [(model.row(float(own.least), INFINITE, _weights(chips, own)), own) for own in problem.floors]
    columns = []
    for own in usable:
        entries: dict[int, float] = {}
        for number, _ in own.loads:
            entries[covers[number]] = entries.get(covers[number], 0.0) + 1.0
        entries[uses[own.chip]] = -1.0
        channels = sum(problem.alike[number].ways[way].takes[CHANNELS] for number, way in own.loads)
        for row, floor in charged:
            if floor.per_channel and floor.place == problem.chips[own.chip].place:
                entries[row] = -float(floor.per_channel * channels)
        columns.append(model.column(0.0, 0.0, INFINITE, entries, whole=True))
    found, _ = model.solve_whole(nodes)
    if not found:
        return None
    values = model.values()
    chosen = [own for own, column in zip(usable, columns, strict=True) for _ in range(round(values[column]))]
    return _once(problem, chosen, [round(values[number]) for number in chips])


def _weights(chips: Sequence[int], floor: Floor) -> dict[int, float]:
    return {chips[index]: float(weight) for index, weight in enumerate(floor.weights) if weight}


def _is_planned(problem: Problem, own: Filled) -> bool:
    chip = problem.chips[own.chip]
    used = [0] * len(chip.rooms)
    for number, way_number in own.loads:
        way = problem.alike[number].ways[way_number]
        if not way.sure:
            return False
        used = [total + take for total, take in zip(used, way.takes, strict=True)]
    numbers = {number for number, _ in own.loads}
    if any(one in numbers and other in numbers for one, other in problem.apart):
        return False
    return all(total <= room for total, room in zip(used, chip.rooms, strict=True))


def _once(problem: Problem, chosen: Sequence[Filled], counts: Sequence[int]) -> Packing:
    """Take off what is carried more often than it is there; chips that carry nothing stay where a floor wants them."""
    left = [len(kind.loads) for kind in problem.alike]
    packing = []
    there = list(counts)
    for own in chosen:
        loads = []
        for number, way in own.loads:
            if left[number]:
                left[number] -= 1
                loads.append((number, way))
        if loads:
            packing.append(Filled(own.chip, tuple(loads)))
            there[own.chip] -= 1
    if problem.floors:
        packing += [Filled(number, ()) for number, count in enumerate(there) for _ in range(max(count, 0))]
    return tuple(packing)
