"""Every rule, in the order in which people read them."""

from bomtui.rules import (
    channel_missing,
    channel_short,
    channel_twice,
    current_channel,
    current_regulation,
    data_missing,
    diagnosis_seen,
    drive_side,
    parallel_channels,
    pins_short,
    pwm_frequency,
    rail_missing,
    safety_capability,
    stage_missing,
    standin_device,
    string_voltage,
    supply_net,
)
from bomtui.rules.context import Rule

RULES: tuple[Rule, ...] = (
    channel_missing.RULE,
    channel_short.RULE,
    channel_twice.RULE,
    drive_side.RULE,
    supply_net.RULE,
    current_channel.RULE,
    stage_missing.RULE,
    pwm_frequency.RULE,
    current_regulation.RULE,
    string_voltage.RULE,
    parallel_channels.RULE,
    diagnosis_seen.RULE,
    pins_short.RULE,
    rail_missing.RULE,
    standin_device.RULE,
    safety_capability.RULE,
    data_missing.RULE,
)
