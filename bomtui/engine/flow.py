"""Maximum flow over integers, and the sets of demands that together ask for more than there is."""

from collections import deque
from collections.abc import Sequence
from itertools import combinations
from typing import NamedTuple


class Flow(NamedTuple):
    """A maximum flow.

    Attributes:
        value: How much reaches the sink.
        on_arc: Flow on each arc, in the order of the arcs.
        source_side: Nodes on the source's side of the minimum cut; of all minimum cuts the one nearest the source.
    """

    value: int
    on_arc: tuple[int, ...]
    source_side: frozenset[int]


def maximum_flow(node_count: int, arcs: Sequence[tuple[int, int, int]], source: int, sink: int) -> Flow:
    """Find a maximum flow by shortest augmenting paths.

    Source: Ford and Fulkerson 1956, Edmonds and Karp 1972 (cited from memory); exact, as all capacities are integers.

    Args:
        node_count: Number of nodes; they are called 0, 1, 2 and so on.
        arcs: Tail, head and capacity of each arc; parallel arcs, circles and arcs from a node to itself are lawful.
        source: Node where the flow begins.
        sink: Node where it ends.

    Raises:
        ValueError: Source and sink are one node, or a capacity is below zero.
    """
    if source == sink:
        raise ValueError(f"source and sink are both node {source}; two nodes are expected")
    heads: list[int] = []
    room: list[int] = []
    leaving: list[list[int]] = [[] for _ in range(node_count)]
    for tail, head, capacity in arcs:
        if capacity < 0:
            raise ValueError(f"arc {tail} to {head} has the capacity {capacity}; zero or more is expected")
        # An arc and its way back are neighbours in the lists, so that `edge ^ 1` is the other of the two.
        leaving[tail].append(len(heads))
        leaving[head].append(len(heads) + 1)
        heads += (head, tail)
        room += (capacity, 0)
    value = 0
    while True:
        reached_by = _reach(heads, room, leaving, source, sink)
        if sink not in reached_by:
            return Flow(value, tuple(room[1::2]), frozenset(reached_by))
        path = []
        node = sink
        while node != source:
            edge = reached_by[node]
            path.append(edge)
            node = heads[edge ^ 1]
        step = min(room[edge] for edge in path)
        for edge in path:
            room[edge] -= step
            room[edge ^ 1] += step
        value += step


def _reach(
    heads: Sequence[int], room: Sequence[int], leaving: Sequence[Sequence[int]], source: int, sink: int
) -> dict[int, int]:
    """Return the edge by which each node is reached, breadth first; the source, reached by none, has -1."""
    reached_by = {source: -1}
    waiting = deque((source,))
    while waiting and sink not in reached_by:
        for edge in leaving[waiting.popleft()]:
            if room[edge] and heads[edge] not in reached_by:
                reached_by[heads[edge]] = edge
                waiting.append(heads[edge])
    return reached_by


def served(demands: Sequence[int], supplies: Sequence[int], usable: Sequence[Sequence[int]]) -> int:
    """Return how much of several demands the supplies can serve at most.

    A first try takes the demand with the least choice first, from the supply that the fewest others want. It always
    serves everything where each demand alone finds as much as all demands together ask for, and mostly elsewhere; what
    it serves in full needs no further proof. Otherwise the maximum flow decides.

    Args:
        demands: How much each demand asks for.
        supplies: How much each supply has.
        usable: Per demand, the supplies (by position) that can serve it.

    Raises:
        ValueError: A demand or a supply is below zero.
    """
    if min(demands, default=0) < 0 or min(supplies, default=0) < 0:
        raise ValueError(f"demands {list(demands)} and supplies {list(supplies)} are expected to be zero or more")
    total = sum(demands)
    if _first_try(demands, supplies, usable):
        return total
    first_supply = 1 + len(demands)
    sink = first_supply + len(supplies)
    arcs = [(0, 1 + index, demand) for index, demand in enumerate(demands)]
    arcs += [(1 + index, first_supply + supply, demands[index]) for index, row in enumerate(usable) for supply in row]
    arcs += [(first_supply + index, sink, supply) for index, supply in enumerate(supplies)]
    return maximum_flow(sink + 1, arcs, 0, sink).value


def _first_try(demands: Sequence[int], supplies: Sequence[int], usable: Sequence[Sequence[int]]) -> bool:
    """Tell whether serving one demand after the other, least choice first, serves them all."""
    left = list(supplies)
    wanted = [0] * len(left)
    for row in usable:
        for supply in row:
            wanted[supply] += 1
    for index in sorted(range(len(demands)), key=lambda index: sum(supplies[supply] for supply in usable[index])):
        missing = demands[index]
        for supply in sorted(usable[index], key=wanted.__getitem__):
            taken = min(missing, left[supply])
            left[supply] -= taken
            missing -= taken
        if missing:
            return False
    return True


def deficient_sets(demands: Sequence[int], capacities: Sequence[int]) -> dict[int, int]:
    """Name the sets of demands that ask for more than can serve them, and how much each lacks.

    Named are the violated sets that hold no smaller violated set. Where these do not account for all that is missing,
    the smallest set that lacks it all is named too, taken apart into pieces that share no supply. So every named figure
    is the set's own demand less what can serve it, and all that is missing (demand less maximum flow) is the largest
    sum over named sets of which no two share a demand.

    Source: Hall 1935, for demands above one (cited from memory): demand less maximum flow is the largest excess of a
    set's demand over its capacity. Of the sets with the largest excess, one lies in all others.

    Args:
        demands: How much each demand asks for; zero or more.
        capacities: Indexed by set (bit i stands for demand i): how much there is that can serve a member of the set.

    Returns:
        Excess by set, fewest members first, in the order of the demands; empty where everything can be served.
    """
    order = [
        sum(1 << member for member in members)
        for size in range(1, len(demands) + 1)
        for members in combinations(range(len(demands)), size)
    ]
    excess = {
        members: sum(demand for index, demand in enumerate(demands) if members >> index & 1) - capacities[members]
        for members in order
    }
    total = max(excess.values(), default=0)
    if total <= 0:
        return {}
    named: set[int] = set()
    for part in _independent(next(members for members in order if excess[members] == total), order, excess):
        smallest: list[int] = []
        for members in (each for each in order if excess[each] > 0 and each | part == part):
            if not any(less | members == members for less in smallest):
                smallest.append(members)
        named.update(smallest)
        if _packed(smallest, excess, 0) < excess[part]:
            named.add(part)
    return {members: excess[members] for members in order if members in named}


def _independent(whole: int, order: Sequence[int], excess: dict[int, int]) -> list[int]:
    """Split a set into the smallest parts whose excesses add to its own: they share nothing that could serve them."""
    for part in order:
        if part != whole and part | whole == whole and excess[part] + excess[whole ^ part] == excess[whole]:
            return [part, *_independent(whole ^ part, order, excess)]
    return [whole]


def _packed(sets: Sequence[int], excess: dict[int, int], taken: int) -> int:
    """Return the largest sum of excesses over sets of which no two share a member."""
    best = 0
    for index, members in enumerate(sets):
        if not members & taken:
            best = max(best, excess[members] + _packed(sets[index + 1 :], excess, taken | members))
    return best
