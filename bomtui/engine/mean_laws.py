"""How the current of a load counts in the mean over a mode: by time share, PWM duty, and the law of its kind."""

from collections.abc import Callable, Mapping, Sequence
from typing import NamedTuple

from bomtui.engine.calc import formula
from bomtui.model.load import Load


@formula("time_share_ratio * duty_ratio", "", "mean over the mode (definition)")
def mean_on_ratio(time_share_ratio: float, duty_ratio: float) -> float:
    """Share of a mode in which a switched and dimmed load carries current.

    Args:
        time_share_ratio: Share of the mode's time in which it is on.
        duty_ratio: PWM duty while on; 1 where it is switched only.

    Source: definition.
    """
    return time_share_ratio * duty_ratio


@formula(
    "time_share_ratio * duty_ratio ** 0.775",
    "",
    "dimmed filament: R ~ V^0.45 with V_rms = V D^0.5, so the mean current goes with D^0.775 (derivation)",
)
def filament_mean_ratio(time_share_ratio: float, duty_ratio: float) -> float:
    """Share of a mode by which the steady current of a dimmed filament counts in its mean.

    Args:
        time_share_ratio: Share of the mode's time in which it is on.
        duty_ratio: PWM duty while on.

    Source: derivation from the handbook exponent 0.55 of current, consistent with P ~ V^1.55.
    """
    dimmed: float = duty_ratio**0.775
    return time_share_ratio * dimmed


@formula(
    "time_share_ratio * duty_ratio ** 0.55",
    "",
    "dimmed filament: on-current goes with D^-0.225, so the mean of its square goes with D^0.55 (derivation)",
)
def filament_square_ratio(time_share_ratio: float, duty_ratio: float) -> float:
    """Share of a mode by which the square of the steady current of a dimmed filament counts in its mean.

    Args:
        time_share_ratio: Share of the mode's time in which it is on.
        duty_ratio: PWM duty while on.

    Source: derivation from the handbook exponent 0.55 of current.
    """
    dimmed: float = duty_ratio**0.55
    return time_share_ratio * dimmed


@formula(
    "on_current_a * duty_ratio ** -0.225",
    "A",
    "dimmed filament: R ~ V^0.45 with V_rms = V D^0.5, so that it is colder and draws more while on (derivation)",
)
def filament_on_current_a(on_current_a: float, duty_ratio: float) -> float:
    """Current of a dimmed filament inside the on-time of a PWM period.

    Args:
        on_current_a: Steady current [A] of the lamp fully on at the same supply.
        duty_ratio: PWM duty, above 0.

    Source: derivation from the handbook exponent 0.55 of current.
    """
    colder: float = duty_ratio**-0.225
    return on_current_a * colder


@formula(
    "time_share_ratio * duty_ratio ** 2.5",
    "",
    "fan under PWM: its power goes with the cube of the speed, its input with about D^2.5 (common practice)",
)
def fan_mean_ratio(time_share_ratio: float, duty_ratio: float) -> float:
    """Share of a mode by which the full current of a fan under PWM counts in its mean.

    Args:
        time_share_ratio: Share of the mode's time in which it runs.
        duty_ratio: PWM duty while it runs.

    Source: affinity law P ~ n^3 with the losses of a small motor, common practice.
    """
    slower: float = duty_ratio**2.5
    return time_share_ratio * slower


@formula(
    "time_share_ratio * duty_ratio / 2", "", "current of a coil ramps up in its dwell: half its end value in the mean"
)
def ramp_mean_ratio(time_share_ratio: float, duty_ratio: float) -> float:
    """Share of a mode by which the current at the end of an ignition coil's dwell counts in its mean.

    Args:
        time_share_ratio: Share of the mode's time in which the dwell lasts.
        duty_ratio: PWM duty while on; 1 where it is switched only.

    Source: mean of a straight ramp from 0 (definition); the real ramp bends down, which is less than 10 % here.
    """
    return time_share_ratio * duty_ratio / 2


@formula("time_share_ratio * duty_ratio / 3", "", "mean square of a straight ramp from 0 (definition)")
def ramp_square_ratio(time_share_ratio: float, duty_ratio: float) -> float:
    """Share of a mode by which the square of the current at the end of an ignition coil's dwell counts in its mean.

    Args:
        time_share_ratio: Share of the mode's time in which the dwell lasts.
        duty_ratio: PWM duty while on; 1 where it is switched only.

    Source: mean square of a straight ramp from 0 (definition).
    """
    return time_share_ratio * duty_ratio / 3


class MeanLaws(NamedTuple):
    """Laws of the mean of a load's current and of its square, over time share and duty."""

    mean: Callable[[float, float], float]
    square: Callable[[float, float], float]


DIMMED_FILAMENT = MeanLaws(mean=filament_mean_ratio, square=filament_square_ratio)
SLOWED_FAN = MeanLaws(mean=fan_mean_ratio, square=mean_on_ratio)
"""Its current while the switch is on is taken as the full one: an upper bound for the heat of the switch."""
RAMPED_COIL = MeanLaws(mean=ramp_mean_ratio, square=ramp_square_ratio)


def law_of(load: Load) -> MeanLaws | None:
    """Return the law of a load whose mean does not simply go with time share and duty; None for all others."""
    if load.kind == "coil" and load.drive == "IGN":
        return RAMPED_COIL
    if load.pwm_duty_ratio and load.behaviour == "filament":
        return DIMMED_FILAMENT
    if load.pwm_duty_ratio and load.kind == "fan":
        return SLOWED_FAN
    return None


def rows_by_law(loads: Sequence[Load]) -> Mapping[MeanLaws, list[int]]:
    """Return the rows of the loads that have a law of their own, by law."""
    rows: dict[MeanLaws, list[int]] = {}
    for row, load in enumerate(loads):
        law = law_of(load)
        if law is not None:
            rows.setdefault(law, []).append(row)
    return rows
