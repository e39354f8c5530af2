"""Parts on the battery that do not survive a jump start."""

from collections.abc import Iterator

from bomtui.engine.battery_side import levels, on_battery
from bomtui.model.finding import Verdict
from bomtui.rules.context import Context, Rule, not_applicable
from bomtui.rules.withstanding import withstanding


def ask(context: Context) -> Iterator[Verdict]:
    """A part on the battery stands less than a jump start or a long overvoltage.

    What it asks:
        For every device with a supply input on the battery, and every FET: is its absolute maximum, or the drain-source
        voltage of the FET, at least the voltage of a jump start (setting per vehicle, else by supply class)? Where no
        absolute maximum is given its highest operating voltage is a lower bound. It cannot tell where neither is given,
        or the supply class of the vehicle. What hangs on rails alone is not asked.

    Why it matters:
        A truck that helps a car to start puts 24 V on it for a minute, far longer than any suppressor lasts.

    Failing example:
        A driver for 20 V in a 12 V vehicle.

    Passing example:
        The same driver behind a converter that makes 5 V for it.

    Source:
        ISO 16750-2 cl. 4.3: 24 V for 60 s in 12 V vehicles, 36 V for 60 min in 24 V ones: values from memory.
    """
    limit = levels(context.electrics).jump_start_v
    for own in on_battery(context.electrics):
        no_test = limit is None and context.proposal.vehicle.supply is not None
        yield not_applicable(str(own.address)) if no_test else withstanding(own, limit)


RULE = Rule(
    name="voltage.jump",
    severity="error",
    failed="{part} at {place} stands {measured}, and a jump start is {limit}",
    undecided="{part} at {place} stands {measured}, a jump start is {limit}: whether it survives that is unknown",
    remedy="Choose a part for a higher voltage for {place}, or feed it from a rail.",
    ask=ask,
    scope="modules",
)
