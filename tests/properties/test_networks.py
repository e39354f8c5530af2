"""Response times against a simulated bus, and who reaches whom against networkx, over networks by chance."""

import random
from fractions import Fraction
from heapq import heappop, heappush

import networkx
import pytest

from bomtui.engine.calc import PLAIN
from bomtui.engine.networks.reach import reached
from bomtui.engine.networks.response import Timed, worst_response_s
from bomtui.model.network import Network, Node
from bomtui.model.variant import Module, Variant

BIT_S = 2e-6
FRAMES = (55, 75, 95, 115, 135)
PERIODS = (400, 600, 900, 1300, 2100, 3400)
"""Bits: frames of 0 to 8 bytes, periods that are no multiples of each other."""

Sent = tuple[int, int]
"""Frame and period of a message in bits; the first of a list goes first."""


def message_set(rng: random.Random) -> list[Sent]:
    """Some messages that load a bus by less than it can carry."""
    while True:
        found = [(rng.choice(FRAMES), rng.choice(PERIODS)) for _ in range(rng.randint(2, 6))]
        if sum(Fraction(frame, period) for frame, period in found) < Fraction(9, 10):
            return found


def simulated(messages: list[Sent], own: int, until: int) -> int:
    """Longest response of one message, in bits, on a bus where the longest frame behind it has just begun.

    An event queue in whole bits: all messages that go before it, and it itself, become due at the same moment. Nothing
    of the recurrences is used.
    """
    blocking = max((frame for frame, _ in messages[own + 1 :]), default=0)
    # The frame in the way has begun one bit before, so that it could not be held back.
    now, longest = max(blocking - 1, 0), 0
    due = [(0, row) for row in range(own + 1)]
    waiting: list[tuple[int, int]] = []
    due.sort()
    while now < until:
        while due and due[0][0] <= now:
            at, row = heappop(due)
            heappush(waiting, (row, at))
            heappush(due, (at + messages[row][1], row))
        if not waiting:
            now = due[0][0]
            continue
        row, at = heappop(waiting)
        now += messages[row][0]
        if row == own:
            longest = max(longest, now - at)
    return longest


@pytest.mark.parametrize("seed", range(4))
def test_no_simulated_response_is_longer(seed: int) -> None:
    """On a simulated bus no message takes longer than computed, and most take that long but for a bit or a frame."""
    rng = random.Random(seed)
    close = checked = 0
    for _ in range(25):
        messages = message_set(rng)
        timed = [
            Timed(str(row), (row, 0), frame * BIT_S, period * BIT_S, 0.0)
            for row, (frame, period) in enumerate(messages)
        ]
        for own in range(len(messages)):
            found = worst_response_s(PLAIN, timed[own], [*timed[:own], *timed[own + 1 :]], BIT_S)
            assert isinstance(found, float)
            seen = simulated(messages, own, 60_000)
            assert seen <= found / BIT_S + 1e-6, messages
            checked += 1
            close += found / BIT_S - seen < 2
    assert close > 0.9 * checked


@pytest.mark.parametrize("seed", range(3))
def test_reach_is_that_of_networkx(seed: int) -> None:
    """Modules reach each other just where the graph of modules and networks joins them."""
    rng = random.Random(seed)
    for _ in range(40):
        modules = {f"M{row}": Module() for row in range(rng.randint(1, 12))}
        networks = {
            f"N{row}": Network(
                kind=rng.choice(("LIN", "CAN", "100BASE-T1")),
                nodes={
                    str(number): Node(at=f"{rng.choice(list(modules))}.U{number}")
                    for number in range(rng.randint(0, 3))
                },
            )
            for row in range(rng.randint(0, 8))
        }
        graph = networkx.Graph()
        graph.add_nodes_from(modules)
        for key, network in networks.items():
            graph.add_edges_from((key, node.at.partition(".")[0]) for node in network.nodes.values())
        first = reached(Variant(modules=modules, networks=networks))
        for one in modules:
            for other in modules:
                assert (first[one] == first[other]) == networkx.has_path(graph, one, other)
