"""Loads on devices that cannot drive them."""

from collections.abc import Iterator

from bomtui.model.finding import Verdict
from bomtui.rules.context import Context, Rule
from bomtui.rules.fitting import verdicts


def ask(context: Context) -> Iterator[Verdict]:
    """A load is placed on a device that does not drive its kind of connection.

    What it asks:
        For every load and every device on whose channels it is placed: does the part list the load's drive code among
        those that it serves? It cannot tell where the part is not frozen or a driver does not say what it serves.

    Why it matters:
        A load with one end on ground needs a switch on the supply side; on a low-side switch it is on all the time or
        never.

    Failing example:
        A glow plug (HS, its return is the engine block) on a low-side switch.

    Passing example:
        The same glow plug on a high-side switch whose part lists HS.

    Source:
        Common practice, no source: high-side, low-side and bridge connections as drivers' data sheets name them.
    """
    return verdicts(context, "side")


RULE = Rule(
    name="drive.side",
    severity="error",
    failed="{place} is driven {limit}, and {device} ({part}) drives {measured}",
    undecided="{place} is driven {limit}, and what {device} ({part}) drives is unknown",
    remedy="Place {place} on a device whose part drives {limit}, or choose such a part for {device}.",
    ask=ask,
    scope="modules",
)
