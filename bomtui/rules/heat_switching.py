"""Drivers that lose more in switching than in conducting."""

from collections.abc import Iterator

from bomtui.engine.heat import hot_power_w
from bomtui.engine.on_heat import OnHeat
from bomtui.model.bound import Value, exceeds
from bomtui.model.finding import Verdict
from bomtui.model.ids import Address, natural_key
from bomtui.rules.comparing import low_end
from bomtui.rules.context import Context, Rule, not_applicable, passed, undecided, warned


def ask(context: Context) -> Iterator[Verdict]:
    """A driver loses more by switching than by conducting.

    What it asks:
        For every driver with loads under PWM, in every mode: are edges and clamping less heat than conduction at the
        junction temperature, with all loads on? It cannot tell where one of them is not known. Drivers without PWM are
        not asked.

    Why it matters:
        More silicon does not help against switching loss: the frequency, the edges or the freewheel path are wrong, or
        the load wants a pre-driver with FETs of its own.

    Failing example:
        A fan of 11 A at 100 Hz on a switch with edges of 110 us: 3.7 W of switching beside 0.9 W of conduction.

    Passing example:
        The same fan at 20 Hz.

    Source:
        Common practice, no source.
    """
    for module_id in sorted(context.electrics.heat_max, key=natural_key):
        for ref, heats in sorted(context.electrics.heat_max[module_id].items(), key=lambda own: natural_key(own[0])):
            yield _verdict(context, Address(module_id, ref), heats)


def _verdict(context: Context, place: Address, heats: tuple[OnHeat, ...]) -> Verdict:
    pulsed = [heat for heat in heats if heat.switching_w != 0 and not heat.runaway]
    if not pulsed:
        return not_applicable(str(place))
    device = context.variant.modules[place.module].devices[place.device]
    judged = [(heat.switching_w, _conduction(context, heat), heat.mode) for heat in pulsed]
    more = [own for own in judged if exceeds(own[0], own[1])]
    if more:
        switching, conduction, mode = max(more, key=lambda own: low_end(own[0]))
        return warned(str(place), switching, conduction, "W", part=device.part, mode=mode)
    unclear = [own for own in judged if exceeds(own[0], own[1]) is None]
    switching, conduction, _ = (unclear or judged)[0]
    if unclear:
        return undecided(str(place), switching, conduction, "W", part=device.part)
    return passed(str(place), switching, conduction, "W")


def _conduction(context: Context, heat: OnHeat) -> Value:
    calc = context.electrics.calc
    return calc(
        hot_power_w,
        constant_w=calc.given(0.0, "conduction alone"),
        cold_conduction_w=heat.conduction_w,
        slope_per_k=heat.slope_per_k,
        junction_degc=heat.junction_degc,
    )


RULE = Rule(
    name="heat.switching",
    severity="warning",
    failed="{place} ({part}) loses {measured} by switching in {mode}, more than the {limit} of conduction",
    undecided="{place} ({part}) loses {measured} by switching and {limit} by conduction: which is more is unknown",
    remedy="Lower the PWM frequency, give coils a freewheel path, or drive the load of {place} by a pre-driver with"
    " FETs.",
    ask=ask,
    scope="modules",
)
