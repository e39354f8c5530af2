"""Channels that carry more current than they may."""

from collections.abc import Iterator

from bomtui.model.finding import Verdict
from bomtui.rules.context import Context, Rule
from bomtui.rules.fitting import verdicts


def ask(context: Context) -> Iterator[Verdict]:
    """A channel carries more current than its part may carry continuously with all channels on.

    What it asks:
        For every load and every device on whose channels it is placed: is its largest on-current, over all modes and at
        the worst end of each mode's supply, at most the continuous current of a channel with all channels on? Channels
        in parallel share it, and one carries a part more than an equal share, by setting; loads that share a channel
        add up where they can be on together. Behind a converter the current of string, coil or speaker counts, not the
        battery current. It cannot tell where a current or the rating is not given. Amplifiers are rated by power, and
        behind FETs of a power stage the driver carries no load current: neither is asked.

    Why it matters:
        A channel above its rating wears out, or limits and switches off in the field while every bench test at nominal
        voltage passes.

    Failing example:
        A fuel pump of constant power that takes 7.9 A from 12 V while cranking, on a channel for 5.2 A.

    Passing example:
        The same pump on a channel for 9.5 A.

    Source:
        Common practice, no source; the rating is that of the part's data sheet. A margin below it is not asked.
    """
    return verdicts(context, "current")


RULE = Rule(
    name="current.channel",
    severity="error",
    failed="{place} draws {measured}{mode}, and a channel of {device} ({part}) carries {limit} with all channels on",
    undecided="the current of {place} is {measured}, a channel of {device} ({part}) carries {limit}: whether that"
    " suffices is unknown",
    remedy="Place {place} on a channel for its current, or choose a part with such channels for {device}.",
    ask=ask,
    scope="modules",
)
