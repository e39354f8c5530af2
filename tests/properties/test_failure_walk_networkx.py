"""The failure walk against reachability in networkx, on vehicles made by chance of which everything is known."""

import random
from collections.abc import Iterator

import networkx

from bomtui.engine.failure_walk import failure_walk
from bomtui.model.failure import Cause
from bomtui.model.feed import Feed
from bomtui.model.load import Load
from bomtui.model.network import Network, Node
from bomtui.model.part import Part, SupplyNeed
from bomtui.model.proposal import Info, Proposal, Snapshot
from bomtui.model.variant import BATTERY, Device, Module, Placement, Rail, Variant
from bomtui.model.vehicle import Vehicle

CASES = 150
PARTS = {
    "mcu": Part(kind="controller", supplies={"main": SupplyNeed(voltage_v=5.0)}),
    "ldo": Part(kind="ldo", output_v=5.0, fail_safe_output=True, supplies={"input": SupplyNeed()}),
    "switch": Part(kind="high_side", channels=4, supplies={"main": SupplyNeed(), "logic": SupplyNeed(voltage_v=5.0)}),
    "bus": Part(kind="transceiver_can", supplies={"main": SupplyNeed(voltage_v=5.0)}),
}
SWITCHES = ("U10", "U11", "U12")
SUPPLIES = ("U20", "U21", "U22")
CONTROLLERS = ("U1", "U2")


def some_module(rng: random.Random, feeds: list[str]) -> Module:
    """A module in which every wire is named: supplies on the battery or on each other, two controllers."""
    own = tuple(rng.sample(feeds, rng.randint(1, 2)))

    def device(part: str, supply: dict[str, str], commander: str = "") -> Device:
        return Device(part=part, supply=supply, feed=rng.choice(own), commanded_by=commander)

    rails = {f"V{index}": Rail(voltage_v=5.0, source=ref) for index, ref in enumerate(SUPPLIES)}
    devices = {
        ref: device("ldo", {"input": rng.choice([BATTERY, *list(rails)[:index]])}) for index, ref in enumerate(SUPPLIES)
    }
    devices |= {ref: device("mcu", {"main": rng.choice(list(rails))}) for ref in CONTROLLERS}
    for ref in SWITCHES:
        devices[ref] = device("switch", {"main": BATTERY, "logic": rng.choice(list(rails))}, rng.choice(CONTROLLERS))
    devices["U30"] = device("bus", {"main": rng.choice(list(rails))}, rng.choice(CONTROLLERS))
    return Module(feeds=own, rails=rails, devices=devices)


def some_snapshot(rng: random.Random) -> Snapshot:
    """A vehicle of a few modules."""
    feeds = {f"F{index}": Feed(ground=f"G{rng.randint(1, 2)}") for index in range(4)}
    modules = {f"M{index}": some_module(rng, list(feeds)) for index in range(rng.randint(1, 4))}
    # One feed hangs on a channel of a module, which may hang on that feed in turn.
    channel = f"{rng.choice(list(modules))}.{rng.choice(SWITCHES)}.4"
    feeds["F3"] = Feed(ground="G1", switch=channel if rng.random() < 0.5 else "")
    networks = {
        f"N{index}": Network(kind="CAN", nodes={key: Node(at=f"{key}.U30") for key in modules}) for index in range(2)
    }
    placements = {}
    for index in range(rng.randint(1, 12)):
        key = rng.choice(list(modules))
        refs = rng.sample(SWITCHES, rng.randint(1, 2))
        placements[f"L{index}"] = Placement(
            on=tuple(f"{key}.{ref}.1" for ref in refs),
            fail_safe=f"{key}.{rng.choice(SUPPLIES)}" if rng.random() < 0.4 else "",
            commanded_over=rng.choice(["", *networks]),
        )
    proposal = Proposal(
        proposal=Info(name="by chance"),
        vehicle=Vehicle(),
        loads={key: Load(subsystem="S") for key in placements},
        variants={"V": Variant(feeds=feeds, networks=networks, modules=modules, placements=placements)},
    )
    return Snapshot(proposal=proposal, parts=PARTS)


def wires(variant: Variant) -> Iterator[tuple[str, str]]:
    """What needs what, read from the vehicle a second time: everything but the commands of loads."""
    for feed_id, feed in variant.feeds.items():
        yield feed_id, feed.ground
        if feed.switch:
            key, ref, _ = feed.switch.split(".")
            yield feed_id, f"{key}.{ref}"
            yield feed_id, f"{key}.{variant.modules[key].devices[ref].commanded_by}"
    for key, module in variant.modules.items():
        for ref, device in module.devices.items():
            place = f"{key}.{ref}"
            yield place, key
            for rail in device.supply.values():
                yield place, device.feed if rail == BATTERY else f"{key}.{module.rails[rail].source}"
    for load_id, placement in variant.placements.items():
        for address in placement.on:
            key, ref, _ = address.split(".")
            yield load_id, f"{key}.{ref}"
            yield f"command of {load_id}", f"{key}.{variant.modules[key].devices[ref].commanded_by}"
        if placement.commanded_over:
            yield f"command of {load_id}", placement.commanded_over
            yield f"command of {load_id}", f"{placement.on[0].split('.')[0]}.U30"


def lost_by_networkx(graph: "networkx.DiGraph", variant: Variant, cause: str) -> set[str]:
    """Loads from which a cause is reached: by their own wires, or by command and fail-safe output together."""
    ancestors = networkx.ancestors(graph, cause) | {cause}
    lost = set()
    for load_id, placement in variant.placements.items():
        is_silent = f"command of {load_id}" in ancestors
        if load_id in ancestors or (is_silent and (not placement.fail_safe or placement.fail_safe in ancestors)):
            lost.add(load_id)
    return lost


def test_losses_are_those_of_networkx() -> None:
    """For every cause of 150 vehicles the certain losses are the loads that reach it, and none is in doubt."""
    rng = random.Random(5)
    compared = 0
    for _ in range(CASES):
        snapshot = some_snapshot(rng)
        variant = snapshot.proposal.variants["V"]
        graph = networkx.DiGraph(wires(variant))
        walk = failure_walk(snapshot, "V")
        for effect in walk.effects:
            expected = lost_by_networkx(graph, variant, effect.cause.id) if effect.cause.id in graph else set()
            assert set(effect.outputs) == expected, effect.cause
            assert effect.possible_outputs == ()
            compared += bool(expected)
        assert Cause("module", "M0") in {effect.cause for effect in walk.effects}
    assert compared > CASES
