"""Values that figures read and nobody has given."""

from collections.abc import Iterator

from bomtui.model.finding import Verdict
from bomtui.rules.context import Context, Rule
from bomtui.rules.data_missing.links import link_values
from bomtui.rules.data_missing.loads import load_values
from bomtui.rules.data_missing.parts import part_values
from bomtui.rules.data_missing.vehicle import vehicle_values


def ask(context: Context) -> Iterator[Verdict]:
    """A value is missing that a figure of the rollup reads.

    What it asks:
        For every value that a figure of this variant reads: is it given? Places in modules for all loads; currents,
        time shares, peaks and sleep shares of loads; voltages of modes; distances and temperatures of zones; ground
        points of feeds; rates; and of the parts used price, order quantities, supply and standby currents, efficiency,
        thermal and switching data, powers and sensitivities of links. Each missing value is named once, where it
        belongs, however many figures it spoils. Where nothing says whether the value is needed, that is undecided.
        What a supply input hangs on, pins, sides and integrity levels are matters of their own rules.

    Why it matters:
        A figure with an unknown in it is a bound at best. Who reads it must know what to ask for, and of whom.

    Failing example:
        A switch without a price: the cost of parts is at least what the other lines add up to.

    Passing example:
        The same switch with its price breaks, minimum order and package multiple.

    Source:
        Common practice, no source: the values are the inputs of the formulas, each with its own source.
    """
    yield from vehicle_values(context)
    yield from load_values(context)
    yield from part_values(context)
    yield from link_values(context)


RULE = Rule(
    name="data.missing",
    severity="warning",
    failed="{missing}, so {figures} cannot be told exactly",
    undecided="{missing}, and nothing says whether {figures} need it",
    remedy="Ask for the value, or enter an assumption that says so in its note.",
    ask=ask,
)
