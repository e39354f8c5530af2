"""Standby current of a module and the days that a parked vehicle lasts."""

from decimal import Decimal
from math import inf

import pytest

from bomtui.engine.battery import days_parked
from bomtui.engine.calc import PLAIN
from bomtui.engine.standby import loads_standby, module_standby
from bomtui.model.bound import Range
from bomtui.model.load import Load
from bomtui.model.parameter import Parameter
from bomtui.model.part import Part
from bomtui.model.settings import Standby
from bomtui.model.variant import Amount, Device, Item, Module
from bomtui.model.vehicle import Vehicle

PARTS = {
    "switch": Part(kind="high_side", standby_current_a=Parameter(typ=1e-6, max=2e-6)),
    "mcu": Part(kind="controller", standby_current_a=Parameter(typ=55e-6, max=99e-6)),
    "sbc": Part(kind="sbc", standby_current_a=Parameter(typ=28e-6)),
    "fet": Part(kind="fet"),
    "dark": Part(kind="high_side"),
}


def _module(*keys: str, keep_alive: bool = False) -> Module:
    return Module(keep_alive=keep_alive, devices={f"U{row}": Device(part=key) for row, key in enumerate(keys, 1)})


@pytest.mark.parametrize(
    ("keep_alive", "worst", "current_a"),
    [(False, False, 29e-6), (True, False, 84e-6), (False, True, 30e-6), (True, True, 129e-6)],
)
def test_controllers_count_only_where_the_module_is_kept_alive(keep_alive: bool, worst: bool, current_a: float) -> None:
    """Drivers and system-basis chips always count, controllers in a module kept alive, FETs never."""
    module = _module("switch", "mcu", "sbc", "fet", keep_alive=keep_alive)
    assert module_standby(PLAIN, "M", module, PARTS, Standby(), worst=worst) == pytest.approx(current_a)


def test_what_the_ignition_feeds_draws_nothing_while_parked() -> None:
    """A device on terminal 15 counts as nothing, even one of which nobody knows what it draws."""
    module = _module("switch", "sbc")
    for key in ("sbc", "dark", "ghost"):
        module.devices[f"X{key}"] = Device(part=key, terminal="15")
    assert module_standby(PLAIN, "M", module, PARTS, Standby(), worst=False) == pytest.approx(29e-6)


@pytest.mark.parametrize("key", ["dark", "ghost"])
def test_an_unknown_standby_current_is_a_bound(key: str) -> None:
    """A part whose standby current, or data as a whole, nobody has makes the sum a lower bound that names it."""
    name = "M.U2 parts.ghost" if key == "ghost" else "M.U2 standby_current"
    found = module_standby(PLAIN, "M", _module("switch", key), PARTS, Standby(), worst=False)
    assert found == Range(1e-6, inf, frozenset({name}))


def test_a_chip_without_a_reference_is_unknown() -> None:
    """A drawing part that is only counted has no known state while parked."""
    module = Module(items={"switch": Item(quantity=Amount(quantity=Decimal(2)))})
    assert module_standby(PLAIN, "M", module, PARTS, Standby(), worst=False) == Range(
        0.0, inf, frozenset({"M items.switch"})
    )


def test_parked_loads_count_by_share_and_sleep_share() -> None:
    """Contacts of 50 mA pulsed at 1 % draw 0.5 mA; a load that is off draws nothing; no share is unknown."""
    contacts = Load(subsystem="S", time_share_ratio={"PARK": 1.0}, sleep_share_ratio=0.01)
    off = Load(subsystem="S", time_share_ratio={"PARK": 0.0})
    open_end = Load(subsystem="S", time_share_ratio={"PARK": 1.0})
    assert loads_standby(PLAIN, ["B", "O"], [contacts, off], [0.05, None], "PARK") == pytest.approx(5e-4)
    assert loads_standby(PLAIN, ["X"], [open_end], [0.1], "PARK") == Range(0.0, inf, frozenset({"loads.X"}))


# Common practice, no source; worked by hand: 70 Ah, 9.2 mA, 4 % a month leave 25.2 Ah and 80.2 days.
@pytest.mark.parametrize(
    ("capacity_ah", "standby_a", "other_a", "days"),
    [(70.0, 0.0092, 0.0, 80.2), (100.0, 0.0009637, 0.006, 119.8), (100.0, 0.0009992, 0.006, 119.5)],
)
def test_days_parked(capacity_ah: float, standby_a: float, other_a: float, days: float) -> None:
    """Usable charge over standby, other standby and self-discharge."""
    vehicle = Vehicle(battery_capacity_as=capacity_ah * 3600, other_standby_a=other_a)
    assert days_parked(PLAIN, standby_a, vehicle, Standby()) == pytest.approx(days, abs=0.05)


def test_an_unknown_standby_leaves_at_most_so_many_days() -> None:
    """At least 49 uA of standby makes a largest number of days, not a smallest one."""
    vehicle = Vehicle(battery_capacity_as=252_000.0, other_standby_a=0.0)
    found = days_parked(PLAIN, Range(49e-6, inf, frozenset({"U2"})), vehicle, Standby())
    known = days_parked(PLAIN, 49e-6, vehicle, Standby())
    assert isinstance(found, Range)
    assert (found.low, found.high, found.unknown) == (0.0, known, frozenset({"U2"}))
