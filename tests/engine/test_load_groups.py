"""Loads that are never, or always, on together, in the largest currents; every number worked by hand."""

import math
from decimal import Decimal
from typing import Any

import msgspec
import pytest

from bomtui.engine.calc import PLAIN
from bomtui.engine.load_groups import exclusive_share
from bomtui.engine.rollup import rollup
from bomtui.model.bound import Range, Value
from bomtui.model.load import Load
from bomtui.model.proposal import Info, Proposal, Snapshot
from bomtui.model.rollup import ModeCurrent
from bomtui.model.variant import Module, Placement, Variant
from bomtui.model.vehicle import Mode, Subsystem, Vehicle

RUN = "RUN"


def load(current_a: float | None, peak_a: float | None, share: float | None = 0.25, **fields: Any) -> Load:  # noqa: ANN401 - any field
    """A load whose current does not follow the voltage."""
    return Load(
        subsystem="S",
        drive="RF",
        behaviour="constant_current",
        test_current_a=current_a,
        peak_current_a=peak_a,
        time_share_ratio={} if share is None else {RUN: share},
        **fields,
    )


def currents(loads: dict[str, Load], modules: dict[str, str]) -> dict[str, ModeCurrent]:
    """Currents of the vehicle and of each module; `modules` names the module of each load."""
    proposal = Proposal(
        proposal=Info(name="groups"),
        vehicle=Vehicle(supply="12 V", test_voltage_v=12.0),
        modes={RUN: Mode(supply_low_v=12.0, supply_nominal_v=12.0, supply_high_v=12.0)},
        subsystems={"S": Subsystem()},
        loads=loads,
        variants={
            "one": Variant(
                modules={module: Module() for module in modules.values()},
                placements={load_id: Placement(on=(module,)) for load_id, module in modules.items()},
            )
        },
    )
    found = rollup(Snapshot(proposal=proposal, parts={}), "one").result
    return {"vehicle": found.modes[0], **{key: module.modes[0] for key, module in found.modules.items()}}


def figures(mode: ModeCurrent) -> tuple[Value, Value, Value]:
    """On-current, inrush and largest supply current."""
    return mode.on_current_a, mode.inrush_a, mode.supply_current_a.max


def test_without_groups() -> None:
    """5 A and 3 A are on; the larger inrush is 10 - 3 = 7 A: 15 A together."""
    found = currents({"A": load(5, 6), "B": load(3, 10)}, {"A": "M", "B": "M"})
    assert figures(found["M"]) == figures(found["vehicle"]) == (8, 7, 15)


def test_an_exclusive_group_counts_its_largest() -> None:
    """5 A or 3 A is on, never both: 5 A. If the 3 A load starts, it takes 10 A in place of the 5 A: 5 A on top."""
    loads = {"A": load(5, 6, exclusive_group="X"), "B": load(3, 10, exclusive_group="X"), "C": load(2, 4)}
    found = currents(loads, {"A": "M", "B": "M", "C": "M"})
    assert figures(found["M"]) == figures(found["vehicle"]) == (7, 5, 12)


def test_means_know_no_groups() -> None:
    """The mean of an exclusive group is that of its loads: 0.25 * (5 + 3) = 2 A."""
    loads = {"A": load(5, 6, exclusive_group="X"), "B": load(3, 10, exclusive_group="X")}
    found = currents(loads, {"A": "M", "B": "M"})
    assert found["vehicle"].loads_a == found["vehicle"].supply_current_a.typ == 2


def test_a_group_across_modules() -> None:
    """Each module must carry its own load, 5 A and 3 A; the vehicle carries one of them, 5 A, and not 8 A.

    Modules: 5 + (6 - 5) and 3 + (10 - 3). Vehicle: 5 A on and at most max(6 - 5, 10 - 5) = 5 A on top.
    """
    loads = {"A": load(5, 6, exclusive_group="X"), "B": load(3, 10, exclusive_group="X")}
    found = currents(loads, {"A": "M", "B": "N"})
    assert figures(found["M"]) == (5, 1, 6)
    assert figures(found["N"]) == (3, 7, 10)
    assert figures(found["vehicle"]) == (5, 5, 10)


def test_a_group_with_a_load_that_no_module_serves() -> None:
    """A load without a module takes part in its group: of 5 A in M and 8 A nowhere 8 A are on."""
    loads = {"A": load(5, 5, exclusive_group="X"), "B": load(8, 8, exclusive_group="X")}
    assert figures(currents(loads, {"A": "M"})["vehicle"]) == (8, 0, 8)


