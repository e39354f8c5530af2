"""What is lost when one thing of a variant fails."""

from typing import Any

import msgspec

from bomtui.engine.failure_walk import failure_walk
from bomtui.model.failure import Cause, FailureWalk
from bomtui.model.feed import Feed
from bomtui.model.load import Load
from bomtui.model.network import Network, Node
from bomtui.model.part import Part, SupplyNeed
from bomtui.model.proposal import Info, Proposal, Snapshot
from bomtui.model.variant import BATTERY, Device, Module, Placement, Rail, Variant
from bomtui.model.vehicle import Pair, Vehicle

PARTS = {
    "mcu": Part(kind="controller", supplies={"main": SupplyNeed(voltage_v=5.0)}),
    "ldo": Part(kind="ldo", output_v=5.0, supplies={"input": SupplyNeed()}),
    "switch": Part(kind="high_side", channels=4, supplies={"main": SupplyNeed()}),
    "limp": Part(kind="sbc", output_v=5.0, fail_safe_output=True, supplies={"input": SupplyNeed()}),
    "bus": Part(kind="transceiver_lin", lin_ports=1, supplies={"main": SupplyNeed()}),
    "fet": Part(kind="fet"),
}


def module(**changed: Any) -> Module:  # noqa: ANN401 - any field of a module
    """A module whose controller U1 hangs on the 5 V of U2 and commands the switches U3 and U4."""
    devices = {
        "U1": Device(part="mcu", supply={"main": "V5"}),
        "U2": Device(part="ldo", supply={"input": BATTERY}),
        "U3": Device(part="switch", supply={"main": BATTERY}, commanded_by="U1"),
        "U4": Device(part="switch", supply={"main": BATTERY}, commanded_by="U1"),
    }
    return msgspec.structs.replace(Module(rails={"V5": Rail(voltage_v=5.0, source="U2")}, devices=devices), **changed)


def with_devices(own: Module, **devices: Device) -> Module:
    """The module with other or further devices."""
    return msgspec.structs.replace(own, devices={**own.devices, **devices})


def walked(
    modules: dict[str, Module],
    placements: dict[str, Placement],
    pairs: dict[str, Pair] | None = None,
    *,
    parts: dict[str, Part] | None = None,
    drives: dict[str, str] | None = None,
    **variant: Any,  # noqa: ANN401 - any field of a variant
) -> FailureWalk:
    """The walk of a small vehicle."""
    proposal = Proposal(
        proposal=Info(name="small"),
        vehicle=Vehicle(),
        loads={key: Load(subsystem="S", drive=(drives or {}).get(key, "HS")) for key in placements},
        pairs=pairs or {},
        variants={"V": Variant(modules=modules, placements=placements, **variant)},
    )
    return failure_walk(Snapshot(proposal=proposal, parts=parts or PARTS), "V")


def lost(walk: FailureWalk, kind: str, key: str) -> tuple[str, ...]:
    """Outputs and inputs that are certainly lost."""
    effect = walk.effect_of(Cause(kind, key))  # type: ignore[arg-type]
    return (*effect.outputs, *effect.inputs)


def perhaps(walk: FailureWalk, kind: str, key: str) -> tuple[str, ...]:
    """Outputs and inputs that may be lost."""
    effect = walk.effect_of(Cause(kind, key))  # type: ignore[arg-type]
    return (*effect.possible_outputs, *effect.possible_inputs)


ON_TWO = {"L1": Placement(on=("M.U3.1",)), "L2": Placement(on=("M.U4.1",))}


def test_a_device_takes_its_own_loads_and_a_supply_all_that_it_feeds() -> None:
    """A switch takes its load; controller, its converter and the module take both."""
    walk = walked({"M": module()}, ON_TWO)
    assert lost(walk, "device", "M.U3") == ("L1",)
    for kind, key in (("controller", "M.U1"), ("device", "M.U2"), ("module", "M")):
        assert lost(walk, kind, key) == ("L1", "L2")


def test_a_load_on_two_devices_is_lost_with_either() -> None:
    """Channels in parallel share the current: those that are left cannot carry all of it."""
    walk = walked({"M": module()}, {"L1": Placement(on=("M.U3.1", "M.U4.1"), joined="parallel")})
    assert lost(walk, "device", "M.U3") == lost(walk, "device", "M.U4") == ("L1",)


def test_an_input_is_lost_with_the_only_controller_and_its_rail() -> None:
    """What is placed on a module only is read by its controller, and fed by the rail that it names."""
    own = module(rails={"V5": Rail(voltage_v=5.0, source="U2"), "VS": Rail(voltage_v=5.0, source="U5")})
    own = with_devices(own, U5=Device(part="ldo", supply={"input": BATTERY}))
    walk = walked({"M": own}, {"P1": Placement(on=("M",), rail="VS")}, drives={"P1": "AI"})
    effect = walk.effect_of(Cause("device", "M.U5"))
    assert (effect.outputs, effect.inputs) == ((), ("P1",))
    assert lost(walk, "controller", "M.U1") == ("P1",)


