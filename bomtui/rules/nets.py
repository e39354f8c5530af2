"""Networks as rules ask of them: in natural order, with the places under which findings name them."""

from collections.abc import Iterator

from bomtui.engine.networks.sites import Site, sites_of
from bomtui.model.ids import natural_key
from bomtui.model.network import Network
from bomtui.model.rollup import NetworkResult
from bomtui.rules.context import Context


def networks(context: Context) -> Iterator[tuple[str, Network, NetworkResult]]:
    """Yield the place, the record and the result of every network."""
    for key in sorted(context.variant.networks, key=natural_key):
        yield network_place(key), context.variant.networks[key], context.rollup.networks[key]


def sites(context: Context, network: Network) -> tuple[Site, ...]:
    """Return the nodes of a network in natural order."""
    return sites_of(network, context.variant, context.loads, context.parts)


def network_place(network_id: str) -> str:
    """Place of a finding about a network."""
    return f"networks.{network_id}"


def node_place(place: str, node_id: str) -> str:
    """Place of a finding about a node, below that of its network."""
    return f"{place}.nodes.{node_id}"


def message_place(place: str, message_id: str) -> str:
    """Place of a finding about a message, below that of its network."""
    return f"{place}.messages.{message_id}"
