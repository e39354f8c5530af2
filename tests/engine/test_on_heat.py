"""Junctions with loads on: single causes, and what a short on-time and a small share do."""

from typing import Any

import pytest

from bomtui.engine.electrics import Electrics
from bomtui.engine.on_heat import OnHeat
from bomtui.engine.on_losses import lasting_w, linear_string_w, saturation_w, switched_string_w
from bomtui.engine.serving import serving_of
from tests.rules.build import VARIANT, changed, snapshot_of

BASE = {"proposal": {"loads": {"L1": {"test_current": "3 A", "time_share": {"PARK": "0 %", "RUN": "1 %"}}}}}


def switch(change: dict[str, Any], *, worst: bool) -> OnHeat:
    """Heat of the switch of the base vehicle in RUN with a change on top of `BASE`."""
    tree = changed(BASE)
    merge(tree, change)
    snapshot = snapshot_of(tree)
    serving = serving_of(snapshot.proposal.variants[VARIANT], snapshot.proposal.loads)
    electrics = Electrics(snapshot, VARIANT, serving)
    heats = (electrics.heat_max if worst else electrics.heat_typ)["M"]["U3"]
    return next(heat for heat in heats if heat.mode == "RUN")


def merge(tree: dict[str, Any], change: dict[str, Any]) -> None:
    """Put the values of a change into a tree of tables."""
    for key, value in change.items():
        if isinstance(value, dict) and isinstance(tree.get(key), dict):
            merge(tree[key], value)
        else:
            tree[key] = value


def junction(change: dict[str, Any], *, worst: bool) -> float:
    """Its junction, which is known."""
    found = switch(change, worst=worst).junction_degc
    assert isinstance(found, float)
    return found


def test_widening_a_tolerance_moves_the_worst_corner_alone() -> None:
    """A larger greatest on-resistance makes the worst junction hotter and leaves the typical one to the last digit."""
    wider = {"parts": {"switch": {"rds_on": {"typ": "20 mohm", "max": "30 mohm"}}}}
    assert junction(wider, worst=True) > junction({}, worst=True)
    assert junction(wider, worst=False) == junction({}, worst=False)


@pytest.mark.parametrize(
    "change",
    [
        {"proposal": {"loads": {"L1": {"test_current": "3.1 A"}}}},
        {"proposal": {"loads": {"L2": {"rated_power_max": "28 W"}}}},
        {"proposal": {"zones": {"Z1": {"ambient": "66 degC"}}}},
        {"proposal": {"modes": {"RUN": {"supply_high": "15 V"}}}},
        {"parts": {"switch": {"theta_ja": "31 K/W"}}},
        {"parts": {"switch": {"rds_on": {"typ": "20 mohm", "max": "26 mohm"}}}},
        {"parts": {"switch": {"hot_rds_on": "190 %"}}},
        {"parts": {"switch": {"rise_time": {"typ": "50 us", "max": "80 us"}}}},
        {"parts": {"switch": {"supplies": {"main": {"current": {"typ": "5 mA", "max": "9 mA"}}}}}},
    ],
)
def test_no_cause_of_heat_cools(change: dict[str, Any]) -> None:
    """Whatever current, ambient, thermal resistance, tolerance or edge rises, the worst junction rises with it."""
    assert junction(change, worst=True) > junction({}, worst=True)


def test_a_share_of_one_per_cent_counts_at_the_full_current() -> None:
    """A load without a longest on-time heats the same whether it is on for a hundredth of the mode or for all of it."""
    always = {"proposal": {"loads": {"L1": {"time_share": {"RUN": "100 %"}}}}}
    assert junction(always, worst=True) == junction({}, worst=True)


def test_a_short_on_time_counts_by_the_root_of_its_share() -> None:
    """4 s of 100 s are a fifth of the rise; 10 ms that come at 14 % of the time are 14 % of it (by hand)."""
    assert lasting_w(10.0, 4.0, 100.0, 0.01) == pytest.approx(2.0)
    assert lasting_w(10.0, 0.01, 100.0, 0.14) == pytest.approx(1.4)
    assert lasting_w(10.0, 400.0, 100.0, 0.01) == 10.0


def test_drivers_that_convert() -> None:
    """A linear string takes what is left of the battery, a buck its lost share, an igniter its voltage (by hand)."""
    assert linear_string_w(14.0, 9.0, 0.1, 1.0) == pytest.approx(0.5)
    assert linear_string_w(8.0, 9.0, 0.1, 1.0) == 0.0
    assert switched_string_w(19.2, 1.2, 0.9, 1.0) == pytest.approx(2.56)
    assert saturation_w(1.6, 7.5) == pytest.approx(12.0)