def test_feed_and_ground_take_what_hangs_on_them() -> None:
    """The only feed of a module takes all of it, a ground point all feeds that return to it."""
    modules = {"M": module(feeds=("F1",)), "N": module(feeds=("F2",))}
    placements = {"L1": Placement(on=("M.U3.1",)), "L2": Placement(on=("N.U3.1",))}
    feeds = {"F1": Feed(ground="G1"), "F2": Feed(ground="G1")}
    walk = walked(modules, placements, {"P": Pair(primary="L1", stand_in="L2")}, feeds=feeds)
    assert lost(walk, "feed", "F1") == ("L1",)
    assert lost(walk, "ground", "G1") == ("L1", "L2")
    (common,) = walk.common
    assert common.shared == (Cause("ground", "G1"),)
    assert [own.state for own in walk.effect_of(Cause("feed", "F1")).stand_ins] == ["works"]
    assert [own.state for own in walk.effect_of(Cause("ground", "G1")).stand_ins] == ["lost"]


def test_a_device_hangs_on_the_feed_that_it_names() -> None:
    """With two feeds a device is lost with its own; one that names none may hang on either."""
    own = module(feeds=("F1", "F2"))
    own = with_devices(
        own,
        U2=msgspec.structs.replace(own.devices["U2"], feed="F1"),
        U3=msgspec.structs.replace(own.devices["U3"], feed="F2"),
    )
    feeds = {"F1": Feed(ground="G1"), "F2": Feed(ground="G2")}
    walk = walked({"M": own}, ON_TWO, feeds=feeds)
    assert lost(walk, "feed", "F1") == ("L1", "L2")
    assert lost(walk, "feed", "F2") == ("L1",)
    assert perhaps(walk, "feed", "F2") == ("L2",)


def test_a_feed_that_nobody_names_is_not_taken_for_another_one() -> None:
    """A load without a known feed may be lost with any feed and any ground point, and its module is named."""
    modules = {"M": module(feeds=("F1",)), "N": module()}
    placements = {"L1": Placement(on=("M.U3.1",)), "L2": Placement(on=("N.U3.1",))}
    pairs = {"P": Pair(primary="L1", stand_in="L2")}
    walk = walked(modules, placements, pairs, feeds={"F1": Feed(ground="G1")})
    assert perhaps(walk, "feed", "F1") == perhaps(walk, "ground", "G1") == ("L2",)
    assert walk.no_feed == ("N",)
    assert walk.common[0].open_kinds == ("feed", "ground")
    assert walk.effect_of(Cause("feed", "F1")).stand_ins[0].state == "unknown"
    open_ground = walked(modules, placements, pairs, feeds={"F1": Feed()})
    assert open_ground.no_ground == ("F1",)


def test_a_fail_safe_output_keeps_a_load_on_without_its_controller() -> None:
    """It is lost with the chip that has the output, and with the feed that both hang on."""
    own = with_devices(module(feeds=("F1",)), U5=Device(part="limp", supply={"input": BATTERY}))
    placements = {"L1": Placement(on=("M.U3.1",), fail_safe="M.U5"), "L2": Placement(on=("M.U3.2",))}
    walk = walked({"M": own}, placements, feeds={"F1": Feed(ground="G1")})
    assert lost(walk, "controller", "M.U1") == ("L2",)
    assert lost(walk, "device", "M.U2") == ("L2",)
    assert lost(walk, "feed", "F1") == ("L1", "L2")
    # The chip feeds the controller too: then nothing stands in for it.
    fed = with_devices(own, U1=Device(part="mcu", supply={"main": "VF"}))
    fed = msgspec.structs.replace(fed, rails={"VF": Rail(voltage_v=5.0, source="U5")})
    assert lost(walked({"M": fed}, placements, feeds={"F1": Feed()}), "device", "M.U5") == ("L1", "L2")


def test_a_fail_safe_output_that_nobody_confirms_leaves_the_load_open() -> None:
    """Where the part does not say whether it has one, the load may be lost; where it has none, it is."""
    own = with_devices(module(), U5=Device(part="limp", supply={"input": BATTERY}))
    placements = {"L1": Placement(on=("M.U3.1",), fail_safe="M.U5")}
    for has, certain, possible in ((None, (), ("L1",)), (False, ("L1",), ())):
        parts = {**PARTS, "limp": msgspec.structs.replace(PARTS["limp"], fail_safe_output=has)}
        walk = walked({"M": own}, placements, parts=parts)
        assert lost(walk, "controller", "M.U1") == certain
        assert perhaps(walk, "controller", "M.U1") == possible


def test_what_is_read_by_one_of_two_controllers_may_be_lost_with_either() -> None:
    """Nothing says which controller reads it: neither takes it for certain."""
    own = with_devices(module(), U5=Device(part="mcu", supply={"main": "V5"}))
    walk = walked({"M": own}, {"P1": Placement(on=("M",))}, drives={"P1": "AI"})
    assert lost(walk, "controller", "M.U1") == ()
    assert perhaps(walk, "controller", "M.U1") == perhaps(walk, "controller", "M.U5") == ("P1",)


