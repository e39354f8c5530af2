"""Losses of a driver while a load is on, and how much of one that soon ends counts."""

from bomtui.engine.calc import formula


@formula(
    "power_w * min(1, max((on_time_s / thermal_time_s) ** 0.5, time_share_ratio))",
    "W",
    "a chip on its board warms up about with the square root of time, and never less than by the mean of short pulses"
    " (common practice, no source)",
)
def lasting_w(power_w: float, on_time_s: float, thermal_time_s: float, time_share_ratio: float) -> float:
    """Heat that, if it lasted, would give the rise that a shorter one reaches.

    Short pulses that come again and again, as those of an injector, heat at least by their mean.

    Args:
        power_w: Heat while on [W].
        on_time_s: Longest uninterrupted on-time [s].
        thermal_time_s: On-time from which the rise is that of steady heat [s].
        time_share_ratio: Share of its heat by which it heats again and again.

    Source: common practice, no source.
    """
    share: float = (on_time_s / thermal_time_s) ** 0.5
    return power_w * min(1.0, max(share, time_share_ratio))


@formula(
    "time_share_ratio * min(1, (mode_time_s / thermal_time_s) ** 0.5)",
    "",
    "pulses that come again and again heat by their mean, and only as long as the mode lasts (common practice, no"
    " source)",
)
def repeated_ratio(time_share_ratio: float, mode_time_s: float, thermal_time_s: float) -> float:
    """Share of its heat while on by which a load that is on again and again heats, in a mode that soon ends.

    Args:
        time_share_ratio: Share of the mode's time in which it is on.
        mode_time_s: How long the mode lasts at a stretch [s].
        thermal_time_s: Time from which the rise is that of steady heat [s].

    Source: common practice, no source.
    """
    short: float = (mode_time_s / thermal_time_s) ** 0.5
    return time_share_ratio * min(1.0, short)


@formula("power_w * mean_ratio", "W", "mean over the mode (definition)")
def mean_loss_w(power_w: float, mean_ratio: float) -> float:
    """Mean over a mode of a loss that is there while a load is on.

    Args:
        power_w: Loss while the load is fully on [W].
        mean_ratio: Share of the mode by which its current counts in the mean.

    Source: definition.
    """
    return power_w * mean_ratio


@formula("saturation_v * current_a", "W", "P = V I")
def saturation_w(saturation_v: float, current_a: float) -> float:
    """Heat of a bipolar switch while it conducts, as if its current were at its end all the time (an upper bound).

    Args:
        saturation_v: Voltage across the switch [V].
        current_a: Current at the end of the dwell [A].

    Source: P = V I.
    """
    return saturation_v * current_a


@formula("max(supply_v - string_v, 0) * string_a * duty_ratio", "W", "power balance of a linear LED driver")
def linear_string_w(supply_v: float, string_v: float, string_a: float, duty_ratio: float) -> float:
    """Heat of a linear driver of one LED string.

    Args:
        supply_v: Supply voltage [V].
        string_v: Voltage of the string [V].
        string_a: Its current [A].
        duty_ratio: PWM duty.

    Source: power balance.
    """
    return max(supply_v - string_v, 0.0) * string_a * duty_ratio


@formula(
    "string_v * string_a * (1 / efficiency_ratio - 1) * duty_ratio",
    "W",
    "power balance of a converter (definition of efficiency)",
)
def switched_string_w(string_v: float, string_a: float, efficiency_ratio: float, duty_ratio: float) -> float:
    """Heat of a switching driver of one LED string.

    Args:
        string_v: Voltage of the string [V].
        string_a: Its current [A].
        efficiency_ratio: Output power over input power, above 0.
        duty_ratio: PWM duty.

    Source: definition of efficiency.
    """
    return string_v * string_a * (1 / efficiency_ratio - 1) * duty_ratio


@formula(
    "channel_power_w * programme_ratio * (1 / efficiency_ratio - 1)",
    "W",
    "power balance of an amplifier (definition of efficiency) at programme power (common practice, no source)",
)
def amplifier_w(channel_power_w: float, programme_ratio: float, efficiency_ratio: float) -> float:
    """Heat of one channel of an amplifier that plays speech and music.

    Args:
        channel_power_w: Largest output power of the channel [W].
        programme_ratio: Mean of speech and music over that power.
        efficiency_ratio: Output power over input power, above 0.

    Source: definition of efficiency; the share of the mean is common practice, no source.
    """
    return channel_power_w * programme_ratio * (1 / efficiency_ratio - 1)
