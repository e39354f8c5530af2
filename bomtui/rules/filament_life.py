"""Lamps that burn at more voltage than they last."""

from collections.abc import Iterator

from bomtui.engine.battery_side import levels
from bomtui.engine.lamp_life import dimmed_v, life_ratio
from bomtui.model.bound import Value
from bomtui.model.finding import Verdict
from bomtui.model.ids import natural_key
from bomtui.model.load import Load
from bomtui.rules.comparing import worst_of
from bomtui.rules.context import Context, Rule, not_applicable, passed, undecided, warned
from bomtui.rules.wording import printed


def ask(context: Context) -> Iterator[Verdict]:
    """A lamp burns at more voltage than it lasts.

    What it asks:
        For every filament lamp, in every mode in which it may be on: is the voltage that heats it, the usual supply
        voltage of the mode and less under PWM, at most that to which lamps are dimmed (setting per vehicle, else by
        supply class)? It cannot tell where voltage or duty are not given.

    Why it matters:
        The life of a lamp falls with the thirteenth power of its voltage: a tenth more voltage costs 70 % of it.

    Failing example:
        A stop lamp at 28 V in a 24 V vehicle.

    Passing example:
        The same lamp under PWM of 85 %, 25.8 V.

    Source:
        Life exponent of 12 to 16: Fink and Beaty, Standard Handbook for Electrical Engineers, 11th ed., p. 22-8, seen
        second-hand; 13.2 V and 26.4 V are common practice, no source.
    """
    limit = levels(context.electrics).filament_v
    for load_id in sorted(context.loads, key=natural_key):
        load = context.loads[load_id]
        volts = _volts(context, load) if load.behaviour == "filament" else {}
        no_test = limit is None and context.proposal.vehicle.supply is not None
        if not volts or no_test:
            yield not_applicable(load_id)
            continue
        worst = worst_of(volts, limit)
        if worst.over is None:
            yield undecided(load_id, worst.value, limit, "V", mode=worst.mode)
        elif worst.over:
            left = context.electrics.calc(
                life_ratio,
                voltage_v=worst.value,
                rated_v=load.rated_voltage_v,
                exponent=context.settings.limits.filament_life_exponent,
            )
            yield warned(load_id, worst.value, limit, "V", mode=worst.mode, life=printed(left, "1"))
        else:
            yield passed(load_id, worst.value, limit, "V")


def _volts(context: Context, load: Load) -> dict[str, Value]:
    calc = context.electrics.calc
    found: dict[str, Value] = {}
    for mode in context.electrics.awake:
        if load.time_share_ratio.get(mode) == 0:
            continue
        duty = load.pwm_duty_ratio.get(mode) if load.pwm_duty_ratio else calc.given(1.0, "no PWM duty given: fully on")
        found[mode] = calc(dimmed_v, supply_v=context.proposal.modes[mode].supply_nominal_v, duty_ratio=duty)
    return found


RULE = Rule(
    name="filament.life",
    severity="warning",
    failed="{place} burns at {measured} in {mode}, {limit} is what lamps are dimmed to: {life} of its rated life is"
    " left",
    undecided="{place} burns at {measured} in {mode}, {limit} is what lamps are dimmed to: whether it lasts is unknown",
    remedy="Dim {place} by PWM to {limit}, on a channel that can, or choose a lamp for a higher voltage.",
    ask=ask,
    scope="modules",
)
