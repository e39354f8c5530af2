"""Networks with more traffic than they should carry."""

from collections.abc import Iterator

from bomtui.model.bound import exceeds
from bomtui.model.finding import Verdict
from bomtui.model.network import CAN_KINDS
from bomtui.rules.context import Context, Rule, failed, not_applicable, passed, undecided, warned
from bomtui.rules.nets import networks

UNIT = "1"
FULL_RATIO: float = 1.0
"""Frames find no more time than there is (definition)."""


def ask(context: Context) -> Iterator[Verdict]:
    """A network carries more traffic than it should.

    What it asks:
        For every CAN network: is its load with every frame at its longest above 50 %, which is a warning, or above
        70 %, which is an error (settings)? For every LIN network, and every radio link whose messages are given: do its
        frames, LIN with the reserve of its slots, take more time than there is? It cannot tell where a bus has no
        message, or something of one is missing. Other networks are not asked.

    Why it matters:
        Above that the slow messages wait for a long time, repeated frames find no room, and nothing can be added in the
        next model year.

    Failing example:
        Twelve frames of 8 bytes a millisecond at 1 Mbit/s: 162 %.

    Passing example:
        The same frames every 4 ms: 40.5 %.

    Source:
        Frames by Davis, Burns, Bril, Lukkien 2007; the limits are common practice, no source.
    """
    limits = context.settings.limits
    for place, network, result in networks(context):
        measured = result.load_ratio.max
        if network.kind == "LIN" or (network.kind == "radio" and network.messages):
            error = warning = FULL_RATIO
        elif network.kind in CAN_KINDS:
            error, warning = limits.can_full_ratio, limits.can_load_ratio
        else:
            yield not_applicable(place)
            continue
        if exceeds(measured, error):
            yield failed(place, measured, error, UNIT)
        elif exceeds(measured, warning):
            yield warned(place, measured, warning, UNIT)
        elif exceeds(measured, warning) is None:
            yield undecided(place, measured, warning, UNIT)
        else:
            yield passed(place, measured, warning, UNIT)


RULE = Rule(
    name="bus.load",
    severity="error",
    failed="{place} is busy for {measured} of the time with frames at their longest, {limit} is allowed",
    undecided="{place} is busy for {measured} of the time with frames at their longest, {limit} is allowed",
    remedy="Send messages of {place} less often or in fewer frames, raise its rate, or divide it into two networks.",
    ask=ask,
)
