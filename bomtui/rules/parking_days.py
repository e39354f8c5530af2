"""Vehicles that do not start any more after they were parked."""

from collections.abc import Iterator

from bomtui.engine.parking import parked_in_the_cold
from bomtui.model.bound import exceeds
from bomtui.model.finding import Verdict
from bomtui.rules.context import Context, Rule, failed, passed, undecided

VEHICLE = "vehicle"


def ask(context: Context) -> Iterator[Verdict]:
    """The parked vehicle is not able to start for as long as it should be.

    What it asks:
        For the vehicle: does its battery, aged, with its self-discharge and with what is left of its capacity in the
        cold (settings), keep it able to start for a time by setting, at the largest standby currents of all modules,
        loads and everything else? It cannot tell where a standby current, that of everything else or the battery is not
        given.

    Why it matters:
        A vehicle stands for weeks on a ship, at a dealer's or over a winter. That it lasts with a new battery in the
        warm helps nobody.

    Failing example:
        70 Ah and 15 mA: 56 days in the warm, 33 in the cold.

    Passing example:
        70 Ah and 9 mA: 81 days in the warm, 49 in the cold.

    Source:
        Common practice, no source: 42 days, 90 % ageing; 60 % of the capacity at -18 degC is a value from memory.
    """
    limit = context.settings.limits.parking_s
    standby = context.rollup.standby_a.max
    lasts = parked_in_the_cold(context.electrics.calc, standby, context.proposal.vehicle, context.settings)
    short = exceeds(limit, lasts)
    if short is None:
        yield undecided(VEHICLE, lasts, limit, "s")
    elif short:
        yield failed(VEHICLE, lasts, limit, "s")
    else:
        yield passed(VEHICLE, lasts, limit, "s")


RULE = Rule(
    name="parking.days",
    severity="error",
    failed="parked in the cold the vehicle stays able to start for {measured}, {limit} are wanted",
    undecided="parked in the cold the vehicle stays able to start for {measured}, {limit} are wanted: whether it does"
    " is"
    " unknown",
    remedy="Lower the standby current of the modules that draw most of it, or choose a larger battery.",
    ask=ask,
)
