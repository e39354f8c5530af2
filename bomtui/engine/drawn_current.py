"""Battery current of a load as it heats what carries it: a steady current in its place.

Of a power stage or a converter the battery side is smooth: a capacitor sits in front of it (common practice). So what
feeds a module carries the mean of such a load, and of all others the effective value. What ends soon heats less.
"""

from bomtui.engine.calc import Gate, formula
from bomtui.engine.channel_current import CONVERTED_DRIVES
from bomtui.engine.lasting import lasting
from bomtui.engine.mean_laws import law_of, mean_on_ratio
from bomtui.model.bound import Range, Value
from bomtui.model.load import Load
from bomtui.model.proposal import Proposal


@formula("current_a * heat_ratio ** 0.5", "A", "effective current by its heat (definition)")
def effective_a(current_a: float, heat_ratio: float) -> float:
    """Steady current that heats a resistance as a pulsed one does.

    Args:
        current_a: Current while on [A].
        heat_ratio: Share of its heat.

    Source: definition.
    """
    root: float = heat_ratio**0.5
    return current_a * root


@formula(
    "current_a * mean_ratio * min(1, (on_time_s / thermal_time_s) ** 0.25)",
    "A",
    "mean current in front of a capacitor; a single on-time heats by the square root of its share of the thermal time"
    " (common practice, no source)",
)
def smoothed_a(current_a: float, mean_ratio: float, on_time_s: float, thermal_time_s: float) -> float:
    """Steady current that heats as the battery current of a power stage or a converter does.

    Args:
        current_a: Battery current while on [A].
        mean_ratio: Share by which it counts in its mean.
        on_time_s: How long it goes on at a stretch [s].
        thermal_time_s: Time from which the rise is that of steady heat [s].

    Source: common practice, no source.
    """
    short: float = (on_time_s / thermal_time_s) ** 0.25
    return current_a * mean_ratio * min(1.0, short)


def drawn_a(calc: Gate, proposal: Proposal, load_id: str, mode: str, current_a: Value, *, has_stage: bool) -> Value:
    """Return the steady current that heats as the battery current of a load does in a mode [A].

    Args:
        calc: Gate.
        proposal: For the load, the mode and the thermal time.
        load_id: Id of the load.
        mode: Id of the mode; the load is, or may be, on in it.
        current_a: Its battery current while it is on.
        has_stage: Whether a power stage beside its driver carries it.
    """
    load = proposal.loads[load_id]
    duty = duty_of(calc, load, mode)
    law, whole = law_of(load), calc.given(1.0, "while it is on")
    mode_time_s, thermal_s = proposal.modes[mode].duration_s, proposal.settings.limits.thermal_time_s
    if not has_stage and load.drive not in CONVERTED_DRIVES:
        square = duty if law is None else calc(law.square, time_share_ratio=whole, duty_ratio=duty)
        heat = lasting(calc, square, load_id, load, mode, mode_time_s, thermal_s)
        return calc(effective_a, current_a=current_a, heat_ratio=heat)
    share = whole
    if load.on_time_max_s is not None:
        given = load.time_share_ratio.get(mode)
        share = Range(0.0, 1.0, frozenset((f"time share of {load_id} in {mode}",))) if given is None else given
    mean = calc(mean_on_ratio if law is None else law.mean, time_share_ratio=share, duty_ratio=duty)
    return calc(
        smoothed_a,
        current_a=current_a,
        mean_ratio=mean,
        on_time_s=thermal_s if mode_time_s is None else mode_time_s,
        thermal_time_s=thermal_s,
    )


def duty_of(calc: Gate, load: Load, mode: str) -> Value:
    """Return the PWM duty of a load in a mode; fully on where it has none at all."""
    if not load.pwm_duty_ratio:
        whole: Value = calc.given(1.0, "no PWM duty given: fully on")
        return whole
    duty = load.pwm_duty_ratio.get(mode)
    return Range(0.0, 1.0, frozenset(("PWM duty",))) if duty is None else duty
