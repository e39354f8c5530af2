"""Modules whose heat their housing does not carry away."""

from collections.abc import Iterator

from bomtui.engine.box_heat import allowed, box_heat, housing_of
from bomtui.model.finding import Need, Verdict
from bomtui.model.ids import natural_key
from bomtui.rules.comparing import worst_of
from bomtui.rules.context import Context, Rule, helped_by, passed, undecided, warned


def ask(context: Context) -> Iterator[Verdict]:
    """A module makes more heat than its housing carries away.

    What it asks:
        For every module: is the heat of all its chips together, in every mode, at most a share, by setting, of what its
        housing carries away at the rise of the air that is assumed? It cannot tell where the
        heat of a chip or the data of the housing are not known; of FETs it knows the most they can make.

    Why it matters:
        Every junction temperature is that of a single chip in the air of its module. Where the housing keeps the heat
        in, that air is warmer than assumed, and with it every chip.

    Failing example:
        8 W in a sealed plastic case for 10 W at 20 K, which carries 6 W at 80 % of 15 K.

    Passing example:
        The same chips in a die-cast case for 22 W at 25 K.

    Source:
        Common practice, no source; heat and rise are data of the housing.
    """
    for module_id in sorted(context.variant.modules, key=natural_key):
        calc, box = context.electrics.calc, context.electrics.boxes[module_id]
        housing = housing_of(box)
        heats = box_heat(calc, box)
        limit = None if housing is None else allowed(calc, housing[1], context.settings)
        worst = worst_of(heats, limit)
        key = "its housing" if housing is None else housing[0]
        if worst.over is None:
            yield undecided(module_id, worst.value, limit, "W", housing=key)
        elif worst.over:
            verdict = warned(module_id, worst.value, limit, "W", housing=key, mode=worst.mode)
            yield helped_by(verdict, Need(kinds=("housing",)))
        else:
            yield passed(module_id, worst.value, limit, "W")


RULE = Rule(
    name="heat.box",
    severity="warning",
    failed="the chips of {place} make {measured} of heat in {mode}, and {housing} carries away {limit} at the rise that"
    " is assumed",
    undecided="the chips of {place} make {measured} of heat, {housing} carries away {limit}: whether the air in it gets"
    " too warm is unknown",
    remedy="Give {place} a larger or a metal housing, raise the rise that is assumed, or move chips elsewhere.",
    ask=ask,
    scope="modules",
)
