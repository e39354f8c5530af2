"""Loads on devices made for another vehicle supply."""

from collections.abc import Iterator

from bomtui.model.finding import Verdict
from bomtui.rules.context import Context, Rule
from bomtui.rules.fitting import verdicts


def ask(context: Context) -> Iterator[Verdict]:
    """A load is placed on a device that is not made for the vehicle's supply.

    What it asks:
        For every load and every device on whose channels it is placed and that takes the vehicle's supply: is the
        supply class of the vehicle among those that the part is made for? It cannot tell where either is not given.
        Amplifiers are not asked: they work from a rail of their own.

    Why it matters:
        A part for 12 V does not live through the jump start and the load dump of a 24 V vehicle, and one made for 24 V
        alone may not work while a 12 V engine is cranked.

    Failing example:
        A lamp of a 24 V sweeper on a switch whose part is made for 12 V.

    Passing example:
        The same lamp on a switch made for 12 V and 24 V.

    Source:
        Common practice, no source; supply classes as drivers' data sheets name them.
    """
    return verdicts(context, "supply")


RULE = Rule(
    name="supply.net",
    severity="error",
    failed="{place} is fed from {limit} on {device}, and {part} is made for {measured}",
    undecided="{place} is served by {device} ({part}, made for {measured}), and the vehicle's supply is {limit}",
    remedy="Place {place} on a device whose part is made for the vehicle's supply, or choose such a part for {device}.",
    ask=ask,
    scope="modules",
)
