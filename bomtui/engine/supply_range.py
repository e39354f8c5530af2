"""The supply range of a mode, with what is known of it."""

from bomtui.model.bound import Value, at_least, at_most
from bomtui.model.vehicle import SUPPLY_RANGES, Mode


def given_low_v(mode: Mode) -> float | None:
    """Return the lowest supply voltage of a mode [V] as it says itself, or as the range does that it names."""
    if mode.supply_low_v is not None or mode.supply_range is None:
        return mode.supply_low_v
    return SUPPLY_RANGES[mode.supply_range].low_v


def given_high_v(mode: Mode) -> float | None:
    """Return the highest supply voltage of a mode [V] as it says itself, or as the range does that it names."""
    if mode.supply_high_v is not None or mode.supply_range is None:
        return mode.supply_high_v
    return SUPPLY_RANGES[mode.supply_range].high_v


def supply_high_v(mode: Mode) -> Value:
    """Return the highest supply voltage of a mode [V]; where it is not given, at least the usual one."""
    high_v = given_high_v(mode)
    if high_v is not None or mode.supply_nominal_v is None:
        return high_v
    return at_least(mode.supply_nominal_v, frozenset(("highest supply voltage of the mode",)))


def supply_low_v(mode: Mode) -> Value:
    """Return the lowest supply voltage of a mode [V]; where it is not given, at most the usual one."""
    low_v = given_low_v(mode)
    if low_v is not None or mode.supply_nominal_v is None:
        return low_v
    return at_most(mode.supply_nominal_v, frozenset(("lowest supply voltage of the mode",)))
