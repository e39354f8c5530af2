"""Pre-driver loads without the FETs that carry their current."""

from collections.abc import Iterator

from bomtui.model.finding import Verdict
from bomtui.rules.context import Context, Rule
from bomtui.rules.fitting import verdicts


def ask(context: Context) -> Iterator[Verdict]:
    """A load driven by a pre-driver with FETs names no FETs.

    What it asks:
        For every load of drive code GDF that is placed on channels: does its placement name the FETs of a power stage?

    Why it matters:
        A pre-driver drives gates, not loads: without FETs nothing carries the current, and their cost and heat are
        missing from the proposal.

    Failing example:
        A radiator fan of drive code GDF on MENG.U1.1 and MENG.U1.2 with nothing behind them.

    Passing example:
        The same fan with stage = ["MENG.Q2", "MENG.Q3"].

    Source:
        Definition: a pre-driver has no output for loads.
    """
    return verdicts(context, "stage")


RULE = Rule(
    name="stage.missing",
    severity="error",
    failed="{place} is driven {drive} by {device} ({part}), and its placement names {measured}",
    undecided="{place} is driven {drive} by {device} ({part}), and whether FETs carry its current is unknown",
    remedy="Add the FETs to the module and name them in the stage of {place}.",
    ask=ask,
    scope="modules",
)