def test_an_input_that_hangs_on_nothing_may_hang_on_any_supply() -> None:
    """A controller without a rail may be fed by any converter of its module."""
    own = with_devices(module(), U1=Device(part="mcu"), U5=Device(part="ldo", supply={"input": BATTERY}))
    walk = walked({"M": own}, {"L1": Placement(on=("M.U3.1",))})
    assert perhaps(walk, "device", "M.U2") == perhaps(walk, "device", "M.U5") == ("L1",)


def test_a_feed_behind_a_channel_is_lost_with_what_switches_it() -> None:
    """Chip, its controller, and the feed and ground before them take the feed and the module behind it along."""
    modules = {"M": module(feeds=("F1",)), "N": module(feeds=("F2",))}
    placements = {"L1": Placement(on=("M.U3.1",)), "L2": Placement(on=("N.U3.1",))}
    feeds = {"F1": Feed(ground="G1"), "F2": Feed(ground="G2", switch="M.U4.1")}
    walk = walked(modules, placements, feeds=feeds)
    assert lost(walk, "device", "M.U4") == ("L2",)
    for kind, key in (("controller", "M.U1"), ("module", "M"), ("feed", "F1"), ("ground", "G1")):
        assert lost(walk, kind, key) == ("L1", "L2")
    assert lost(walk, "feed", "F2") == lost(walk, "ground", "G2") == ("L2",)


def test_feeds_that_switch_each_other_end_the_walk() -> None:
    """Two feeds behind channels of each other's modules: each takes all, and the walk comes to its end."""
    modules = {"M": module(feeds=("F1",)), "N": module(feeds=("F2",))}
    placements = {"L1": Placement(on=("M.U3.1",)), "L2": Placement(on=("N.U3.1",))}
    feeds = {"F1": Feed(ground="G1", switch="N.U4.1"), "F2": Feed(ground="G1", switch="M.U4.1")}
    walk = walked(modules, placements, feeds=feeds)
    assert lost(walk, "feed", "F1") == lost(walk, "feed", "F2") == ("L1", "L2")


def test_battery_current_passes_the_reverse_fet() -> None:
    """The only one takes all that is behind it; of two in parallel either may be enough."""
    own = with_devices(
        module(),
        Q1=Device(part="fet", carries="feed"),
        U2=Device(part="ldo", supply={"input": BATTERY}, behind_reverse_fet=True),
        U3=Device(part="switch", supply={"main": BATTERY}, commanded_by="U1", behind_reverse_fet=False),
    )
    placements = {"L1": Placement(on=("M.U3.1",))}
    assert lost(walked({"M": own}, placements), "device", "M.Q1") == ("L1",)
    two = with_devices(own, Q2=Device(part="fet", carries="feed", in_parallel_with="Q1"))
    walk = walked({"M": two}, placements)
    assert lost(walk, "device", "M.Q1") == lost(walk, "device", "M.Q2") == ()
    assert perhaps(walk, "device", "M.Q2") == ("L1",)


def test_a_network_takes_its_own_loads_and_those_that_it_commands() -> None:
    """A node that is a load, and a load whose command comes over the network, need it and the chip on it."""
    own = with_devices(module(), U5=Device(part="bus", supply={"main": BATTERY}, commanded_by="U1"))
    networks = {"LIN1": Network(kind="LIN", nodes={"A": Node(at="M.U5"), "B": Node(at="L3")})}
    placements = {
        "L1": Placement(on=("M.U3.1",), commanded_over="LIN1"),
        "L2": Placement(on=("M.U4.1",)),
        "L3": Placement(on=("M",)),
    }
    walk = walked({"M": own}, placements, drives={"L3": "LIN"}, networks=networks)
    assert lost(walk, "network", "LIN1") == ("L1", "L3")
    assert lost(walk, "device", "M.U5") == ("L1", "L3")
    assert walk.no_command_network == 2


def test_low_side_loads_are_named() -> None:
    """What is switched towards ground is fed from somewhere that the proposal does not say."""
    walk = walked({"M": module()}, ON_TWO, drives={"L2": "LS"})
    assert walk.fed_elsewhere == ("L2",)


def test_a_node_that_is_no_address_leads_nowhere() -> None:
    """Whatever stands in a network, the walk goes on."""
    networks = {"N": Network(kind="LIN", nodes={"A": Node(at="M.U9.x y"), "B": Node(at="L1")})}
    walk = walked({"M": module()}, {"L1": Placement(on=("M.U3.1",))}, networks=networks)
    assert lost(walk, "network", "N") == ("L1",)


def test_loads_that_nobody_serves_are_said_to_be_so() -> None:
    """They are lost with nothing, and a pair with one of them has nothing known in common."""
    walk = walked(
        {"M": module()},
        {"L1": Placement(on=("M.U3.1",)), "L2": Placement(on=())},
        {"P": Pair(primary="L1", stand_in="L2")},
    )
    assert walk.not_served == ("L2",)
    assert walk.effect_of(Cause("controller", "M.U1")).stand_ins[0].state == "unknown"
