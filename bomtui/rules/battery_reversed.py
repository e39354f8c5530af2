"""Parts on the battery that do not survive its poles being swapped."""

from collections.abc import Iterator

from bomtui.engine.battery_side import OnBattery, levels, on_battery, reversed_degc
from bomtui.model.bound import exceeds
from bomtui.model.finding import Verdict
from bomtui.rules.context import Context, Rule, failed, not_applicable, passed, undecided

PROTECTED = "behind the reverse-battery FET"


def ask(context: Context) -> Iterator[Verdict]:
    """A part on the battery does not survive a battery that is put in the wrong way.

    What it asks:
        For every device with a supply input on the battery: does its current pass the reverse-battery FET of its
        module, does it block by itself or switch its channels on, or, where its body diodes carry the current of all
        its loads backwards, does its junction stay within its maximum for the time of the test (settings)? It cannot
        tell where the part does not say what it does and nothing says that it is protected. FETs, and vehicles whose
        supply class knows no such test, are not asked.

    Why it matters:
        Somebody will put the battery in the wrong way after the winter. Every bridge and every supply that nothing
        protects is then a short circuit.

    Failing example:
        A full bridge on the battery of a module without reverse-battery protection.

    Passing example:
        The same bridge behind an ideal-diode controller with its FET.

    Source:
        Reversed voltage of ISO 16750-2 cl. 4.7, 14 V and 28 V for 60 s: values from memory; what a part does is data of
        the part.
    """
    level = levels(context.electrics).reverse_v
    for own in on_battery(context.electrics):
        no_test = level is None and context.proposal.vehicle.supply is not None
        yield not_applicable(str(own.address)) if own.part.kind == "fet" or no_test else _verdict(context, own, level)


def _verdict(context: Context, own: OnBattery, level: float | None) -> Verdict:
    place, behaviour = str(own.address), own.part.reverse_behaviour
    facts = {"part": own.device.part}
    if own.protected or behaviour in {"blocks", "turns_on"}:
        return passed(place, PROTECTED if own.protected else behaviour)
    if level is None or behaviour is None:
        return undecided(place, None, own.part.junction_max_degc, "degC", **facts, why="what it does then")
    if behaviour == "needs_protection":
        if own.protected is None:
            return undecided(place, None, PROTECTED, **facts, why="whether its current passes the reverse-battery FET")
        return failed(place, "no protection", PROTECTED, **facts, what="nothing keeps the reversed voltage from it")
    junction = reversed_degc(context.electrics, own)
    over = exceeds(junction, own.part.junction_max_degc)
    if over is None or (over and own.protected is None):
        why = "how hot its body diodes get" if over is None else "whether its current passes the reverse-battery FET"
        return undecided(place, junction, own.part.junction_max_degc, "degC", **facts, why=why)
    if not over:
        return passed(place, junction, own.part.junction_max_degc, "degC")
    return failed(place, junction, own.part.junction_max_degc, "degC", **facts, what="its body diodes get too hot")


RULE = Rule(
    name="battery.reversed",
    severity="error",
    failed="{part} at {place} does not survive a reversed battery: {what} ({measured}, wanted is {limit})",
    undecided="whether {part} at {place} survives a reversed battery is unknown: {why} is not given",
    remedy="Put {place} behind the reverse-battery FET of its module and say so in its `behind_reverse_fet`, or"
    " choose a"
    " part that stands it.",
    ask=ask,
    scope="modules",
)
