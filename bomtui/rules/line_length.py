"""Lines that are longer than their network allows."""

from collections.abc import Iterator

from bomtui.engine.calc import PLAIN
from bomtui.engine.networks.can import longest_line_m
from bomtui.model.bound import Value, exceeds
from bomtui.model.finding import Verdict
from bomtui.model.network import CAN_KINDS
from bomtui.rules.context import Context, Rule, failed, not_applicable, passed, undecided, warned
from bomtui.rules.nets import networks

UNIT = "m"


def ask(context: Context) -> Iterator[Verdict]:
    """A line is longer than its kind of network allows.

    What it asks:
        For every network: LIN with all its branches at most 40 m; 100BASE-T1 at most 15 m; 10BASE-T1S above 25 m is a
        warning, because a segment that has been measured may be longer; CAN above 40 m at 1 Mbit/s, and in proportion
        at other arbitration rates, is a warning, because its sample points decide (all settings). It cannot tell where
        length or rate is not given. Optical rings and radio links are not asked.

    Why it matters:
        Loss and echoes grow with length; what works on the table fails in the vehicle.

    Failing example:
        A camera at the end of 18 m of 100BASE-T1.

    Passing example:
        The same camera at 6 m.

    Source:
        LIN 2.x and ISO 17987-4 for 40 m, IEEE 802.3cg-2019 for 25 m, practice of ISO 11898-2 for CAN, all seen
        second-hand; IEEE 802.3bw for 15 m, value from memory.
    """
    limits = context.settings.limits
    longest: dict[str, float] = {
        "LIN": limits.lin_length_m,
        "10BASE-T1S": limits.multidrop_length_m,
        "100BASE-T1": limits.single_pair_length_m,
    }
    for place, network, result in networks(context):
        limit: Value = longest.get(network.kind)
        if network.kind in CAN_KINDS:
            rate = network.rate_bit_per_s
            limit = PLAIN(longest_line_m, can_length_m=limits.can_length_m, rate_bit_per_s=rate)
        elif network.kind not in longest:
            yield not_applicable(place)
            continue
        measured = result.length_m
        over = exceeds(measured, limit)
        if over is None:
            yield undecided(place, measured, limit, UNIT, kind=network.kind)
        elif over:
            verdict = warned if network.kind in {"10BASE-T1S", *CAN_KINDS} else failed
            yield verdict(place, measured, limit, UNIT, kind=network.kind)
        else:
            yield passed(place, measured, limit, UNIT)


RULE = Rule(
    name="line.length",
    severity="error",
    failed="the line of {place} ({kind}) is {measured} long, {limit} is allowed",
    undecided="the length of the line of {place} ({kind}) is {measured}, {limit} is allowed",
    remedy="Shorten the line of {place}, or put a module that passes on what it hears in its middle.",
    ask=ask,
)
