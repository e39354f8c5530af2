"""Loads whose faults must be seen, on drivers that may not see them."""

from collections.abc import Iterator

from bomtui.model.finding import Verdict
from bomtui.rules.context import Context, Rule
from bomtui.rules.fitting import verdicts


def ask(context: Context) -> Iterator[Verdict]:
    """A fault of a load must be seen, and its driver may not see it.

    What it asks:
        For every load whose faults must be seen and every device on whose channels it is placed: does the part measure
        the load current, so that a short and an open load show? Anything else it cannot tell: how a part reports
        faults, by flag or serially, does not say which faults it sees, and an overtemperature of the load shows in no
        value of a part.

    Why it matters:
        A fault that nobody sees is found by the customer's customer; where a function needs the diagnosis, its safety
        argument rests on it.

    Failing example:
        None is certain: a stop lamp whose open filament must be seen, on a switch that reports by one flag, is
        undecided.

    Passing example:
        The same lamp on a switch that measures its load currents.

    Source:
        Common practice, no source; whether the sense is fine enough for a small current is not asked.
    """
    return verdicts(context, "diagnosis")


RULE = Rule(
    name="diagnosis.seen",
    severity="warning",
    failed="{place} needs {limit} to be seen, and {device} ({part}) reports {measured}",
    undecided="{place} needs {limit} to be seen; {device} ({part}) reports by {measured}: whether it sees all is"
    " unknown",
    remedy="Ask the maker which faults {part} reports, or place {place} on a device that measures its current.",
    ask=ask,
    scope="modules",
)
