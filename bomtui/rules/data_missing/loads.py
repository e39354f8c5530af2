"""Values of loads that figures read."""

from collections.abc import Iterator

from bomtui.model.finding import Verdict
from bomtui.model.ids import natural_key
from bomtui.model.load import Load
from bomtui.rules.context import Context
from bomtui.rules.data_missing.values import CURRENTS, HEAT, STANDBY, WIRES, fact, value
from bomtui.rules.wording import listed

UNPLACED = "channels, pins, wires and cost of the variant"


def load_values(context: Context) -> Iterator[Verdict]:
    """Ask for what the figures read of every load."""
    for load_id in sorted(context.loads, key=natural_key):
        load = context.loads[load_id]
        placed = load_id in context.serving.module_of
        if placed:
            yield value(Load, "zone", load_id, WIRES, present=bool(load.zone))
        yield _place(context, load_id, placed=placed)
        yield fact(
            f"{load_id}.test_current",
            "neither the current at the test voltage nor power and voltage of a rating are given",
            CURRENTS,
            present=load.test_current_a is not None or _is_rated(load),
        )
        yield _time_share(context, load_id, load)
        peak = _used_awake(context, load)
        if peak is not False or load.peak_current_a is not None:
            needed_missing = None if peak is None else False
            present = True if load.peak_current_a is not None else needed_missing
            yield value(Load, "peak_current_a", load_id, "the largest supply currents", present=present)
        if placed:
            yield from _sleep_share(context, load_id, load)
            if is_pulsed(context, load) and not context.variant.placements[load_id].stage:
                present = load.pwm_frequency_hz is not None
                yield value(Load, "pwm_frequency_hz", load_id, HEAT, present=present)


def is_pulsed(context: Context, load: Load) -> bool:
    """Tell whether a load is under PWM in a mode in which the electronics are awake and it may be on."""
    return any(
        mode.electronics != "asleep"
        and load.pwm_duty_ratio.get(mode_id, 1) < 1
        and load.time_share_ratio.get(mode_id) != 0
        for mode_id, mode in context.proposal.modes.items()
    )


def _place(context: Context, load_id: str, *, placed: bool) -> Verdict:
    missing = f"no module of {context.variant_id} serves it"
    verdict = fact(load_id, missing, UNPLACED, present=placed)
    if placed:
        return verdict
    # A load without a place is work left undone, not a number that somebody still has to ask for.
    return Verdict(place=load_id, outcome="failed", severity="error", facts=verdict.facts)


def _is_rated(load: Load) -> bool:
    return load.rated_power_w is not None and load.rated_voltage_v is not None


def _time_share(context: Context, load_id: str, load: Load) -> Verdict:
    missing = [mode for mode in context.proposal.modes if mode not in load.time_share_ratio]
    sentence = f"the share of time in which it is on is not given in {listed(missing)}"
    return fact(f"{load_id}.time_share", sentence, CURRENTS, present=not missing)


def _used_awake(context: Context, load: Load) -> bool | None:
    """Tell whether a load is on in any mode in which the electronics are awake; None where that is not known."""
    shares = [
        load.time_share_ratio.get(mode_id)
        for mode_id, mode in context.proposal.modes.items()
        if mode.electronics != "asleep"
    ]
    if any(share is not None and share > 0 for share in shares):
        return True
    return None if None in shares else False


def _sleep_share(context: Context, load_id: str, load: Load) -> Iterator[Verdict]:
    parked = context.proposal.vehicle.parked_mode
    share = load.time_share_ratio.get(parked)
    if load.sleep_share_ratio is not None:
        yield value(Load, "sleep_share_ratio", load_id, STANDBY, present=True)
    elif share is None and parked:
        yield value(Load, "sleep_share_ratio", load_id, STANDBY, present=None)
    elif share is not None and share > 0:
        yield value(Load, "sleep_share_ratio", load_id, STANDBY, present=False)
