"""The supply range of a mode, with what is known of it."""

from bomtui.model.bound import Value, at_least, at_most
from bomtui.model.vehicle import Mode


def supply_high_v(mode: Mode) -> Value:
    """Return the highest supply voltage of a mode [V]; where it is not given, at least the usual one."""
    if mode.supply_high_v is not None or mode.supply_nominal_v is None:
        return mode.supply_high_v
    return at_least(mode.supply_nominal_v, frozenset(("highest supply voltage of the mode",)))


def supply_low_v(mode: Mode) -> Value:
    """Return the lowest supply voltage of a mode [V]; where it is not given, at most the usual one."""
    if mode.supply_low_v is not None or mode.supply_nominal_v is None:
        return mode.supply_low_v
    return at_most(mode.supply_nominal_v, frozenset(("lowest supply voltage of the mode",)))
