"""All networks of a variant, each computed anew only where something in it has changed."""

from collections.abc import Mapping

from bomtui.engine.calc import Gate
from bomtui.engine.networks.result import network_result
from bomtui.engine.networks.sites import is_device, sites_of
from bomtui.model.ids import natural_key, parse_address
from bomtui.model.network import Network
from bomtui.model.proposal import Snapshot
from bomtui.model.rollup import NetworkResult

Former = tuple[Snapshot, Mapping[str, NetworkResult]]


def network_results(calc: Gate, snapshot: Snapshot, variant_id: str, former: Former | None) -> dict[str, NetworkResult]:
    """Compute every network of a variant, in natural order.

    Args:
        calc: Gate.
        snapshot: Proposal and frozen parts.
        variant_id: The variant.
        former: A former snapshot and its results of the same variant, kept where everything is the very same object.
    """
    variant, loads = snapshot.proposal.variants[variant_id], snapshot.proposal.loads
    limits = snapshot.proposal.settings.limits
    results: dict[str, NetworkResult] = {}
    for network_id in sorted(variant.networks, key=natural_key):
        network = variant.networks[network_id]
        if former is not None and _is_same(network_id, network, snapshot, variant_id, former):
            results[network_id] = former[1][network_id]
        else:
            sites = sites_of(network, variant, loads, snapshot.parts)
            results[network_id] = network_result(calc, network_id, network, sites, limits)
    return results


def _is_same(network_id: str, network: Network, snapshot: Snapshot, variant_id: str, former: Former) -> bool:
    now, then = snapshot.proposal, former[0].proposal
    if network_id not in former[1] or snapshot.parts is not former[0].parts:
        return False
    before = then.variants[variant_id]
    if now.settings.limits is not then.settings.limits or before.networks[network_id] is not network:
        return False
    modules = {parse_address(node.at).module for node in network.nodes.values() if is_device(node.at)}
    own = now.variants[variant_id].modules
    return all(own.get(module_id) is before.modules.get(module_id) for module_id in modules)
