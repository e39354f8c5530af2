"""Charge that a mode without the engine takes from the battery."""

from collections.abc import Iterator

from bomtui.engine.calc import Gate, formula
from bomtui.model.bound import Value
from bomtui.model.proposal import Proposal
from bomtui.model.rollup import Rollup


@formula("current_a * time_s", "As", "charge is current times time (definition)")
def taken_as(current_a: float, time_s: float) -> float:
    """Charge that a mode takes from the battery.

    Args:
        current_a: Mean current of the vehicle [A].
        time_s: How long [s].

    Source: definition.
    """
    return current_a * time_s


def drains(calc: Gate, proposal: Proposal, rollup: Rollup) -> Iterator[tuple[str, float, Value]]:
    """Yield each mode with the engine off and the electronics awake: its id, how long it lasts, what it takes.

    Args:
        calc: Gate.
        proposal: For how long a mode lasts.
        rollup: For the mean current of the vehicle.
    """
    for current in rollup.modes:
        mode = proposal.modes[current.mode]
        if mode.engine == "off" and mode.electronics != "asleep":
            time_s = proposal.settings.limits.engine_off_time_s if mode.duration_s is None else mode.duration_s
            yield current.mode, time_s, calc(taken_as, current_a=current.supply_current_a.typ, time_s=time_s)
