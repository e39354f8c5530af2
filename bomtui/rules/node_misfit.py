"""Nodes whose transceiver is not made for the network, or has no port left."""

from collections import Counter
from collections.abc import Iterator

from bomtui.engine.networks.ports import KIND_OF_TRANSCEIVER, OWN_DRIVES, port_sort, ports_for, serves
from bomtui.engine.networks.sites import Site
from bomtui.model.finding import Need, Verdict
from bomtui.model.network import Network
from bomtui.rules.context import Context, Rule, failed, helped_by, passed, undecided
from bomtui.rules.nets import networks, node_place, sites


def ask(context: Context) -> Iterator[Verdict]:
    """A node of a network has no transceiver for it, or more nodes than its transceiver has ports.

    What it asks:
        For every node at a device: is the part a transceiver for this kind of network, and do all nodes at it find a
        port? For every node at a load: does its drive code fit the network? It cannot tell where the part, or how many
        ports it has, is not known.

    Why it matters:
        A plan that hangs a LIN port on a CAN line is drawn quickly and found late.

    Failing example:
        Two CAN FD networks at a transceiver with one port.

    Passing example:
        The same two networks at a dual transceiver.

    Source:
        Common practice, no source.
    """
    taken = _taken(context)
    for place, network, _ in networks(context):
        for site in sites(context, network):
            yield _verdict(node_place(place, site.id), network, site, taken)


def _taken(context: Context) -> Counter[tuple[str, str]]:
    """Count the nodes at each device by the sort of port that they need."""
    return Counter(
        (node.at, port_sort(network.kind))
        for network in context.variant.networks.values()
        for node in network.nodes.values()
    )


def _verdict(place: str, network: Network, site: Site, taken: Counter[tuple[str, str]]) -> Verdict:
    if site.load is not None:
        asked = OWN_DRIVES.get(site.load.drive, network.kind)
        if asked == network.kind and (network.kind not in OWN_DRIVES.values() or site.load.drive in OWN_DRIVES):
            return passed(place, site.load.drive, network.kind)
        return failed(place, f"a load with drive code {site.load.drive}", network.kind, at=site.node.at)
    if site.part is None:
        return undecided(place, None, network.kind, at=site.node.at)
    number, ports = taken[site.node.at, port_sort(network.kind)], ports_for(site.part, network.kind)
    if not serves(site.part, network.kind):
        what = f"{site.device.part if site.device else ''} ({site.part.bus or site.part.kind})"
        need = Need(kinds=(KIND_OF_TRANSCEIVER[network.kind],))
        return helped_by(failed(place, what, network.kind, at=site.node.at), need)
    if ports is None:
        return undecided(place, None, network.kind, at=site.node.at)
    if number > ports:
        what = f"{number} nodes on {ports} ports"
        need = Need(kinds=(site.part.kind,), least={"ports": number})
        return helped_by(failed(place, what, network.kind, at=site.node.at), need)
    return passed(place, str(number), str(ports))


RULE = Rule(
    name="node.misfit",
    severity="error",
    failed="{at} is a node of a network of kind {limit} and has {measured}",
    undecided="{at} is a node of a network of kind {limit}: whether it has a port for it is unknown",
    remedy="Put a transceiver for the network, with a port for each of its nodes, in the place of {at}.",
    ask=ask,
)
