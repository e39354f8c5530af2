"""Modes without the engine after which it does not start any more."""

from collections.abc import Iterator

from bomtui.engine.battery import usable_as
from bomtui.engine.battery_drain import drains
from bomtui.model.bound import exceeds
from bomtui.model.finding import Verdict
from bomtui.model.quantity import text
from bomtui.rules.context import Context, Rule, failed, not_applicable, passed, undecided


def ask(context: Context) -> Iterator[Verdict]:
    """A mode with the engine off takes more of the battery than it may lose.

    What it asks:
        For every mode with the engine off and the electronics awake: is the charge that loads and electronics take in
        the mean, in the time of the mode or in a time by setting where it does not say how long it lasts, at most what
        the aged battery may lose before the engine does not start any more? It cannot tell where a current or the
        battery is not given. Parking with the electronics asleep is asked for by itself.

    Why it matters:
        A van that delivers with its engine off, or a machine that waits with its lights on, stands still for the rest
        of the day.

    Failing example:
        40 A for an hour from 70 Ah, of which 25.2 Ah may be lost.

    Passing example:
        20 A for an hour.

    Source:
        Charge is current times time, definition; what a battery may lose and the hour are common practice, no source.
    """
    calc, settings = context.electrics.calc, context.settings
    limit = usable_as(calc, context.proposal.vehicle, settings.standby)
    asked = {mode: (time_s, taken) for mode, time_s, taken in drains(calc, context.proposal, context.rollup)}
    for mode in context.proposal.modes:
        place = f"modes.{mode}"
        if mode not in asked:
            yield not_applicable(place)
            continue
        time_s, taken = asked[mode]
        over = exceeds(taken, limit)
        if over is None:
            yield undecided(place, taken, limit, "As", mode=mode, time=text(time_s, "time"))
        elif over:
            yield failed(place, taken, limit, "As", mode=mode, time=text(time_s, "time"))
        else:
            yield passed(place, taken, limit, "As")


RULE = Rule(
    name="battery.drained",
    severity="error",
    failed="{mode} takes {measured} of the battery in {time} with the engine off, and {limit} may be lost",
    undecided="{mode} takes {measured} of the battery in {time} with the engine off, and {limit} may be lost: whether"
    " the engine starts then is unknown",
    remedy="Switch loads off in {mode}, let it last for less, or choose a larger battery.",
    ask=ask,
)
