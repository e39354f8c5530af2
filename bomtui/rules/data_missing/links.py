"""Values of transceivers that the budgets of optical and radio links read."""

from collections.abc import Iterator

from bomtui.engine.networks.sites import Site, sites_of
from bomtui.model.finding import Verdict
from bomtui.model.ids import natural_key
from bomtui.model.network import Network
from bomtui.model.part import Part
from bomtui.rules.context import Context
from bomtui.rules.data_missing.values import value

LINK_KINDS = frozenset(("optical ring", "radio"))
LINKS = "the reserve of its links"


def link_values(context: Context) -> Iterator[Verdict]:
    """Ask every transceiver of a link for its power and sensitivity, as far as its node does not say them itself."""
    for key, names in sorted(_read(context).items(), key=lambda own: natural_key(own[0])):
        for name in sorted(names):
            part = context.parts[key]
            yield value(Part, name, f"parts.{key}", LINKS, present=getattr(part, name) is not None)


def _read(context: Context) -> dict[str, set[str]]:
    """Return the fields that budgets read, per part key."""
    read: dict[str, set[str]] = {}
    for network in context.variant.networks.values():
        if network.kind in LINK_KINDS and len(network.nodes) > 1:
            for site in sites_of(network, context.variant, context.loads, context.parts):
                if site.device is not None and site.part is not None:
                    read.setdefault(site.device.part, set()).update(_of_node(network, site))
    return read


def _of_node(network: Network, site: Site) -> Iterator[str]:
    ring = network.kind != "radio"
    if site.node.transmit_power_dbm is None and (ring or site.node.direction != "receives"):
        yield "launch_power_dbm"
    if site.node.sensitivity_dbm is None and (ring or site.node.direction != "sends"):
        yield "sensitivity_dbm"
