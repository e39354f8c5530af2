"""Gather the network list of a variant."""

from collections.abc import Iterator

from bomtui.export.package.networks import MessageRow, NetworkList, NetworkRow, NodeRow
from bomtui.export.records import bounded, heading, single
from bomtui.model.ids import natural_key
from bomtui.model.network import LOADED_KINDS, TIMED_KINDS
from bomtui.services.package.subject import Subject


def network_list(subject: Subject) -> NetworkList:
    """Return networks, nodes and messages as a record."""
    ids = sorted(subject.rollup.networks, key=natural_key)
    return NetworkList(
        **heading(subject.basis, "Network list"),  # type: ignore[arg-type]
        networks=tuple(_network(subject, network) for network in ids),
        nodes=tuple(row for network in ids for row in _nodes(subject, network)),
        messages=tuple(row for network in ids for row in _messages(subject, network)),
    )


def _network(subject: Subject, network_id: str) -> NetworkRow:
    network, result = subject.variant.networks[network_id], subject.rollup.networks[network_id]
    slowest, weakest = result.slowest, result.weakest
    return NetworkRow(
        network=network_id,
        kind=network.kind,
        name=network.name,
        rate_bit_per_s=network.rate_bit_per_s,
        nodes=result.nodes,
        messages=len(network.messages),
        length_m=single(result.length_m),
        load_ratio=bounded(result.load_ratio) if result.messages and network.kind in LOADED_KINDS else None,
        response_s=None if slowest is None else single(slowest.response_s),
        slowest="" if slowest is None else slowest.id,
        margin_db=None if weakest is None else single(weakest.margin_db),
    )


def _nodes(subject: Subject, network_id: str) -> Iterator[NodeRow]:
    nodes = subject.variant.networks[network_id].nodes
    for node_id in sorted(nodes, key=natural_key):
        node = nodes[node_id]
        yield NodeRow(
            network=network_id,
            node=node_id,
            at=node.at,
            commander=node.commander,
            terminated=node.terminated,
            stub_m=node.stub_m,
        )


def _messages(subject: Subject, network_id: str) -> Iterator[MessageRow]:
    network = subject.variant.networks[network_id]
    for result in subject.rollup.networks[network_id].messages:
        message = network.messages[result.id]
        yield MessageRow(
            network=network_id,
            message=result.id,
            sender=message.sender,
            identifier=message.identifier,
            data_bytes=message.data_bytes,
            period_s=message.period_s,
            frame_s=bounded(result.frame_s),
            load_ratio=bounded(result.load_ratio),
            response_s=single(result.response_s) if network.kind in TIMED_KINDS else None,
        )
