"""Supplies whose rails draw more than they give."""

from collections.abc import Iterator

from bomtui.engine.rail_load import LoadedSupply, loaded_supplies, usable_output_a
from bomtui.model.bound import exceeds
from bomtui.model.finding import Need, Verdict
from bomtui.rules.comparing import worst_of
from bomtui.rules.context import Context, Rule, failed, helped_by, passed, undecided, warned


def ask(context: Context) -> Iterator[Verdict]:
    """The rails of a supply draw more current than it gives.

    What it asks:
        For every supply with rails, in every mode: is the largest current of everything on its rails, all buses
        dominant and all loads on that it feeds, at most its output current, and at most a share of it, by setting, for
        a warning? It cannot tell where a current or the output current is not given. A load that its placement feeds
        from no rail is not in it.

    Why it matters:
        A supply that limits takes its rail down, and with it the controller; it does so when everything is on at once
        and the bus is shorted.

    Failing example:
        A controller of 66 mA and a CAN transceiver of 60 mA on a supply for 100 mA.

    Passing example:
        The same two on a supply for 250 mA.

    Source:
        Common practice, no source: reserve of 20 %; currents are data of the parts.
    """
    for own in loaded_supplies(context.electrics):
        yield _verdict(context, own)


def _verdict(context: Context, own: LoadedSupply) -> Verdict:
    place, limit_a = str(own.address), own.part.output_current_a
    key = context.variant.modules[own.address.module].devices[own.address.device].part
    ratio = context.settings.limits.rail_load_ratio
    usable = context.electrics.calc(usable_output_a, output_current_a=limit_a, load_ratio=ratio)
    worst = worst_of(own.output_a, usable)
    facts = {"part": key, "mode": worst.mode}
    if exceeds(worst.value, limit_a):
        verdict = failed(place, worst.value, limit_a, "A", **facts)
    elif worst.over:
        verdict = warned(place, worst.value, usable, "A", **facts)
    elif worst.over is None:
        return undecided(place, worst.value, limit_a, "A", **facts)
    else:
        return passed(place, worst.value, limit_a, "A")
    least = {"output_current_a": worst.value} if isinstance(worst.value, float) else {}
    return helped_by(verdict, Need(kinds=(own.part.kind,), least=least))


RULE = Rule(
    name="rail.load",
    severity="error",
    failed="the rails of {place} ({part}) draw {measured} in {mode}, {limit} is allowed",
    undecided="the rails of {place} ({part}) draw {measured}, it gives {limit}: whether that suffices is unknown",
    remedy="Choose a supply for more current for {place}, or move what hangs on its rails to another one.",
    ask=ask,
    scope="modules",
)
