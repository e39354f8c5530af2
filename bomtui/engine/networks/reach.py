"""Which modules can talk to each other: a module with nodes on two networks passes on what it hears."""

from collections.abc import Mapping

from bomtui.engine.networks.sites import is_device
from bomtui.model.ids import natural_key, parse_address
from bomtui.model.network import Network
from bomtui.model.variant import Variant


def modules_on(network: Network) -> tuple[str, ...]:
    """Return the modules that have a node on a network, each once, in natural order."""
    found = {parse_address(node.at).module for node in network.nodes.values() if is_device(node.at)}
    return tuple(sorted(found, key=natural_key))


def networks_of(variant: Variant, at: str) -> tuple[str, ...]:
    """Return the networks that have a node at a device or load, in natural order."""
    found = [key for key, network in variant.networks.items() if any(node.at == at for node in network.nodes.values())]
    return tuple(sorted(found, key=natural_key))


def reached(variant: Variant) -> Mapping[str, str]:
    """Return for each module the first one of those that it reaches over any networks and modules between."""
    first = {module_id: module_id for module_id in sorted(variant.modules, key=natural_key)}

    def root(module_id: str) -> str:
        while first[module_id] != module_id:
            module_id = first[module_id]
        return module_id

    for network in variant.networks.values():
        joined = [module_id for module_id in modules_on(network) if module_id in first]
        for other in joined[1:]:
            roots = sorted((root(joined[0]), root(other)), key=natural_key)
            first[roots[1]] = roots[0]
    return {module_id: root(module_id) for module_id in first}
