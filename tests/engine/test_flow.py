"""Maximum flow, its cut, and the sets of demands that lack supply."""

import pytest

from bomtui.engine.flow import _first_try, deficient_sets, maximum_flow, served

Arcs = list[tuple[int, int, int]]


def test_two_ways_and_a_bridge() -> None:
    """The bridge lets the flow reach what both ways carry together, and every arc's flow is told."""
    arcs = [(0, 1, 3), (0, 2, 2), (1, 2, 5), (1, 3, 2), (2, 3, 3)]
    flow = maximum_flow(4, arcs, 0, 3)
    assert flow.value == 5
    assert flow.on_arc == (3, 2, 1, 2, 3)
    assert flow.source_side == {0}


def test_flow_takes_back_what_stands_in_its_way() -> None:
    """A first path through the middle is undone where the middle arc's flow must go elsewhere."""
    arcs = [(0, 1, 1), (1, 4, 1), (4, 5, 1), (0, 3, 1), (3, 4, 1), (1, 2, 1), (2, 5, 1)]
    flow = maximum_flow(6, arcs, 0, 5)
    assert flow.value == 2
    assert flow.on_arc == (1, 0, 1, 1, 1, 1, 1)


def test_the_cut_is_the_one_nearest_the_source() -> None:
    """Of two equal bottlenecks in a row the first is the cut."""
    assert maximum_flow(4, [(0, 1, 9), (1, 2, 4), (2, 3, 4)], 0, 3).source_side == {0, 1}


@pytest.mark.parametrize(
    ("arcs", "value"),
    [
        ([], 0),
        ([(0, 1, 0)], 0),
        ([(1, 0, 5)], 0),
        ([(0, 1, 2), (0, 1, 3)], 5),
        ([(0, 0, 7), (0, 1, 2), (1, 1, 7)], 2),
        ([(0, 2, 4), (2, 0, 4), (2, 1, 3), (1, 2, 9)], 3),
    ],
)
def test_odd_networks(arcs: Arcs, value: int) -> None:
    """No arc, empty, backward and parallel arcs, circles and arcs to the node itself are counted right."""
    assert maximum_flow(3, arcs, 0, 1).value == value


def test_large_capacities_take_few_steps() -> None:
    """The number of steps does not follow the capacities: a bridge of one does not force a million paths."""
    million = 10**6
    arcs = [(0, 1, million), (0, 2, million), (1, 2, 1), (1, 3, million), (2, 3, million)]
    assert maximum_flow(4, arcs, 0, 3).value == 2 * million


def test_wrong_networks_are_refused() -> None:
    """One node as source and sink, and a capacity below zero, are refused with what was found."""
    with pytest.raises(ValueError, match="both node 1"):
        maximum_flow(2, [(0, 1, 1)], 1, 1)
    with pytest.raises(ValueError, match="arc 0 to 1 has the capacity -2"):
        maximum_flow(2, [(0, 1, -2)], 0, 1)
    with pytest.raises(ValueError, match="zero or more"):
        served([1], [-1], [[0]])
    with pytest.raises(ValueError, match="zero or more"):
        served([-1], [1], [[0]])


@pytest.mark.parametrize(
    ("demands", "supplies", "usable", "count"),
    [
        ([], [], [], 0),
        ([2], [], [[]], 0),
        ([0], [], [[]], 0),
        ([2, 3], [4, 1], [[0], [0, 1]], 5),
        ([2, 3], [4, 0], [[0], [0, 1]], 4),
        ([2, 2, 2], [2, 2, 2], [[0, 1], [1, 2], [0, 2]], 6),
        ([3, 3, 3], [3, 3, 3], [[0, 1], [0, 1], [1, 2]], 9),
        ([3, 3, 3], [3, 3, 4], [[0, 1], [0, 1], [0, 1]], 6),
    ],
)
def test_served(demands: list[int], supplies: list[int], usable: list[list[int]], count: int) -> None:
    """What can be served is found with and without the short cut."""
    assert served(demands, supplies, usable) == count


def test_the_first_try_is_not_trusted_where_it_fails() -> None:
    """Where serving the least choice first paints itself into a corner the maximum flow still finds the way."""
    # Demand 1 has the least choice and takes supply 0; demand 0 takes all of supply 1; nothing is left for demand 2.
    demands, supplies, usable = [2, 1, 1], [1, 2, 1], [[1, 2], [0, 2], [0, 1]]
    assert not _first_try(demands, supplies, usable)
    assert served(demands, supplies, usable) == 4


def capacities(demand_count: int, supplies: list[int], usable: list[list[int]]) -> list[int]:
    """How much there is for each set of demands."""
    return [
        sum(
            supply
            for index, supply in enumerate(supplies)
            if any(members >> demand & 1 and index in usable[demand] for demand in range(demand_count))
        )
        for members in range(1 << demand_count)
    ]


@pytest.mark.parametrize(
    ("demands", "supplies", "usable", "named"),
    [
        # Everything fits.
        ([2, 3], [5], [[0], [0]], {}),
        # One alone lacks.
        ([3, 1], [2, 4], [[0], [1]], {0b01: 1}),
        # Each alone fits, the two do not.
        ([3, 3], [4], [[0], [0]], {0b11: 2}),
        # One lacks alone, and with its neighbour more than that.
        ([3, 3], [2, 1], [[0], [0, 1]], {0b01: 1, 0b11: 3}),
        # Two lack alone and share nothing: the pair says nothing new.
        ([3, 3], [2, 1], [[0], [1]], {0b01: 1, 0b10: 2}),
        # Two separate groups, each short only together: named apart.
        ([2, 2, 3, 3], [3, 4], [[0], [0], [1], [1]], {0b0011: 1, 0b1100: 2}),
        # Three on one pool: each pair lacks, and all three lack more than any pair and single do apart.
        ([3, 3, 3], [4], [[0], [0], [0]], {0b011: 2, 0b101: 2, 0b110: 2, 0b111: 5}),
        # No demand, no lack, even without any supply.
        ([0, 0], [], [[], []], {}),
    ],
)
def test_deficient_sets(
    demands: list[int], supplies: list[int], usable: list[list[int]], named: dict[int, int]
) -> None:
    """Named are the smallest sets that lack, and larger ones only where these leave something unexplained."""
    found = deficient_sets(demands, capacities(len(demands), supplies, usable))
    assert list(found.items()) == list(named.items())
