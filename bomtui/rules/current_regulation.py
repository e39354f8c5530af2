"""Loads that need a regulated current on drivers that cannot regulate."""

from collections.abc import Iterator

from bomtui.model.finding import Verdict
from bomtui.rules.context import Context, Rule
from bomtui.rules.fitting import verdicts


def ask(context: Context) -> Iterator[Verdict]:
    """A load needs a regulated current, and its driver cannot regulate one.

    What it asks:
        For every load that needs a regulated current and every device on whose channels it is placed: is the part an
        LED driver, or does it measure the load current, and where it is a plain switch, has it a freewheel path? It
        cannot tell where the part does not say.

    Why it matters:
        The force of a proportional valve follows its current, and its resistance grows by a third as it warms: without
        a measured current the machine moves at another speed than asked. Without a freewheel path the current dies in
        every period.

    Failing example:
        A rail pressure valve on a low-side switch without current sense and freewheel path.

    Passing example:
        The same valve on a low-side switch with both.

    Source:
        Common practice, no source.
    """
    return verdicts(context, "regulation")


RULE = Rule(
    name="current.regulation",
    severity="error",
    failed="{place} needs a {limit}, and {device} ({part}) has {measured}",
    undecided="{place} needs a {limit}, and whether {device} ({part}) can regulate one is unknown",
    remedy="Place {place} on a device with current sense and freewheel path, or choose such a part for {device}.",
    ask=ask,
    scope="modules",
)
