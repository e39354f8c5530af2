"""Networks, nodes and messages are added, renamed and removed, and follow the devices and loads that they name."""

import pytest

from bomtui.edit.edit import Edit, Refusal, apply
from bomtui.edit.edits.device import RemoveDevice, RenameDevice
from bomtui.edit.edits.field import SetField
from bomtui.edit.edits.load import RemoveLoad, RenameLoad
from bomtui.edit.edits.module import RemoveModule, RenameModule
from bomtui.edit.edits.network import (
    AddMessage,
    AddNetwork,
    AddNode,
    RemoveMessage,
    RemoveNetwork,
    RemoveNode,
    RenameMessage,
    RenameNetwork,
    RenameNode,
)
from bomtui.model.network import Message, Network, Node
from bomtui.model.proposal import Snapshot
from bomtui.model.variant import Acceptance
from tests.edit.small import ACCEPTED, done, small

BUS = Network(
    kind="LIN",
    nodes={"a": Node(at="REAR.U1", commander=True), "b": Node(at="L3")},
    messages={"m": Message(sender="a", data_bytes=2), "n": Message(sender="b", data_bytes=4)},
)
FOUND = Acceptance(rule="line.stub", place="networks.BUS.nodes.a", reason="measured")


def start() -> Snapshot:
    """The small proposal with one network."""
    return small(networks={"BUS": BUS}, accepted={**ACCEPTED, "N01": FOUND})


def bus(snapshot: Snapshot, network_id: str = "BUS") -> Network:
    """Its network as it is now."""
    return snapshot.proposal.variants["one"].networks[network_id]


def refused(edit: Edit) -> Refusal:
    """Why an edit is not done."""
    refusal = apply(edit, start())
    assert isinstance(refusal, Refusal), refusal
    return refusal


def test_what_is_added() -> None:
    """A network is empty; a node is at a device or load; a message has a sender."""
    snapshot = done(AddNetwork(variant="one", network_id="CAN1", kind="CAN"), start())
    snapshot = done(AddNode(variant="one", network_id="CAN1", node_id="x", at="REAR.U3"), snapshot)
    snapshot = done(AddMessage(variant="one", network_id="CAN1", message_id="s", sender="x"), snapshot)
    assert bus(snapshot, "CAN1") == Network(
        kind="CAN", nodes={"x": Node(at="REAR.U3")}, messages={"s": Message(sender="x")}
    )


@pytest.mark.parametrize(
    ("edit", "words"),
    [
        (AddNetwork(variant="one", network_id="bus", kind="LIN"), "there is a network BUS already"),
        (AddNetwork(variant="one", network_id="X", kind="string"), "takes one of LIN, CAN"),
        (AddNode(variant="one", network_id="BUS", node_id="c", at="REAR.U99"), "a node is at a device"),
        (AddNode(variant="one", network_id="BUS", node_id="c", at="L99"), "a node is at a device"),
        (AddNode(variant="one", network_id="X", node_id="c", at="L1"), "there is no network 'X'"),
        (AddMessage(variant="one", network_id="BUS", message_id="o", sender="z"), "there is no 'z' in this network"),
        (SetField(place="variants.one.networks.BUS.nodes.a.at", value="GONE.U1"), "a node is at a device"),
        (SetField(place="variants.one.networks.BUS.messages.m.sender", value="z"), "there is no 'z' in this network"),
        (RemoveNode(variant="one", network_id="BUS", node_id="z"), "there is no node 'z'"),
        (RemoveMessage(variant="one", network_id="BUS", message_id="z"), "there is no message 'z'"),
    ],
)
def test_what_cannot_be(edit: Edit, words: str) -> None:
    """Ids that are taken, kinds that there are not, and places that lead nowhere are refused in words."""
    assert words in refused(edit).sentence


def test_what_goes_along_is_asked_first() -> None:
    """With a node go its messages and what was accepted for it, with a network all that is in it; agreed, they go."""
    with_node = refused(RemoveNode(variant="one", network_id="BUS", node_id="a"))
    assert with_node.takes == ("variants.one.networks.BUS.messages.m", "variants.one.accepted.N01")
    assert with_node.retry is not None
    after = done(with_node.retry, start())
    assert (set(bus(after).nodes), set(bus(after).messages)) == ({"b"}, {"n"})
    assert "N01" not in after.proposal.variants["one"].accepted
    with_all = refused(RemoveNetwork(variant="one", network_id="BUS"))
    assert len(with_all.takes) == 5
    assert with_all.retry is not None
    assert done(with_all.retry, start()).proposal.variants["one"].networks == {}
    assert set(bus(done(RemoveMessage(variant="one", network_id="BUS", message_id="m"), start())).messages) == {"n"}


def test_new_ids_are_followed() -> None:
    """Senders and accepted findings follow the new id of a node, accepted findings that of a network."""
    node = done(RenameNode(variant="one", network_id="BUS", node_id="a", new_id="x"), start())
    assert list(bus(node).nodes) == ["x", "b"]
    assert bus(node).messages["m"].sender == "x"
    assert node.proposal.variants["one"].accepted["N01"].place == "networks.BUS.nodes.x"
    network = done(RenameNetwork(variant="one", network_id="BUS", new_id="LIN1"), start())
    assert network.proposal.variants["one"].accepted["N01"].place == "networks.LIN1.nodes.a"
    message = done(RenameMessage(variant="one", network_id="BUS", message_id="m", new_id="p"), start())
    assert list(bus(message).messages) == ["p", "n"]


@pytest.mark.parametrize(
    ("edit", "places"),
    [
        (RenameModule(variant="one", module_id="REAR", new_id="BACK"), ["BACK.U1", "L3"]),
        (RenameDevice(variant="one", module_id="REAR", ref="U1", new_ref="U7"), ["REAR.U7", "L3"]),
        (RenameLoad(load_id="L3", new_id="L30"), ["REAR.U1", "L30"]),
        (RemoveModule(variant="one", module_id="REAR", take_along=True), ["L3"]),
        (RemoveDevice(variant="one", module_id="REAR", ref="U1", take_along=True), ["L3"]),
        (RemoveLoad(load_id="L3", take_along=True), ["REAR.U1"]),
    ],
)
def test_nodes_follow_what_they_are_at(edit: Edit, places: list[str]) -> None:
    """A node keeps its device or load under a new id, and goes with it, its messages too."""
    after = bus(done(edit, start()))
    assert [node.at for node in after.nodes.values()] == places
    assert {message.sender for message in after.messages.values()} == set(after.nodes)


def test_a_load_does_not_go_from_a_network_unasked() -> None:
    """Removing a load names the node that goes along."""
    assert "variants.one.networks.BUS.nodes.b" in refused(RemoveLoad(load_id="L3")).takes
