"""Parts on the battery that do not survive a load dump."""

from collections.abc import Iterator

from bomtui.engine.battery_side import dump_v, on_battery
from bomtui.model.finding import Verdict
from bomtui.rules.context import Context, Rule
from bomtui.rules.withstanding import withstanding


def ask(context: Context) -> Iterator[Verdict]:
    """A part on the battery stands less than a load dump.

    What it asks:
        For every device with a supply input on the battery, and every FET: is its absolute maximum, or the drain-source
        voltage of the FET, at least the voltage of a load dump as central suppression leaves it (setting per vehicle,
        else by supply class), or what the suppressor of its module clamps it to if that is less? Where no absolute
        maximum is given its highest operating voltage is a lower bound. It cannot tell where neither is given, or the
        supply class of the vehicle. What hangs on rails alone is not asked.

    Why it matters:
        When the battery comes off while the alternator charges it, the voltage of the whole net rises for a third of a
        second. Every part on it that stands less is gone at once.

    Failing example:
        A bridge for 40 V on the battery of a 24 V vehicle, where a suppressed load dump is 58 V.

    Passing example:
        The same bridge on a 12 V rail, or one for 60 V.

    Source:
        Load dump test B of ISO 16750-2:2010 and :2012, cl. 4.6.4, 35 V and 58 V, seen second-hand; 48 V: LV 148 test
        E48-02, 70 V, seen second-hand.
    """
    for own in on_battery(context.electrics):
        yield withstanding(own, dump_v(context.electrics, own.address.module))


RULE = Rule(
    name="voltage.dump",
    severity="error",
    failed="{part} at {place} stands {measured}, and a load dump is {limit}",
    undecided="{part} at {place} stands {measured}, a load dump is {limit}: whether it survives that is unknown",
    remedy="Choose a part for a higher voltage for {place}, feed it from a rail, or add a suppressor that clamps"
    " lower.",
    ask=ask,
    scope="modules",
)
