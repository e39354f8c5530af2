"""LIN lines with more capacitance than a transceiver can drive."""

from collections.abc import Iterator

from bomtui.model.bound import exceeds
from bomtui.model.finding import Verdict
from bomtui.rules.context import Context, Rule, failed, not_applicable, passed, undecided
from bomtui.rules.nets import networks

UNIT = "F"


def ask(context: Context) -> Iterator[Verdict]:
    """A LIN line has more capacitance than it may.

    What it asks:
        For every LIN network: is the capacitance of its cable, at its largest value for a metre, and of all its nodes
        above 10 nF (setting)? It cannot tell where the length is not given. Other networks are not asked.

    Why it matters:
        The pull-up of the commander alone makes the rising edge. With more capacitance it comes too late, and bits are
        lost, when cold first.

    Failing example:
        16 nodes of 220 pF on 60 m of cable with 150 pF a metre: 12.5 nF.

    Passing example:
        8 nodes on 12 m: 3.6 nF.

    Source:
        LIN 2.x and ISO 17987-4, values from memory: 10 nF on the line, 100 to 150 pF a metre, 220 pF a node.
    """
    for place, network, result in networks(context):
        limit = context.settings.limits.lin_line_f
        if result.capacitance_f is None:
            yield not_applicable(place)
            continue
        measured = result.capacitance_f.max
        over = exceeds(measured, limit)
        if over is None:
            yield undecided(place, measured, limit, UNIT)
        elif over:
            yield failed(place, measured, limit, UNIT, nodes=str(len(network.nodes)))
        else:
            yield passed(place, measured, limit, UNIT)


RULE = Rule(
    name="lin.capacitance",
    severity="error",
    failed="the line of {place} has {measured} with its {nodes} nodes, {limit} is allowed",
    undecided="the line of {place} has {measured}, {limit} is allowed",
    remedy="Shorten the line of {place}, or divide it into two networks.",
    ask=ask,
)
