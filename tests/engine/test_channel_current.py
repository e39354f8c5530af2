"""The largest current of a channel over all modes."""

from typing import Any

import pytest

from bomtui.engine.calc import PLAIN
from bomtui.engine.channel_current import ChannelCurrent, channel_current, currents_by_channel, on_currents, shares_of
from bomtui.engine.serving import serving_of
from bomtui.model.bound import Range
from bomtui.model.ids import Address
from bomtui.model.load import Load
from bomtui.model.proposal import Info, Proposal
from bomtui.model.settings import DriveHabit
from bomtui.model.variant import Module, Placement, Variant
from bomtui.model.vehicle import Mode, Vehicle

MODES = {
    "RUN": Mode(supply_low_v=12.0, supply_nominal_v=13.5, supply_high_v=15.0),
    "CRANK": Mode(supply_low_v=6.0, supply_nominal_v=8.0, supply_high_v=9.0),
}


def load(**fields: Any) -> Load:  # noqa: ANN401 - fields of a load
    """A resistive load of 2.7 A at 13.5 V that is on in every mode."""
    known: dict[str, Any] = {"test_current_a": 2.7, "time_share_ratio": {"RUN": 0.5, "CRANK": 0.1}, **fields}
    return Load(subsystem="S", **known)


def proposal(loads: dict[str, Load], modes: dict[str, Mode] | None = None) -> Proposal:
    """A vehicle with these loads and a list at 13.5 V."""
    return Proposal(
        proposal=Info(name="case"),
        vehicle=Vehicle(test_voltage_v=13.5),
        modes=MODES if modes is None else modes,
        loads=loads,
    )


def alone(own: Load, modes: dict[str, Mode] | None = None, shares: float = 1.0) -> ChannelCurrent:
    """The current of a channel with one load."""
    on = on_currents(PLAIN, {"L1": own}, proposal({"L1": own}, modes))["L1"]
    return channel_current(PLAIN, {"L1": (own, on, shares)}, 0.1)


@pytest.mark.parametrize(
    ("behaviour", "current_a", "mode"),
    [
        ("resistive", 3.0, "RUN"),  # 2.7 * 15 / 13.5
        ("constant_power", 6.075, "CRANK"),  # 2.7 * 13.5 / 6
        ("constant_current", 2.7, "RUN"),
        ("filament", 2.86109, "RUN"),  # 2.7 * (15 / 13.5) ** 0.55
    ],
)
def test_each_behaviour_at_the_worst_end_of_its_worst_mode(behaviour: str, current_a: float, mode: str) -> None:
    """What follows the voltage is worst at the highest supply, constant power at the lowest."""
    found = alone(load(behaviour=behaviour))
    assert found.current_a == pytest.approx(current_a, rel=1e-5)
    assert found.mode == mode


def test_a_mode_in_which_it_is_off_does_not_count() -> None:
    """A pump that is off while cranking is worst at the lowest supply of driving: 2.7 * 13.5 / 12."""
    own = load(behaviour="constant_power", time_share_ratio={"RUN": 1.0, "CRANK": 0.0})
    found = alone(own)
    assert found.current_a == pytest.approx(3.0375)
    assert found.mode == "RUN"


def test_a_load_that_is_never_on_draws_nothing() -> None:
    """Off in every mode is 0 A, and no mode stands out."""
    assert alone(load(time_share_ratio={"RUN": 0.0, "CRANK": 0.0})) == ChannelCurrent(0.0, "")


def test_an_unknown_time_share_counts_up_to_the_on_current() -> None:
    """Where nothing says whether it is on in a mode, it may be: up to 6.075 A here, at least 3.0375 A in the other."""
    found = alone(load(behaviour="constant_power", time_share_ratio={"RUN": 1.0})).current_a
    assert isinstance(found, Range)
    assert found.low == pytest.approx(3.0375)
    assert found.high == pytest.approx(6.075)
    assert found.unknown == {"time share of L1 in CRANK"}


@pytest.mark.parametrize(
    "own",
    [load(test_current_a=None), load(drive="LEDB"), load(drive="INJD", driven_current_a=None)],
)
def test_an_unknown_current_is_unknown(own: Load) -> None:
    """Without a current of the list, or of the string behind a converter, nothing is known, never 0."""
    assert alone(own) == ChannelCurrent(None, "")


def test_without_a_mode_nothing_is_known() -> None:
    """A vehicle without modes says nothing of what is ever on."""
    assert alone(load(), {}) == ChannelCurrent(None, "")


def test_behind_a_converter_the_string_s_current_counts() -> None:
    """An LED driver's channel carries the current of the string at any supply."""
    assert alone(load(drive="LEDB", driven_current_a=0.35)).current_a == 0.35


def test_channels_in_parallel_share() -> None:
    """Two channels carry half each, and one a tenth more; a drive code that needs two anyway shares nothing by that."""
    assert alone(load(), shares=2.0).current_a == pytest.approx(1.65)
    assert shares_of(DriveHabit(channels=1), "parallel", 2) == 2.0
    assert shares_of(DriveHabit(channels=2), "parallel", 4) == 2.0
    assert shares_of(DriveHabit(channels=2), None, 2) == 1.0
    assert shares_of(DriveHabit(), "parallel", 2) == 1.0


@pytest.mark.parametrize(("group", "expected_a"), [("", 4.0), ("X", 3.0)])
def test_loads_on_one_channel(group: str, expected_a: float) -> None:
    """Loads of a channel add up, 3 A and 1 A at 15 V; of loads that are never on together the larger counts."""
    loads = {"L1": load(exclusive_group=group), "L2": load(test_current_a=0.9, exclusive_group=group)}
    placement = Placement(on=("M.U1.1",), joined="shared")
    variant = Variant(modules={"M": Module()}, placements={"L1": placement, "L2": placement})
    served = serving_of(variant, loads).per_module["M"]
    found = currents_by_channel(PLAIN, served, loads, proposal(loads))
    assert list(found) == [Address("M", "U1", 1)]
    assert found[Address("M", "U1", 1)].current_a == pytest.approx(expected_a)
