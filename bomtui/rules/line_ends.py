"""Lines without exactly two end resistors."""

from collections.abc import Iterator

from bomtui.model.finding import Verdict
from bomtui.model.network import CAN_KINDS
from bomtui.rules.context import Context, Rule, failed, not_applicable, passed, undecided
from bomtui.rules.nets import networks

ENDS: int = 2
"""Ends of a line (definition)."""


def ask(context: Context) -> Iterator[Verdict]:
    """A line does not have exactly two end resistors.

    What it asks:
        For every CAN network and 10BASE-T1S segment: do exactly two of its nodes hold an end resistor? It cannot tell
        where nodes do not say it and their answer decides. Other networks are not asked.

    Why it matters:
        An end without a resistor sends everything back; a third resistor makes the signal too small. Both work in the
        laboratory, where the line is short.

    Failing example:
        A CAN line of six modules that all hold 120 ohm.

    Passing example:
        The same line with 120 ohm in the first and in the last.

    Source:
        ISO 11898-2 for CAN, IEEE 802.3cg-2019 for 10BASE-T1S, values from memory.
    """
    for place, network, _ in networks(context):
        said = [node.terminated for node in network.nodes.values()]
        least, open_ = said.count(True), said.count(None)
        if network.kind not in {*CAN_KINDS, "10BASE-T1S"}:
            yield not_applicable(place)
        elif least > ENDS or least + open_ < ENDS:
            yield failed(place, str(least) if not open_ else f"{least} to {least + open_}", str(ENDS))
        elif open_:
            yield undecided(place, f"{least} to {least + open_}", str(ENDS))
        else:
            yield passed(place, str(least), str(ENDS))


RULE = Rule(
    name="line.ends",
    severity="error",
    failed="{measured} nodes of {place} hold an end resistor, a line has {limit} ends",
    undecided="{measured} nodes of {place} hold an end resistor, a line has {limit} ends",
    remedy="Put an end resistor into the two nodes at the ends of {place}, and into no other one.",
    ask=ask,
)
