"""Modules and loads that no network reaches."""

from collections.abc import Iterator

from bomtui.engine.networks.reach import modules_on
from bomtui.engine.networks.sites import is_device
from bomtui.model.finding import Verdict
from bomtui.model.ids import natural_key
from bomtui.rules.context import Context, Rule, failed, not_applicable, passed, undecided

LIN_DRIVE = "LIN"
RADIO_KIND = "rf"
ALL = "vehicle"


def ask(context: Context) -> Iterator[Verdict]:
    """A module, or a load that answers over a network, is on none.

    What it asks:
        For every module of a variant with several: does it have a node on a network? For every load with drive code
        LIN, and every radio link: is it a node of a network of its kind, and is the module that serves it one too? It
        cannot tell where a variant names no network at all. Of loads with a positioning aerial or any other drive code
        nothing is asked.

    Why it matters:
        A module that nobody can talk to reports no fault and takes no command. That a network is missing is seen late,
        because every module is well by itself.

    Failing example:
        A valve module without a transceiver in a vehicle whose others share a CAN network.

    Passing example:
        The same module with a transceiver on that network.

    Source:
        Common practice, no source.
    """
    variant = context.variant
    asked = [load_id for load_id in sorted(context.loads, key=natural_key) if _kind_of(context, load_id)]
    if not variant.networks:
        if asked or len(variant.modules) > 1:
            yield undecided(ALL, None, "networks")
        else:
            yield not_applicable(ALL)
        return
    on_any = {module_id for network in variant.networks.values() for module_id in modules_on(network)}
    for module_id in sorted(variant.modules, key=natural_key):
        if len(variant.modules) == 1:
            yield not_applicable(module_id)
        elif module_id in on_any:
            yield passed(module_id, "a node", "a node")
        else:
            yield failed(module_id, "no node", "a network")
    for load_id in asked:
        yield _of_load(context, load_id, _kind_of(context, load_id))


def _kind_of(context: Context, load_id: str) -> str:
    """Return the kind of network that a load answers over; empty where it does not."""
    load = context.loads[load_id]
    if load.drive == LIN_DRIVE:
        return "LIN"
    return "radio" if load.kind == RADIO_KIND else ""


def _of_load(context: Context, load_id: str, kind: str) -> Verdict:
    home = context.serving.module_of.get(load_id, "")
    found = False
    for network in context.variant.networks.values():
        at = [node.at for node in network.nodes.values()]
        if network.kind == kind and load_id in at:
            found = True
            if not home or any(is_device(place) and place.partition(".")[0] == home for place in at):
                return passed(load_id, f"a node of a {kind} network", f"a {kind} network")
    what = f"no node of {home} on its network" if found else "no node"
    return failed(load_id, what, f"a {kind} network")


RULE = Rule(
    name="network.missing",
    severity="error",
    failed="{place} has {measured}, it needs {limit}",
    undecided="no network is named, so nothing says who can talk to whom",
    remedy="Add a network with a node for {place}, or a node to one that there is.",
    ask=ask,
)
