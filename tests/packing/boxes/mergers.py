"""Merging of modules of the samples, each tried once for all tests."""

from functools import cache

from bomtui.packing.boxes.merging import Apart, Merger, United
from bomtui.packing.kept import Keep
from tests.packing.sample_offers import computed, reviewed


@cache
def merger(vehicle: str, variant: str = "distributed", keep: Keep = "warnings") -> Merger:
    """What tries sets of modules of a committed variant."""
    return Merger(computed(vehicle, variant), reviewed(vehicle, variant), {}, keep)


@cache
def united(vehicle: str, modules: tuple[str, ...], keep: Keep = "warnings", variant: str = "distributed") -> United:
    """Modules that become one with a saving."""
    found = merger(vehicle, variant, keep).united(modules)
    assert isinstance(found, United), found.reason
    return found


@cache
def apart(vehicle: str, modules: tuple[str, ...], keep: Keep = "warnings", variant: str = "distributed") -> Apart:
    """Modules that do not become one."""
    found = merger(vehicle, variant, keep).united(modules)
    assert isinstance(found, Apart)
    return found
