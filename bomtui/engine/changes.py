"""What differs between two mappings of shared records."""

from collections.abc import Mapping
from itertools import compress
from operator import is_not


def changed_keys(now: Mapping[str, object], then: Mapping[str, object]) -> set[str]:
    """Return the keys whose value is not the very same object in both mappings, or that one of them lacks."""
    if now is then:
        return set()
    if list(now) == list(then):
        return set(compress(now, map(is_not, now.values(), then.values())))
    return set(compress(now, map(is_not, now.values(), map(then.get, now)))) | (then.keys() - now.keys())
