"""Nodes of networks that follow the device or load at which they are, and go with it."""

from collections.abc import Callable

import msgspec

from bomtui.edit.references import Mentions, followed_places
from bomtui.edit.tree import with_entry, without
from bomtui.model.network import Network
from bomtui.model.variant import Variant

Moved = Callable[[str], str | None]
"""Where a node is that was at some device or load; None where it goes."""


def of_module(old: str, new: str | None) -> Moved:
    """Say what becomes of nodes when a module is renamed, or goes."""

    def moved(at: str) -> str | None:
        module, point, device = at.partition(".")
        if not point or module != old:
            return at
        return None if new is None else f"{new}.{device}"

    return moved


def of_place(old: str, new: str | None) -> Moved:
    """Say what becomes of nodes when a device, given by its address, or a load is renamed, or goes."""
    return lambda at: new if at == old else at


def with_nodes(variant: Variant, moved: Moved, path: str, touched: list[str]) -> Variant:
    """Return a variant whose nodes have moved, without those that go and the messages that only they send.

    Args:
        variant: The variant.
        moved: What becomes of a node.
        path: Place of the variant in the file.
        touched: Takes the places of the nodes and messages that go.
    """
    networks = variant.networks
    gone: list[str] = []
    for network_id, network in variant.networks.items():
        changed = network
        for key, node in network.nodes.items():
            at = moved(node.at)
            if at is None:
                changed = without_node(changed, key, f"{path}.networks.{network_id}", touched)
                gone.append(f"networks.{network_id}.nodes.{key}")
            elif at is not node.at:
                nodes = with_entry(changed.nodes, key, msgspec.structs.replace(node, at=at))
                changed = msgspec.structs.replace(changed, nodes=nodes)
        if changed is not network:
            networks = with_entry(networks, network_id, changed)
    if networks is not variant.networks:
        variant = msgspec.structs.replace(variant, networks=networks)
    for place in gone:
        variant = followed_places(variant, place, None, path, touched)
    return variant


def nodes_everywhere(variants: dict[str, Variant], moved: Moved, touched: list[str]) -> dict[str, Variant]:
    """Return all variants with their nodes moved; the same ones where none has.

    Args:
        variants: The variants by id.
        moved: What becomes of a node.
        touched: Takes the places of the nodes and messages that go.
    """
    for key, variant in variants.items():
        followed = with_nodes(variant, moved, f"variants.{key}", touched)
        if followed is not variant:
            variants = with_entry(variants, key, followed)
    return variants


def without_node(network: Network, key: str, path: str, touched: list[str]) -> Network:
    """Return a network without a node and without the messages that it sends.

    Args:
        network: The network.
        key: Id of the node.
        path: Place of the network in the file.
        touched: Takes the places of the node and of these messages.
    """
    touched.append(f"{path}.nodes.{key}")
    mentions = Mentions("node", key, None)
    rest = mentions.record(network, path)
    touched += mentions.touched
    return msgspec.structs.replace(rest, nodes=without(rest.nodes, (key,)))
