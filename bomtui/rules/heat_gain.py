"""Drivers whose on-resistance and heat drive each other up."""

from collections.abc import Iterator

from bomtui.model.finding import Verdict
from bomtui.model.ids import Address, natural_key
from bomtui.rules.comparing import worst_of
from bomtui.rules.context import Context, Rule, not_applicable, passed, undecided, warned


def ask(context: Context) -> Iterator[Verdict]:
    """A driver is near thermal runaway.

    What it asks:
        For every driver whose conduction heats it: is the loop gain of heat and rising on-resistance, with all loads
        on, at most a setting? From 1 upwards there is no balance at all, which the junction temperature says. It
        cannot tell where on-resistance, its rise, thermal resistance or currents are not given.

    Why it matters:
        At a loop gain of one half the chip is already heated twice as much by its own conduction as at its cold
        on-resistance, and a few kelvin more of air, or a worse board, send it off.

    Failing example:
        10 A through 50 mohm that rise by 0.6 % a kelvin, at 30 K/W: a gain of 0.9.

    Passing example:
        The same current through 10 mohm.

    Source:
        Loop gain: derivation from Tj = Ta + theta P(Tj), definition; the limit is common practice, no source.
    """
    limit = context.settings.limits.loop_gain_ratio
    for module_id in sorted(context.electrics.heat_max, key=natural_key):
        for ref, heats in sorted(context.electrics.heat_max[module_id].items(), key=lambda own: natural_key(own[0])):
            place = str(Address(module_id, ref))
            key = context.variant.modules[module_id].devices[ref].part
            worst = worst_of({heat.mode: heat.gain_ratio for heat in heats if heat.gain_ratio != 0}, limit)
            if not worst.mode:
                yield not_applicable(place)
            elif worst.over is None:
                yield undecided(place, worst.value, limit, "1", part=key)
            elif worst.over:
                yield warned(place, worst.value, limit, "1", part=key, mode=worst.mode)
            else:
                yield passed(place, worst.value, limit, "1")


RULE = Rule(
    name="heat.gain",
    severity="warning",
    failed="{place} ({part}) heats itself with a loop gain of {measured} in {mode}, {limit} is the limit; at 100 %"
    " there is"
    " no balance",
    undecided="{place} ({part}) heats itself with a loop gain of {measured}, {limit} is the limit: whether it holds is"
    " unknown",
    remedy="Choose a part with a lower on-resistance for {place}, or spread its loads.",
    ask=ask,
    scope="modules",
)
