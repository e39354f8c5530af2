"""A packing out of a linear program over fillings: the surest fillings are taken, and the rest is priced anew.

New fillings are found for what is left each time, so that the last chips are filled as well as the first ones
(diving with column generation; Sadykov and others, "Primal heuristics for branch and price", 2019, from memory).
"""

from msgspec import structs

from bomtui.packing.fills import Filler
from bomtui.packing.problem import Filled, Packing, Problem
from bomtui.packing.solver.columns import Columns, Filling

SURE = 0.7
"""Share from which on a filling is taken together with others that are as sure."""


def dive(problem: Problem, known: dict[Filling, None], rounds: int) -> Packing | None:
    """Return a packing; None where it comes to no end. What it asks of all chips together it leaves to others.

    Args:
        problem: The problem.
        known: Fillings to begin with; those that are found are added to them.
        rounds: Rounds of column generation of each linear program.
    """
    left = [len(kind.loads) for kind in problem.alike]
    taken: list[Filled] = []
    while any(left):
        rest = structs.replace(
            problem,
            alike=tuple(
                structs.replace(kind, loads=kind.loads[:count]) for kind, count in zip(problem.alike, left, strict=True)
            ),
        )
        columns = Columns(rest, Filler(rest, planned=True))
        columns.fillings |= dict.fromkeys(own for own in known if _is_there(own, left))
        shares = columns.priced(rounds).shares
        known |= columns.fillings
        chosen = _surest(shares)
        if not chosen:
            return None
        for filling, count in chosen:
            for _ in range(count):
                if not _is_there(filling, left):
                    break
                for number, _ in filling[1]:
                    left[number] -= 1
                taken.append(Filled(*filling))
    return tuple(taken)


def _is_there(filling: Filling, left: list[int]) -> bool:
    """Tell whether all that a filling carries is still to be served."""
    needed: dict[int, int] = {}
    for number, _ in filling[1]:
        needed[number] = needed.get(number, 0) + 1
    return all(left[number] >= count for number, count in needed.items())


def _surest(shares: tuple[tuple[Filling, float], ...]) -> list[tuple[Filling, int]]:
    """Return the fillings that are taken next, with how often: whole parts first, then what is nearly whole."""
    whole = [(filling, int(share + 1e-6)) for filling, share in shares if share >= 1 - 1e-6]
    if whole:
        return whole
    ranked = sorted(shares, key=lambda own: (-own[1], own[0]))
    return [(filling, 1) for filling, share in ranked if share >= SURE] or [(own, 1) for own, _ in ranked[:1]]
