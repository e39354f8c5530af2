"""Networks with more nodes than they carry."""

from collections.abc import Iterator
from typing import NamedTuple

from bomtui.model.finding import Verdict
from bomtui.model.limits import Limits
from bomtui.model.network import CAN_KINDS
from bomtui.rules.context import Context, Rule, failed, not_applicable, passed, warned
from bomtui.rules.nets import networks

POINT_TO_POINT: int = 2
"""Nodes of a point-to-point line (definition)."""


class _Most(NamedTuple):
    """How many nodes a network may have: more are an error, or at least a warning; None where nothing says so."""

    error: int | None
    warning: int | None


def ask(context: Context) -> Iterator[Verdict]:
    """A network has more nodes than it carries.

    What it asks:
        For every network: LIN has at most 16 nodes, the commander included, and more than 12 responders are a warning;
        CAN at most 16, more than 12 are a warning; 10BASE-T1S more than 8 are a warning, because a segment that has
        been measured may carry more; 100BASE-T1 joins exactly 2; an optical ring has at most 64 (all settings but the
        2). Radio links are not asked.

    Why it matters:
        Every node adds capacitance, reflections and traffic. LIN has no addresses left behind the sixteenth.

    Failing example:
        A LIN network of one commander and 16 flap actuators.

    Passing example:
        Two LIN networks of 8 flap actuators each.

    Source:
        LIN 2.x and ISO 17987 for 16 nodes, seen second-hand; IEEE 802.3cg-2019 for 8, seen second-hand; 64 on a ring,
        seen second-hand; 12 and the numbers for CAN are common practice, no source.
    """
    for place, network, result in networks(context):
        most = _most(network.kind, context.settings.limits)
        counted = result.nodes
        if network.kind == "100BASE-T1":
            exact = counted == POINT_TO_POINT
            verdict = passed if exact else failed
            yield verdict(place, counted, POINT_TO_POINT, **({} if exact else {"kind": network.kind}))
        elif most.error is not None and counted > most.error:
            yield failed(place, counted, most.error, kind=network.kind)
        elif most.warning is not None and counted > most.warning:
            yield warned(place, counted, most.warning, kind=network.kind)
        elif most == _Most(None, None):
            yield not_applicable(place)
        else:
            yield passed(place, counted, most.error)


def _most(kind: str, limits: Limits) -> _Most:
    if kind == "LIN":
        # One node is the commander.
        return _Most(limits.lin_nodes, limits.lin_responders + 1)
    if kind in CAN_KINDS:
        return _Most(limits.can_nodes, limits.can_nodes_warning)
    return {
        "10BASE-T1S": _Most(None, limits.multidrop_nodes),
        "optical ring": _Most(limits.ring_nodes, None),
    }.get(kind, _Most(None, None))


RULE = Rule(
    name="nodes.many",
    severity="error",
    failed="{place} ({kind}) has {measured} nodes, {limit} is what it carries",
    undecided="{place} has {measured} nodes: whether it carries them is unknown",
    remedy="Divide {place} into two networks, or join what hangs on it in fewer nodes.",
    ask=ask,
)
