"""Every rule, in the order in which people read them."""

from bomtui.rules import (
    channel_missing,
    channel_short,
    channel_twice,
    data_missing,
    drive_side,
    exclusive_overlap,
    grade_low,
    maker_unapproved,
    package_refused,
    part_absent,
    part_forbidden,
    pins_short,
    rail_missing,
    safety_capability,
    standin_device,
    together_apart,
)
from bomtui.rules.context import Rule

RULES: tuple[Rule, ...] = (
    channel_missing.RULE,
    channel_short.RULE,
    channel_twice.RULE,
    drive_side.RULE,
    pins_short.RULE,
    rail_missing.RULE,
    standin_device.RULE,
    safety_capability.RULE,
    exclusive_overlap.RULE,
    together_apart.RULE,
    part_forbidden.RULE,
    part_absent.RULE,
    maker_unapproved.RULE,
    grade_low.RULE,
    package_refused.RULE,
    data_missing.RULE,
)