def test_a_together_group_starts_at_once() -> None:
    """Two loads of 4 A peak and 1 A on start together: 6 A on top, more than the 5 A of the third load."""
    loads = {"A": load(1, 4, together_group="T"), "B": load(1, 4, together_group="T"), "C": load(2, 7)}
    found = currents(loads, {"A": "M", "B": "N", "C": "M"})
    assert figures(found["M"]) == (3, 5, 8)
    assert figures(found["N"]) == (1, 3, 4)
    assert figures(found["vehicle"]) == (4, 6, 10)


def test_joined_loads_are_one_member_of_their_exclusive_group() -> None:
    """2 + 2 A joined, or 3 A: 4 A are on; starting, the pair takes 5 + 5 = 10 A and the other 9 A: 6 A on top."""
    pair: dict[str, Any] = {"exclusive_group": "X", "together_group": "T"}
    loads = {"A": load(2, 5, **pair), "B": load(2, 5, **pair), "C": load(3, 9, exclusive_group="X")}
    assert figures(currents(loads, dict.fromkeys(loads, "M"))["M"]) == (4, 6, 10)


def test_a_together_group_in_two_exclusive_groups() -> None:
    """Each exclusive group counts its own largest, 3 A and 4 A: an upper bound, for A with D cannot be.

    Starting together, A takes 8 A in place of the 3 A of B, and D 6 A in place of its own 4 A: 5 + 2 = 7 A on top.
    """
    loads = {
        "A": load(1, 8, exclusive_group="X", together_group="T"),
        "B": load(3, 3, exclusive_group="X"),
        "C": load(2, 2, exclusive_group="Y"),
        "D": load(4, 6, exclusive_group="Y", together_group="T"),
    }
    assert figures(currents(loads, dict.fromkeys(loads, "M"))["M"]) == (7, 7, 14)


@pytest.mark.parametrize(("current_a", "share"), [(None, 0.25), (2.0, None)])
def test_an_unknown_member_keeps_a_bound(current_a: float | None, share: float | None) -> None:
    """Of a known 5 A and an unknown member at least 5 A are on, and the bound names the unknown one."""
    loads = {"A": load(5, 6, exclusive_group="X"), "B": load(current_a, 9, share, exclusive_group="X")}
    found = currents(loads, {"A": "M", "B": "M"})["M"]
    assert isinstance(found.on_current_a, Range)
    assert (found.on_current_a.low, found.on_current_a.high) == (5, math.inf)
    assert found.on_current_a.unknown == {"B"}
    assert isinstance(found.supply_current_a.max, Range)
    assert "B" in found.supply_current_a.max.unknown


def test_a_lone_unknown_member_keeps_a_bound() -> None:
    """Of a group of one load, of which nothing is known, the current is no number."""
    found = currents({"A": load(None, None, exclusive_group="X")}, {"A": "M"})["M"]
    assert isinstance(found.on_current_a, Range)
    assert found.on_current_a.unknown == {"A"}


def test_a_member_that_is_off_takes_no_part() -> None:
    """A member that is never on in a mode neither counts nor makes the others' current unknown."""
    loads = {"A": load(5, 6, exclusive_group="X"), "B": load(None, None, 0.0, exclusive_group="X")}
    assert figures(currents(loads, {"A": "M", "B": "M"})["M"]) == (5, 1, 6)


def test_a_group_of_one_changes_nothing() -> None:
    """Groups with one load each give the figures of loads without groups."""
    plain = {"A": load(5, 6), "B": load(3, 10)}
    alone = {
        "A": msgspec.structs.replace(plain["A"], exclusive_group="X"),
        "B": msgspec.structs.replace(plain["B"], together_group="T"),
    }
    at = {"A": "M", "B": "N"}
    for place, mode in currents(plain, at).items():
        assert figures(currents(alone, at)[place]) == figures(mode)


def test_shares_of_an_exclusive_group_add_up() -> None:
    """Shares add exactly as they were written, joined loads once with their longest; missing ones are named."""
    loads = {
        "A": load(1, 1, 0.1, exclusive_group="X"),
        "B": load(1, 1, 0.2, exclusive_group="X"),
        "C": load(1, 1, 0.3, exclusive_group="X", together_group="T"),
        "D": load(1, 1, 0.7, exclusive_group="X", together_group="T"),
        "E": load(1, 1, None, exclusive_group="X"),
    }
    share, unknown = exclusive_share(PLAIN, loads, RUN)
    assert (share, unknown) == (Decimal(1), ["E"])
