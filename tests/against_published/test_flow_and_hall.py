"""Published examples of maximum flow, bipartite matching and Hall's theorem.

All were seen second-hand: the flow network and the bipartite matrix in the documentation of a numerical library that
cites its textbook, the systems of sets on an encyclopaedia's mirror. Where a figure was not printed there it is derived
here, by counting.
"""

from collections.abc import Iterator, Sequence
from itertools import product

from bomtui.engine.flow import maximum_flow, served
from bomtui.engine.pins import match_pins
from bomtui.model.part import PinGroup

# Hall's marriage theorem, examples 1 to 3: liquisearch.com/halls_marriage_theorem/discussion_and_examples.
HALL_1 = ("123", "145", "35")
HALL_2 = ("2345", "45", "5", "4")
HALL_3 = ("abc", "bd", "abd", "bd")

SETS = ("gpio", "pwm", "adc", "capture")
"""Names under which the sets A1, A2, A3 and A4 go to the matching of pins."""


def distinct_representatives(sets: Sequence[str]) -> Iterator[str]:
    """Every choice of one member per set in which no member comes twice."""
    return ("".join(choice) for choice in product(*sets) if len(set(choice)) == len(choice))


def as_pins(sets: Sequence[str]) -> tuple[dict[str, int], dict[str, PinGroup]]:
    """The same question in pins: each set needs one pin, and each member is a pin that can serve the sets it is in."""
    groups = {
        member: PinGroup(
            pins=1, functions=tuple(name for name, each in zip(SETS, sets, strict=False) if member in each)
        )
        for member in sorted({member for each in sets for member in each})
    }
    return dict.fromkeys(SETS[: len(sets)], 1), groups


def test_textbook_flow_network() -> None:
    """The maximum flow of the textbook's network is 23.

    Source: Cormen et al., Introduction to Algorithms, chapter 26.1, as given in scipy/sparse/csgraph/_flow.pyx (seen
    second-hand). That matrix has the textbook's second edge between nodes 1 and 2 on its diagonal, where it carries
    nothing; the value is 23 with it in either place.
    """
    arcs = [(0, 1, 16), (0, 2, 13), (1, 3, 12), (2, 1, 4), (2, 4, 14), (3, 2, 9), (3, 5, 20), (4, 3, 7), (4, 5, 4)]
    assert maximum_flow(6, [*arcs, (1, 1, 10)], 0, 5).value == 23
    flow = maximum_flow(6, [*arcs, (1, 2, 10)], 0, 5)
    assert flow.value == 23
    # The cut of the textbook's figure (its node 4 lies on the source's side): 12 + 7 + 4; derived here.
    assert flow.source_side == {0, 1, 2, 4}


def test_bipartite_matching() -> None:
    """The largest matching of the published 3 by 4 matrix is 3.

    Source: scipy/sparse/csgraph/_flow.pyx, example of a bipartite matching by maximum flow (seen second-hand).
    """
    matrix = ((0, 1, 0, 1), (1, 0, 1, 0), (0, 1, 1, 0))
    usable = [[column for column, joined in enumerate(row) if joined] for row in matrix]
    assert served([1] * 3, [1] * 4, usable) == 3
    arcs = [(0, 1 + row, 1) for row in range(3)] + [(4 + column, 8, 1) for column in range(4)]
    arcs += [(1 + row, 4 + column, 1) for row in range(3) for column in usable[row]]
    assert maximum_flow(9, arcs, 0, 8).value == 3


def test_hall_first_example() -> None:
    """Three sets with distinct representatives, in ten ways: all three find a pin.

    Source: Hall's theorem, example 1 (sets seen second-hand; the number of systems is derived here by counting).
    """
    assert len(list(distinct_representatives(HALL_1))) == 10
    needs, groups = as_pins(HALL_1)
    assert match_pins(needs, groups) == ({}, 3)


def test_hall_second_example() -> None:
    """Four sets without distinct representatives: refused, and the three that compete for two pins are named.

    Source: Hall's theorem, example 2 (sets and the violated family A2, A3, A4 seen second-hand; the largest matching is
    derived here).
    """
    assert list(distinct_representatives(HALL_2)) == []
    needs, groups = as_pins(HALL_2)
    assert match_pins(needs, groups) == ({"pwm+adc+capture": 1}, 3)


def test_hall_third_example() -> None:
    """Exactly two systems exist, and both take c for A1 and a for A3: without either pin of these the sets are refused.

    Source: Hall's theorem, example 3 (both systems seen second-hand).
    """
    assert sorted(distinct_representatives(HALL_3)) == ["cbad", "cdab"]
    needs, groups = as_pins(HALL_3)
    assert match_pins(needs, groups) == ({}, 4)
    for forced in "ca":
        fewer = {member: group for member, group in groups.items() if member != forced}
        assert match_pins(needs, fewer).served == 3
