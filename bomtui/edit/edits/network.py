"""Networks of a variant, their nodes and messages."""

import msgspec

from bomtui.edit.edit import Edit, RefusedError
from bomtui.edit.node_places import without_node
from bomtui.edit.references import Mentions, followed_places
from bomtui.edit.tree import (
    check_new_id,
    counted,
    entry_of,
    quoted,
    variant_of,
    with_entry,
    with_key,
    with_variant,
    without,
)
from bomtui.edit.values import Scope, check_record
from bomtui.model.network import Message, Network, Node
from bomtui.model.proposal import Snapshot
from bomtui.model.variant import Variant


class AddNetwork(Edit, frozen=True):
    """Add a network without nodes."""

    variant: str
    network_id: str
    kind: str

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"add network {self.network_id}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot with the network."""
        variant = variant_of(snapshot, self.variant)
        check_new_id(variant.networks, self.network_id, "network")
        network = Network(kind=self.kind)
        check_record(network, Scope(snapshot), self.network_id)
        return with_variant(snapshot, self.variant, networks=with_entry(variant.networks, self.network_id, network))


class RemoveNetwork(Edit, frozen=True):
    """Remove a network with its nodes and messages.

    Attributes:
        variant: The variant.
        network_id: The network.
        take_along: Whether its nodes and messages, and what was accepted for it, may go with it.
    """

    variant: str
    network_id: str
    take_along: bool = False

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"remove network {self.network_id}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot without the network."""
        variant, network = _network(snapshot, self.variant, self.network_id)
        path = f"variants.{self.variant}"
        touched = [f"{path}.networks.{self.network_id}.nodes.{key}" for key in network.nodes]
        touched += [f"{path}.networks.{self.network_id}.messages.{key}" for key in network.messages]
        rest = followed_places(variant, f"networks.{self.network_id}", None, path, touched)
        if touched and not self.take_along:
            raise RefusedError(
                f"with the network {self.network_id} would go what belongs to it: {counted(len(touched), 'place')}",
                tuple(touched),
                msgspec.structs.replace(self, take_along=True),
            )
        return with_variant(
            snapshot, self.variant, networks=without(rest.networks, (self.network_id,)), accepted=rest.accepted
        )


class RenameNetwork(Edit, frozen=True):
    """Give a network another id; accepted findings follow."""

    variant: str
    network_id: str
    new_id: str

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"rename network {self.network_id} to {self.new_id}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot with the network under its new id."""
        variant, _ = _network(snapshot, self.variant, self.network_id)
        check_new_id(variant.networks, self.new_id, "network", renamed=self.network_id)
        if self.new_id == self.network_id:
            return snapshot
        followed = followed_places(variant, f"networks.{self.network_id}", f"networks.{self.new_id}", "", [])
        return with_variant(
            snapshot,
            self.variant,
            networks=with_key(followed.networks, self.network_id, self.new_id),
            accepted=followed.accepted,
        )


class AddNode(Edit, frozen=True):
    """Put a device or a load on a network."""

    variant: str
    network_id: str
    node_id: str
    at: str

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"put {self.at} on network {self.network_id}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot with the node."""
        variant, network = _network(snapshot, self.variant, self.network_id)
        check_new_id(network.nodes, self.node_id, "node")
        check_site(snapshot, variant, self.at)
        nodes = with_entry(network.nodes, self.node_id, Node(at=self.at))
        return _with(snapshot, self.variant, self.network_id, msgspec.structs.replace(network, nodes=nodes))


class RemoveNode(Edit, frozen=True):
    """Take a node off a network.

    Attributes:
        variant: The variant.
        network_id: The network.
        node_id: The node.
        take_along: Whether the messages that it sends, and what was accepted for it, may go with it.
    """

    variant: str
    network_id: str
    node_id: str
    take_along: bool = False

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"take node {self.node_id} off network {self.network_id}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot without the node."""
        variant, network = _network(snapshot, self.variant, self.network_id)
        entry_of(network.nodes, self.node_id, "node", self.network_id)
        path = f"variants.{self.variant}"
        touched: list[str] = []
        rest = without_node(network, self.node_id, f"{path}.networks.{self.network_id}", touched)
        # The node itself is what is asked for.
        also = touched[1:]
        freed = followed_places(variant, f"networks.{self.network_id}.nodes.{self.node_id}", None, path, also)
        if also and not self.take_along:
            raise RefusedError(
                f"with the node {self.node_id} would go what names it: {counted(len(also), 'place')}",
                tuple(also),
                msgspec.structs.replace(self, take_along=True),
            )
        return with_variant(
            snapshot,
            self.variant,
            networks=with_entry(freed.networks, self.network_id, rest),
            accepted=freed.accepted,
        )


