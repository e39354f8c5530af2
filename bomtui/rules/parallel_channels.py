"""Channels in parallel that may not work so."""

from collections.abc import Iterator

from bomtui.model.finding import Verdict
from bomtui.rules.context import Context, Rule
from bomtui.rules.fitting import verdicts


def ask(context: Context) -> Iterator[Verdict]:
    """Channels carry a load in parallel, and the part does not allow it, or they are on several devices.

    What it asks:
        For every load whose placement joins more channels in parallel than its drive code needs: are all of them on one
        device, and may channels of its part work in parallel? It cannot tell where the part does not say.

    Why it matters:
        Channels of two chips share the current badly and trip one after the other; the one that stays carries all.

    Failing example:
        A heater on ZCEN.U1.1 and ZCEN.U2.1 in parallel.

    Passing example:
        The same heater on ZCEN.U1.1 and ZCEN.U1.2, where U1 is a switch whose channels may work in parallel.

    Source:
        Common practice, no source; whether channels may work in parallel is data of the part.
    """
    return verdicts(context, "parallel")


RULE = Rule(
    name="parallel.channels",
    severity="warning",
    failed="{place} is carried in parallel by {measured}, and at most {limit} may: {device} ({part})",
    undecided="{place} is carried in parallel by {measured}, and whether {device} ({part}) allows it is unknown",
    remedy="Place {place} on one channel for its current, or on channels of one device that may work in parallel.",
    ask=ask,
    scope="modules",
)
