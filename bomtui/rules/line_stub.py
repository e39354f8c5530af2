"""Branches off a line that are too long."""

from collections.abc import Iterator

from bomtui.model.bound import exceeds
from bomtui.model.finding import Verdict
from bomtui.model.network import CAN_KINDS
from bomtui.rules.context import Context, Rule, failed, not_applicable, passed, undecided
from bomtui.rules.nets import networks, node_place, sites

UNIT = "m"


def ask(context: Context) -> Iterator[Verdict]:
    """A node hangs on a branch that is too long.

    What it asks:
        For every node of a CAN network: is its branch off the line longer than 1 m, and of a 10BASE-T1S segment longer
        than 0.1 m (settings)? It cannot tell where the branch is not given; a node at an end has one of 0 m. Other
        networks are not asked.

    Why it matters:
        The open end of a branch sends back what it gets, and the echo falls into the next bits.

    Failing example:
        A door module on a branch of 2.5 m off a CAN FD line.

    Passing example:
        The line led through the door module.

    Source:
        Common practice, no source, for CAN; IEEE 802.3cg-2019 for 0.1 m, value from memory.
    """
    limits = context.settings.limits
    for place, network, _ in networks(context):
        limit = limits.can_stub_m if network.kind in CAN_KINDS else limits.multidrop_stub_m
        for site in sites(context, network):
            where, measured = node_place(place, site.id), site.node.stub_m
            if network.kind not in {*CAN_KINDS, "10BASE-T1S"}:
                yield not_applicable(where)
                continue
            over = exceeds(measured, limit)
            if over is None:
                yield undecided(where, measured, limit, UNIT, at=site.node.at)
            elif over:
                yield failed(where, measured, limit, UNIT, at=site.node.at)
            else:
                yield passed(where, measured, limit, UNIT)


RULE = Rule(
    name="line.stub",
    severity="warning",
    failed="{at} hangs on a branch of {measured} ({place}), {limit} is allowed",
    undecided="{at} hangs on a branch of {measured} ({place}), {limit} is allowed",
    remedy="Lead the line through {at}, or shorten its branch.",
    ask=ask,
)
