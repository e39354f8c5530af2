"""Modules that become one: everything in them goes along, what vanishes is named, and nothing points at nothing."""

import msgspec

from bomtui.edit.edits.merge import MergeModules
from bomtui.edit.edits.module import RemoveModule
from bomtui.engine.rollup import rollup
from bomtui.model.ids import parse_address
from bomtui.model.network import Network, Node
from bomtui.model.proposal import Snapshot
from bomtui.model.variant import Module, Placement, Variant
from tests.edit.small import MODULE, done, refused, small
from tests.samples.rollups import snapshot


def _two(**changes: object) -> Snapshot:
    """The small proposal with a second module of the same contents."""
    fields: dict[str, object] = {
        "modules": {"REAR": MODULE, "MID": msgspec.structs.replace(MODULE, zone="Z2", feeds=("F2",))},
        "placements": {
            "L1": Placement(on=("REAR.U3.1",)),
            "L2": Placement(on=("MID.U3.3", "MID.U3.4"), joined="parallel", rail="V5"),
            "L4": Placement(on=("MID.U4.1",), stage=("MID.Q1",)),
        },
        **changes,
    }
    return small(**fields)


def _only(after: Snapshot) -> tuple[Variant, Module]:
    variant = next(iter(after.proposal.variants.values()))
    return variant, variant.modules["REAR"]


def test_all_that_is_in_them_goes_along() -> None:
    """Devices get free references, rails free ids, loads follow, and every chip on the battery stays on its feed."""
    variant, module = _only(done(MergeModules(variant="one", into="REAR", modules=("MID",)), _two()))
    assert list(variant.modules) == ["REAR"]
    assert [module.devices[ref].part for ref in ("U1", "U5", "U6", "U7", "U8", "Q2")] == [
        "mcu", "mcu", "ldo", "hs4", "predriver", "fet",
    ]  # fmt: skip
    assert variant.placements["L2"].on == ("REAR.U7.3", "REAR.U7.4")
    assert variant.placements["L2"].rail == "V5-2"
    assert variant.placements["L4"].stage == ("REAR.Q2",)
    assert module.rails["V5-2"].source == "U6"
    assert module.devices["U7"].supply == {"vbat": "battery", "vio": "V5-2"}
    assert module.devices["U7"].commanded_by == "U5"
    assert module.feeds == ("F1", "F2")
    assert (module.devices["U3"].feed, module.devices["U7"].feed) == ("F1", "F2")
    # 1.8 dm2 of board each.
    assert str(module.items["board"].quantity.quantity) == "3.6"


def test_what_vanishes_hands_over_to_its_successor() -> None:
    """The switches of the module that goes hang on the controller and the rail of the one that stays."""
    edit = MergeModules(variant="one", into="REAR", modules=("MID",), going={"MID.U1": "U1", "MID.U2": "U2"})
    variant, module = _only(done(edit, _two()))
    assert sorted(device.part for device in module.devices.values()).count("mcu") == 1
    own = module.devices[parse_address(variant.placements["L2"].on[0]).device]
    assert (own.commanded_by, own.supply["vio"]) == ("U1", "V5")


def test_a_node_of_the_same_network_is_dropped_and_what_it_sends_is_kept() -> None:
    """One node of the bus is left of two, it sends both messages, and a line between the two modules alone goes."""
    nodes = {"a": Node(at="REAR.U2"), "b": Node(at="MID.U2")}
    sent = {"M1": {"sender": "a"}, "M2": {"sender": "b"}}
    bus = msgspec.convert(
        {
            "kind": "CAN",
            "nodes": {"a": {"at": "REAR.U2"}, "b": {"at": "MID.U2", "terminated": True}, "c": {"at": "L3"}},
            "messages": sent,
        },
        Network,
    )
    line = Network(kind="LIN", nodes=nodes)
    start = _two(networks={"BUS": bus, "LINE": line})
    edit = MergeModules(variant="one", into="REAR", modules=("MID",), going={"MID.U2": "U2"})
    variant, _ = _only(done(edit, start))
    assert list(variant.networks) == ["BUS"]
    assert list(variant.networks["BUS"].nodes) == ["a", "c"]
    # The line ended at the node that is gone.
    assert {key: own.terminated for key, own in variant.networks["BUS"].nodes.items()} == {"a": True, "c": None}
    assert {key: own.sender for key, own in variant.networks["BUS"].messages.items()} == {"M1": "a", "M2": "a"}


def test_what_cannot_be_merged_is_refused() -> None:
    """A module into itself, a device that serves loads and has no successor, a rail without one: each says so."""
    start = _two()
    assert (
        "other modules than REAR"
        in refused(MergeModules(variant="one", into="REAR", modules=("REAR",)), start).sentence
    )
    lost = MergeModules(variant="one", into="REAR", modules=("MID",), going={"MID.U3": ""})
    assert "no successor" in refused(lost, start).sentence
    bare = _two(modules={"REAR": msgspec.structs.replace(MODULE, rails={}), "MID": MODULE})
    rail = MergeModules(variant="one", into="REAR", modules=("MID",), going={"MID.U2": ""})
    assert "no rail in the place of V5" in refused(rail, bare).sentence
    strange = MergeModules(variant="one", into="REAR", modules=("MID",), going={"REAR.U2": ""})
    assert "in none of the modules that go" in refused(strange, start).sentence


def test_a_whole_variant_in_one_box_serves_the_same_loads() -> None:
    """Nine modules of a sample put into the tenth leave no load behind, and no address that leads nowhere."""
    sample = snapshot("sweeper")
    others = tuple(key for key in sample.proposal.variants["distributed"].modules if key != "DCAB")
    after = done(MergeModules(variant="distributed", into="DCAB", modules=others), sample)
    before, then = (rollup(own, "distributed") for own in (sample, after))
    assert then.serving.module_of.keys() == before.serving.module_of.keys()
    assert set(then.serving.module_of.values()) == {"DCAB"}
    variant = after.proposal.variants["distributed"]
    devices = variant.modules["DCAB"].devices
    addresses = [text for own in variant.placements.values() for text in (*own.on, *own.stage)]
    addresses += [node.at for own in variant.networks.values() for node in own.nodes.values() if "." in node.at]
    assert {parse_address(text).device for text in addresses} - {""} <= devices.keys()
    assert {parse_address(text).module for text in addresses} == {"DCAB"}
    # Chips and pieces are all still there: only what the cost counts per module is less.
    assert then.result.driver_devices == before.result.driver_devices
    # Nothing of it can be removed by its former name.
    assert "no module" in refused(RemoveModule(variant="distributed", module_id="DEXT"), after).sentence
