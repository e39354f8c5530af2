"""The lines of networks with their nodes and messages; what they carry stands in words, as no column is theirs."""

from collections.abc import Mapping

from bomtui.model.ids import natural_key
from bomtui.model.network import LOADED_KINDS, Network
from bomtui.model.rollup import NetworkResult
from bomtui.services.present import counted, unknown_count, unknown_text, value_text
from bomtui.tui.from_services.findings import OpenFindings
from bomtui.tui.from_services.kept_lines import Children, Source
from bomtui.tui.from_services.line_builder import NO_FINDING
from bomtui.tui.from_services.names import Names
from bomtui.tui.view import Cells, Place


def network_lines(
    names: Names, results: Mapping[str, NetworkResult], found: OpenFindings, children: Children
) -> tuple[Place, ...]:
    """Return the lines of all networks in natural order; one that would be built as before is the very same object.

    Args:
        names: Where everything stands.
        results: What was computed for each network.
        found: Open findings by place.
        children: Keeps the lines.
    """
    return tuple(_network(names, results[key], names.variant.networks[key], found, children) for key in results)


def _network(names: Names, result: NetworkResult, network: Network, found: OpenFindings, children: Children) -> Place:
    address = names.network(result.id)
    nodes = {key: names.node(result.id, key) for key in sorted(network.nodes, key=natural_key)}
    messages = {key: names.message(result.id, key) for key in sorted(network.messages, key=natural_key)}
    sites = tuple(_site(names, network.nodes[key].at) for key in nodes)
    places = (address, *nodes.values(), *messages.values())
    source = Source((result, network), sites, found.states_at(places))

    def build() -> Place:
        keys = found.of(places)
        mark, word = found.state(keys)
        missing = unknown_count(result.load_ratio.max) if _is_loaded(result) else 0
        if not mark and missing:
            mark, word = "unknown", unknown_text(missing)
        inside = (
            *(_inside(nodes[key], f"node {key} at {site}", found) for key, site in zip(nodes, sites, strict=True)),
            *(_inside(messages[key], _message(result, network, key), found) for key in messages),
        )
        cells = Cells(findings=found.count(keys))
        return Place(address, _title(result, network), cells, mark, word or NO_FINDING, inside)

    return children.place(address, source, build)


def _inside(address: str, title: str, found: OpenFindings) -> Place:
    keys = found.of((address,))
    mark, word = found.state(keys)
    return Place(address, title, Cells(findings=found.count(keys)), mark, word)


def _title(result: NetworkResult, network: Network) -> str:
    pieces = [f"{result.id} {network.name}".rstrip(), result.kind, counted(result.nodes, "node", "nodes")]
    if _is_loaded(result):
        pieces.append(f"busy {value_text(result.load_ratio.max, 'ratio', digits=3)}")
    return ", ".join(pieces)


def _is_loaded(result: NetworkResult) -> bool:
    return bool(result.messages) and result.kind in LOADED_KINDS


def _message(result: NetworkResult, network: Network, key: str) -> str:
    own = next(message for message in result.messages if message.id == key)
    title = f"message {key} from {network.messages[key].sender}"
    if own.response_s is None:
        return title
    return f"{title}, after {value_text(own.response_s, 'time', digits=3)} at most"


def _site(names: Names, at: str) -> str:
    """Where a node is, in words: address and part, or the load."""
    module_id, point, ref = at.partition(".")
    if not point:
        load = names.proposal.loads.get(at)
        return f"load {at} {'' if load is None else load.name}".rstrip()
    module = names.variant.modules.get(module_id)
    device = None if module is None else module.devices.get(ref)
    return f"{at} {'' if device is None else device.part}".rstrip()
