"""Flows, matchings and shortages agree with an independent maximum flow on seeded random cases."""

import random
from collections import Counter
from collections.abc import Iterator, Mapping
from itertools import combinations

import networkx

from bomtui.engine.flow import maximum_flow, served
from bomtui.engine.pins import match_pins, pins_by_controller
from bomtui.model.load import Load
from bomtui.model.part import PIN_FUNCTIONS, Part, PinGroup
from bomtui.model.settings import DriveHabit, Electronics, Settings
from bomtui.model.variant import Device, Module

CASES = 1000

Needs = dict[str, int]
Groups = dict[str, PinGroup]


def test_maximum_flow_on_random_networks() -> None:
    """Value, conservation, capacity and cut are right on 1,000 random networks."""
    rng = random.Random(1)
    for _ in range(CASES):
        nodes = rng.randint(2, 9)
        arcs = [
            (rng.randrange(nodes), rng.randrange(nodes), rng.randint(0, 12)) for _ in range(rng.randint(0, 3 * nodes))
        ]
        flow = maximum_flow(nodes, arcs, 0, nodes - 1)
        graph = networkx.DiGraph()
        graph.add_nodes_from(range(nodes))
        for tail, head, capacity in arcs:
            before = graph[tail][head]["capacity"] if graph.has_edge(tail, head) else 0
            graph.add_edge(tail, head, capacity=before + capacity)
        assert flow.value == networkx.maximum_flow_value(graph, 0, nodes - 1)
        balance = [0] * nodes
        for (tail, head, capacity), amount in zip(arcs, flow.on_arc, strict=True):
            assert 0 <= amount <= capacity
            balance[tail] -= amount
            balance[head] += amount
        assert balance == [-flow.value, *[0] * (nodes - 2), flow.value]
        crossing = [
            capacity for tail, head, capacity in arcs if tail in flow.source_side and head not in flow.source_side
        ]
        assert nodes - 1 not in flow.source_side
        assert sum(crossing) == flow.value


def random_groups(rng: random.Random, functions: list[str], most_pins: int) -> Groups:
    """Pin groups over some functions; some can do nothing that is asked for."""
    return {
        f"G{index}": PinGroup(
            pins=rng.randint(0, most_pins), functions=tuple(rng.sample(functions, rng.randint(1, len(functions))))
        )
        for index in range(rng.randint(0, 6))
    }


def matching_cases(seed: int) -> Iterator[tuple[Needs, Groups]]:
    """Needs and groups, about half of them feasible; small and tight, or large like a real controller."""
    rng = random.Random(seed)
    for _ in range(CASES):
        functions = rng.sample(PIN_FUNCTIONS, rng.randint(1, len(PIN_FUNCTIONS)))
        most = rng.choice((3, 20))
        groups = random_groups(rng, functions, most)
        needs = {function: rng.randint(0, most) for function in functions if rng.random() < 0.8}
        yield needs, groups


def expected_served(needs: Needs, groups: Groups) -> int:
    """The maximum flow from needs to pins, by a library that knows nothing of ours."""
    graph = networkx.DiGraph()
    graph.add_nodes_from(("source", "sink"))
    for function, count in needs.items():
        graph.add_edge("source", function, capacity=count)
        for name, group in groups.items():
            if function in group.functions:
                graph.add_edge(function, name, capacity=count)
    for name, group in groups.items():
        graph.add_edge(name, "sink", capacity=group.pins)
    return int(networkx.maximum_flow_value(graph, "source", "sink"))


def largest_disjoint_sum(short: Mapping[str, int]) -> int:
    """The largest sum of entries of which no two share a function, by trying all."""
    entries = [(frozenset(names.split("+")), missing) for names, missing in short.items()]
    totals = [0]
    taken: list[frozenset[str]] = [frozenset()]
    for functions, missing in entries:
        for index in range(len(totals)):
            if not functions & taken[index]:
                totals.append(totals[index] + missing)
                taken.append(functions | taken[index])
    return max(totals)


def excess(functions: frozenset[str], needs: Needs, groups: Groups) -> int:
    """What a set of functions needs less the pins that can do one of them."""
    pins = sum(group.pins for group in groups.values() if functions.intersection(group.functions))
    return sum(count for function, count in needs.items() if function in functions) - pins


def test_matching_agrees_with_maximum_flow() -> None:
    """A thousand random needs fit exactly where a maximum flow serves them all, and as much is served."""
    feasible = 0
    for needs, groups in matching_cases(2):
        match = match_pins(needs, groups)
        assert match.served == expected_served(needs, groups)
        assert (match.short == {}) == (match.served == sum(needs.values()))
        feasible += not match.short
    assert CASES // 5 < feasible < CASES * 4 // 5


