"""Everything known of a network, a node or a message."""

from collections.abc import Callable

from bomtui.model.ids import natural_key
from bomtui.tui.from_services.given_text import given
from bomtui.tui.from_services.names import MESSAGE, NETWORK, NODE, Names
from bomtui.tui.view import Details, Figure

NOT_OF_NETWORK = frozenset({"name", "length", "distance", "note"})
"""Fields that stand in words of their own, or among the figures."""
NOTE = frozenset({"note"})
LIMITS = (
    "Frames at their longest; responses hold for the messages that are given, with no repetition after errors, and for "
    "senders that queue by priority."
)


def on_networks(names: Names, at: str, *, inside: bool = False) -> tuple[Figure, ...]:
    """Return the networks on which a load or device is, or a module with any of its devices.

    Args:
        names: Where everything stands.
        at: Id of the load or module, or address of the device.
        inside: Whether it is a module.
    """
    found = []
    for key in sorted(names.variant.networks, key=natural_key):
        network = names.variant.networks[key]
        places = [node.at for node in network.nodes.values()]
        own = [place for place in places if (place.startswith(f"{at}.") if inside else place == at)]
        if own:
            where = ", ".join(sorted((text.removeprefix(f"{at}.") for text in own if text != at), key=natural_key))
            found.append(Figure(f"network {key}", " by ".join(filter(None, (network.kind, where)))))
    return tuple(found)


def network_details(names: Names, address: str, figures: Callable[[str], tuple[Figure, ...]]) -> Details:
    """Return everything known of the line of a network, or of what is in it.

    Args:
        names: Where everything stands.
        address: Address of the line.
        figures: Gives the computed figures of a place.
    """
    network_id, _, inside = address.removeprefix(NETWORK).partition(".")
    network = names.variant.networks[network_id]
    place = f"networks.{network_id}"
    if inside.startswith(NODE):
        key = inside.removeprefix(NODE)
        node = network.nodes[key]
        own = (*figures(f"{place}.nodes.{key}"), *given(node, NOTE))
        return Details(f"Node {key} of {network_id}", own, (node.note,) if node.note else ())
    if inside.startswith(MESSAGE):
        key = inside.removeprefix(MESSAGE)
        message = network.messages[key]
        own = (*figures(f"{place}.messages.{key}"), *given(message, NOTE))
        return Details(f"Message {key} of {network_id}", own, (*filter(None, (message.note,)), LIMITS))
    nodes = tuple(Figure(f"node {key}", network.nodes[key].at) for key in sorted(network.nodes, key=natural_key))
    own = (*figures(place), *given(network, NOT_OF_NETWORK), *nodes)
    notes = (*filter(None, (network.note,)), *((LIMITS,) if network.messages else ()))
    return Details(f"Network {network_id} {network.name}".rstrip(), own, notes)
