"""What differs between two mappings of shared records."""

from collections.abc import Mapping, Sequence
from itertools import compress
from operator import attrgetter, is_, is_not

from bomtui.model.vehicle import Vehicle

_ELECTRICAL = attrgetter(
    "supply",
    "test_voltage_v",
    "battery_capacity_as",
    "other_standby_a",
    "battery_zone",
    "gateway_zone",
    "parked_mode",
)


def changed_keys(now: Mapping[str, object], then: Mapping[str, object]) -> set[str]:
    """Return the keys whose value is not the very same object in both mappings, or that one of them lacks."""
    if now is then:
        return set()
    if list(now) == list(then):
        return set(compress(now, map(is_not, now.values(), then.values())))
    return set(compress(now, map(is_not, now.values(), map(then.get, now)))) | (then.keys() - now.keys())


def electrical(vehicle: Vehicle) -> tuple[object, ...]:
    """Return all of a vehicle that modules and feeds can depend on: not its volume, its years and its days."""
    found: tuple[object, ...] = _ELECTRICAL(vehicle)
    return found


def are_the_same(now: Sequence[object], then: Sequence[object]) -> bool:
    """Tell whether two rows hold the very same objects."""
    return len(now) == len(then) and all(map(is_, now, then))