def test_short_cut_agrees_with_maximum_flow() -> None:
    """Serving with the short cut gives on a thousand cases what the plain flow gives."""
    for needs, groups in matching_cases(3):
        supplies = [group.pins for group in groups.values()]
        usable = [[i for i, group in enumerate(groups.values()) if name in group.functions] for name in needs]
        assert served(list(needs.values()), supplies, usable) == expected_served(needs, groups)


def test_shortages_are_true_smallest_and_complete() -> None:
    """Named sets lack what is said; no smaller violated set is left out; disjoint ones add to all that is missing."""
    joined = 0
    for needs, groups in matching_cases(4):
        match = match_pins(needs, groups)
        named = {frozenset(names.split("+")): missing for names, missing in match.short.items()}
        for functions, missing in named.items():
            assert missing == excess(functions, needs, groups) > 0
        assert largest_disjoint_sum(match.short) == sum(needs.values()) - match.served
        smallest: list[frozenset[str]] = []
        for size in range(1, len(needs) + 1):
            for members in map(frozenset, combinations(needs, size)):
                if excess(members, needs, groups) > 0 and not any(less <= members for less in smallest):
                    smallest.append(members)
        assert set(smallest) <= set(named)
        sizes = [names.count("+") for names in match.short]
        assert sizes == sorted(sizes)
        joined += any(sizes)
    assert joined > CASES // 10


DRIVES = {"AI": "adc", "DI": "gpio", "FI": "capture"}
SETTINGS = Settings(
    electronics=Electronics(crystal_debug_pins=0),
    drives={drive: DriveHabit(function=function, pins_per_contact=1) for drive, function in DRIVES.items()},
)


def expected_for_controllers(own: dict[str, Needs], groups: dict[str, Groups], free: Needs) -> int:
    """Maximum flow where devices use their controller's pins and other signals any controller's."""
    graph = networkx.DiGraph()
    graph.add_nodes_from(("source", "sink"))
    demands = [((ref, function), count) for ref, needs in own.items() for function, count in needs.items()]
    demands += [(("", function), count) for function, count in free.items()]
    for (ref, function), count in demands:
        graph.add_edge("source", (ref, function), capacity=count)
        for controller in own:
            for name, group in groups[controller].items():
                if function in group.functions and ref in ("", controller):
                    graph.add_edge((ref, function), (controller, name, "pins"), capacity=count)
    for controller in own:
        for name, group in groups[controller].items():
            graph.add_edge((controller, name, "pins"), "sink", capacity=group.pins)
    return int(networkx.maximum_flow_value(graph, "source", "sink"))


def test_several_controllers_agree_with_one_flow_over_all() -> None:
    """With several controllers each signal uses pins of one, and what is missing is what the joint flow leaves over."""
    rng = random.Random(5)
    only_free = 0
    functions = list(DRIVES.values())
    for _ in range(CASES // 2):
        refs = [f"U{index}" for index in range(1, rng.randint(2, 3) + 1)]
        groups = {ref: random_groups(rng, functions, 3) | {"Z": PinGroup(pins=2, functions=("gpio",))} for ref in refs}
        own = {ref: {name: rng.randint(0, 2) for name in functions} for ref in refs}
        free = {name: rng.randint(0, 3) for name in functions}
        parts = {f"c-{ref}": Part(kind="controller", pin_groups=groups[ref]) for ref in refs}
        parts |= {f"d-{ref}": Part(kind="sensor", pin_needs=own[ref]) for ref in refs}
        devices = {ref: Device(part=f"c-{ref}") for ref in refs}
        devices |= {f"D{ref}": Device(part=f"d-{ref}", commanded_by=ref) for ref in refs}
        loads = [Load(subsystem="S", drive=drive, contacts=free[DRIVES[drive]]) for drive in DRIVES]
        entries, unknown = pins_by_controller(Module(devices=devices), parts, {}, loads, SETTINGS)
        missing = Counter({entry.ref: largest_disjoint_sum(entry.short) for entry in entries})
        wanted = sum(free.values()) + sum(sum(needs.values()) for needs in own.values())
        assert unknown == ()
        assert missing.total() == wanted - expected_for_controllers(own, groups, free)
        for ref in refs:
            assert missing[ref] == sum(own[ref].values()) - expected_served(own[ref], groups[ref])
        only_free += missing[""] > 0 and missing[""] == missing.total()
    assert only_free > CASES // 50