class RenameNode(Edit, frozen=True):
    """Give a node another id; its messages and accepted findings follow."""

    variant: str
    network_id: str
    node_id: str
    new_id: str

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"rename node {self.node_id} of network {self.network_id} to {self.new_id}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot with the node under its new id."""
        variant, network = _network(snapshot, self.variant, self.network_id)
        entry_of(network.nodes, self.node_id, "node", self.network_id)
        check_new_id(network.nodes, self.new_id, "node", renamed=self.node_id)
        if self.new_id == self.node_id:
            return snapshot
        network = Mentions("node", self.node_id, self.new_id).record(network)
        network = msgspec.structs.replace(network, nodes=with_key(network.nodes, self.node_id, self.new_id))
        place = f"networks.{self.network_id}.nodes"
        followed = followed_places(variant, f"{place}.{self.node_id}", f"{place}.{self.new_id}", "", [])
        return with_variant(
            snapshot,
            self.variant,
            networks=with_entry(followed.networks, self.network_id, network),
            accepted=followed.accepted,
        )


class AddMessage(Edit, frozen=True):
    """Send something on a network."""

    variant: str
    network_id: str
    message_id: str
    sender: str

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"add message {self.message_id} to network {self.network_id}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot with the message."""
        _, network = _network(snapshot, self.variant, self.network_id)
        check_new_id(network.messages, self.message_id, "message")
        message = Message(sender=self.sender)
        check_record(message, Scope(snapshot, network=network), self.message_id)
        messages = with_entry(network.messages, self.message_id, message)
        return _with(snapshot, self.variant, self.network_id, msgspec.structs.replace(network, messages=messages))


class RemoveMessage(Edit, frozen=True):
    """Send something no longer.

    Attributes:
        variant: The variant.
        network_id: The network.
        message_id: The message.
        take_along: Whether what was accepted for it may go with it.
    """

    variant: str
    network_id: str
    message_id: str
    take_along: bool = False

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"remove message {self.message_id} from network {self.network_id}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot without the message."""
        variant, network = _network(snapshot, self.variant, self.network_id)
        entry_of(network.messages, self.message_id, "message", self.network_id)
        touched: list[str] = []
        place = f"networks.{self.network_id}.messages.{self.message_id}"
        freed = followed_places(variant, place, None, f"variants.{self.variant}", touched)
        if touched and not self.take_along:
            raise RefusedError(
                f"with the message {self.message_id} would go what was accepted for it: "
                f"{counted(len(touched), 'place')}",
                tuple(touched),
                msgspec.structs.replace(self, take_along=True),
            )
        rest = msgspec.structs.replace(network, messages=without(network.messages, (self.message_id,)))
        return with_variant(
            snapshot,
            self.variant,
            networks=with_entry(freed.networks, self.network_id, rest),
            accepted=freed.accepted,
        )


class RenameMessage(Edit, frozen=True):
    """Give a message another id; accepted findings follow."""

    variant: str
    network_id: str
    message_id: str
    new_id: str

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"rename message {self.message_id} of network {self.network_id} to {self.new_id}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot with the message under its new id."""
        variant, network = _network(snapshot, self.variant, self.network_id)
        entry_of(network.messages, self.message_id, "message", self.network_id)
        check_new_id(network.messages, self.new_id, "message", renamed=self.message_id)
        if self.new_id == self.message_id:
            return snapshot
        messages = with_key(network.messages, self.message_id, self.new_id)
        place = f"networks.{self.network_id}.messages"
        followed = followed_places(variant, f"{place}.{self.message_id}", f"{place}.{self.new_id}", "", [])
        return with_variant(
            snapshot,
            self.variant,
            networks=with_entry(
                followed.networks, self.network_id, msgspec.structs.replace(network, messages=messages)
            ),
            accepted=followed.accepted,
        )


def check_site(snapshot: Snapshot, variant: Variant, at: str) -> None:
    """Refuse a place of a node that is neither a device of the variant nor a load.

    Raises:
        RefusedError: It is neither.
    """
    module_id, point, ref = at.partition(".")
    module = variant.modules.get(module_id)
    found = (module is not None and ref in module.devices) if point else at in snapshot.proposal.loads
    if not found:
        raise RefusedError(f"a node is at a device MODULE.REF of this variant or at a load, found {quoted(at)}")


def _network(snapshot: Snapshot, variant_id: str, network_id: str) -> tuple[Variant, Network]:
    variant = variant_of(snapshot, variant_id)
    return variant, entry_of(variant.networks, network_id, "network", f"variant {variant_id}")


def _with(snapshot: Snapshot, variant_id: str, network_id: str, network: Network) -> Snapshot:
    networks = with_entry(variant_of(snapshot, variant_id).networks, network_id, network)
    return with_variant(snapshot, variant_id, networks=networks)
