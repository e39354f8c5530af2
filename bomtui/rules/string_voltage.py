"""LED strings outside the voltage that their driver can give."""

from collections.abc import Iterator

from bomtui.model.finding import Verdict
from bomtui.rules.context import Context, Rule
from bomtui.rules.fitting import verdicts


def ask(context: Context) -> Iterator[Verdict]:
    """An LED string has a voltage that its driver cannot give.

    What it asks:
        For every load on channels of an LED driver: is the voltage of its string between the lowest and the highest
        that the part drives? It cannot tell where one of the three is not given.

    Why it matters:
        A string above the window stays dark, and one below it is driven with too much current or not at all.

    Failing example:
        A string of 26.6 V on a driver for at most 11 V.

    Passing example:
        A string of 9.6 V on a driver for 3 V to 11 V.

    Source:
        Common practice, no source; the window is that of the part's data sheet.
    """
    return verdicts(context, "string")


RULE = Rule(
    name="string.voltage",
    severity="error",
    failed="the string of {place} has {measured}, and the limit of {device} ({part}) is {limit}",
    undecided="the string voltage of {place} is {measured}, the window of {device} ({part}) is {limit}: whether they"
    " fit is unknown",
    remedy="Place {place} on an LED driver for its string, or divide the string.",
    ask=ask,
    scope="modules",
)
