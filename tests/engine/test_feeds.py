"""Feeds of small vehicles, worked by hand: what runs through them, what returns, and what would do for them."""

from itertools import pairwise
from typing import Any

import msgspec
import pytest

from bomtui.engine.calc import PLAIN
from bomtui.engine.fuse import SERIES, next_fuse
from bomtui.engine.rollup import rollup
from bomtui.engine.wire import size_of, wire_sizes
from bomtui.model.bound import Range, at_least
from bomtui.model.proposal import Snapshot
from bomtui.model.rollup import FeedMode, FeedResult, Rollup
from tests.rules.build import VARIANT, changed, computed, snapshot_of

# The base vehicle in RUN at 14.6 V (no outside source): L1 1 A x 14.6 / 13.5; L2 26.5 W / 13.5 V x (14.6 / 13.5)^0.55,
# by its heat at a PWM duty of 50 % x 0.5^0.275; switch 8 mA, ldo 20 uA and 35 mA x 5 V / (0.85 x 12.6 V).
L1_A = 14.6 / 13.5
L2_A = 26.5 / 13.5 * (14.6 / 13.5) ** 0.55
L2_HEAT_A = L2_A * 0.5**0.275
SWITCH_A = 0.008
SUPPLY_A = 20e-6 + 0.035 * 5 / (0.85 * 12.6)
TWO_FEEDS: dict[str, Any] = {"feeds": {"F2": {}}}


def vehicle(variant: dict[str, Any], **change: object) -> Rollup:
    """The rollup of the base vehicle with a changed variant, and other changes of the proposal."""
    return computed(snapshot_of(changed({"proposal": {"variants": {"V": variant}, **change}}))).result


def mode_of(feed: FeedResult) -> FeedMode:
    """The one mode in which the electronics are awake."""
    (mode,) = feed.modes
    return mode


def test_all_of_a_module_runs_through_its_only_feed() -> None:
    """Mean, largest, steady and peak current: 20 A x 14.6 / 13.5 is the peak of L2."""
    feed = vehicle({}).feeds["F1"]
    mode = mode_of(feed)
    assert mode.heating_a == pytest.approx(L1_A + L2_HEAT_A + SWITCH_A + SUPPLY_A)
    assert mode.current_a.max == pytest.approx(L1_A + L2_A * 0.5**-0.225 + SWITCH_A + SUPPLY_A)
    assert mode.peak_a == pytest.approx(L1_A + 20 * 14.6 / 13.5 + SWITCH_A + SUPPLY_A)
    assert feed.heating_a == mode.heating_a


def test_devices_divide_a_module_between_its_feeds() -> None:
    """The switch with its loads on one feed, the supply on the other; together they are what one would carry."""
    variant = {
        **TWO_FEEDS,
        "modules": {"M": {"feeds": ["F1", "F2"], "devices": {"U2": {"feed": "F1"}, "U3": {"feed": "F2"}}}},
    }
    feeds = vehicle(variant).feeds
    assert mode_of(feeds["F1"]).heating_a == pytest.approx(SUPPLY_A)
    assert mode_of(feeds["F2"]).heating_a == pytest.approx(L1_A + L2_HEAT_A + SWITCH_A)


def test_a_device_on_an_unknown_feed_may_load_each_of_them() -> None:
    """Where nothing says on which of two feeds the switch hangs, each has it as a bound, and the rest for certain."""
    variant = {**TWO_FEEDS, "modules": {"M": {"feeds": ["F1", "F2"], "devices": {"U2": {"feed": "F1"}}}}}
    feeds = vehicle(variant).feeds
    for feed_id, certain_a in (("F1", SUPPLY_A), ("F2", 0.0)):
        found = mode_of(feeds[feed_id]).heating_a
        assert isinstance(found, Range)
        assert found.low == pytest.approx(certain_a)
        assert found.high == pytest.approx(certain_a + L1_A + L2_HEAT_A + SWITCH_A)
        assert "feed of L1" in found.unknown


def test_loads_of_two_modules_on_one_feed_are_one_exclusive_group() -> None:
    """Of loads that are never on together the feed carries the largest, whichever module it is in."""
    second = {"zone": "Z1", "feeds": ["F1"], "devices": {"U1": {"part": "switch", "supply": {"main": "battery"}}}}
    variant = {"modules": {"N": second}, "placements": {"L1": {"on": ["N.U1.1"]}}}
    groups = {"loads": {"L1": {"exclusive_group": "E"}, "L2": {"exclusive_group": "E"}}}
    apart = mode_of(vehicle(variant).feeds["F1"]).heating_a
    together = mode_of(vehicle(variant, **groups).feeds["F1"]).heating_a
    assert apart == pytest.approx(L1_A + L2_HEAT_A + 2 * SWITCH_A + SUPPLY_A)
    assert together == pytest.approx(L2_HEAT_A + 2 * SWITCH_A + SUPPLY_A)


def test_a_feed_behind_a_channel_loads_the_feed_before_it() -> None:
    """What a channel of N switches on runs through the feed of N as well; its own fuse is that channel."""
    first = {"zone": "Z1", "feeds": ["F2"], "devices": {"U1": {"part": "switch", "supply": {"main": "battery"}}}}
    variant = {"feeds": {"F1": {"switch": "N.U1.1"}, "F2": {}}, "modules": {"N": first}}
    feeds = vehicle(variant).feeds
    own = mode_of(feeds["F1"]).heating_a
    assert own == pytest.approx(L1_A + L2_HEAT_A + SWITCH_A + SUPPLY_A)
    assert mode_of(feeds["F2"]).heating_a == pytest.approx(L1_A + L2_HEAT_A + 2 * SWITCH_A + SUPPLY_A)
    assert (feeds["F1"].protection_a, feeds["F1"].usable_a) == (60, 4.5)


def test_feeds_that_switch_each_other_are_unknown() -> None:
    """Nothing can be said of a current that goes round in a circle."""
    found = mode_of(vehicle({"feeds": {"F1": {"switch": "M.U3.2"}}}).feeds["F1"]).heating_a
    assert isinstance(found, Range)
    assert found == at_least(found.low, frozenset(("feed F1",)))


def test_what_returns_through_a_module() -> None:
    """Electronics and low-side loads come back to the ground point; a high-side load with one wire does not."""
    plain = vehicle({}).grounds["G1"].returned_a["RUN"]
    assert plain == pytest.approx(SWITCH_A + SUPPLY_A)
    low = vehicle({}, loads={"L1": {"drive": "LS"}})
    assert low.grounds["G1"].returned_a["RUN"] == pytest.approx(L1_A + SWITCH_A + SUPPLY_A)
    assert mode_of(low.feeds["F1"]).heating_a == pytest.approx(L2_HEAT_A + SWITCH_A + SUPPLY_A)
    wired = vehicle({}, loads={"L1": {"wire_count": "2"}})
    assert wired.grounds["G1"].returned_a["RUN"] == pytest.approx(L1_A + SWITCH_A + SUPPLY_A)


def test_a_feed_without_a_fuse_has_proposals() -> None:
    """2.8 A over 0.6763 is 4.14 A: 5 A is the smallest fuse; 1.5 mm2 carries 6.14 A as it lies, 1 mm2 only 4.75 A."""
    feed = vehicle({"feeds": {"F1": {"fuse_current": None, "wire_area": None}}}).feeds["F1"]
    assert feed.proposed_fuse_a == 5
    assert feed.proposed_area_m2 == pytest.approx(1.5e-6)
    assert feed.protection_a is feed.ampacity_a is feed.copper_kg is None


def test_copper_and_heat_of_a_wire() -> None:
    """2.5 mm2 over 0.8 m there and back: 8.89 g/cm3 make 35.56 g; the heat is I^2 x 16.78 mohm."""
    feed = vehicle({}).feeds["F1"]
    assert feed.copper_kg == pytest.approx(0.03556)
    assert feed.wire_heat_w == pytest.approx((L1_A + L2_HEAT_A + SWITCH_A + SUPPLY_A) ** 2 * 0.0167823, rel=1e-5)


def test_an_area_between_two_sizes_counts_as_the_smaller_one() -> None:
    """2 mm2 is no size of IEC 60228: its resistance is at most that of 1.5 mm2. Below 0.5 mm2 nothing is known."""
    assert size_of(PLAIN, "class 5", 2e-6) == size_of(PLAIN, "class 5", 1.5e-6)
    assert size_of(PLAIN, "class 5", 0.35e-6) is None
    assert size_of(PLAIN, "class 5", None) is None


@pytest.mark.parametrize("conductor", ["class 5", "class 5 tinned", "class 2", "AWG"])
def test_thicker_wires_have_less_resistance_and_more_surface(conductor: str) -> None:
    """In every series area and outer diameter grow, and resistance falls, from each size to the next."""
    sizes = wire_sizes(PLAIN, conductor)
    for one, other in pairwise(sizes):
        assert one.area_m2 < other.area_m2
        assert one.outer_m <= other.outer_m
        assert isinstance(one.cold_ohm_per_m, float)
        assert isinstance(other.cold_ohm_per_m, float)
        assert one.cold_ohm_per_m > other.cold_ohm_per_m


def test_no_fuse_is_proposed_for_a_bound() -> None:
    """Where the current may need one fuse or the next, none is the smallest that will do."""
    assert next_fuse(PLAIN, "C", Range(4.0, 6.0, frozenset(("x",)))) is None
    assert next_fuse(PLAIN, "C", Range(5.1, 6.0, frozenset(("x",)))) == 7.5
    assert next_fuse(PLAIN, "C", None) is None
    assert next_fuse(PLAIN, "C", max(SERIES["C"]) + 1) is None


def test_a_feed_that_nothing_changes_keeps_its_result() -> None:
    """After an edit of another module a feed is the very same object; after one of its own it is computed anew."""
    second = {"zone": "Z1", "feeds": ["F2"], "devices": {"U1": {"part": "switch", "supply": {"main": "battery"}}}}
    start = snapshot_of(changed({"proposal": {"variants": {"V": {"feeds": {"F2": {}}, "modules": {"N": second}}}}}))
    before = rollup(start, VARIANT)
    after = rollup(_noted(start, "N"), VARIANT, before)
    assert after.result.feeds["F1"] is before.result.feeds["F1"]
    assert after.result.feeds["F2"] is not before.result.feeds["F2"]
    assert after.result.feeds == before.result.feeds


def _noted(state: Snapshot, module_id: str) -> Snapshot:
    """The snapshot with a note on one module."""
    variant = state.proposal.variants[VARIANT]
    module = msgspec.structs.replace(variant.modules[module_id], note="seen")
    changed_variant = msgspec.structs.replace(variant, modules={**variant.modules, module_id: module})
    proposal = msgspec.structs.replace(state.proposal, variants={VARIANT: changed_variant})
    return Snapshot(proposal=proposal, parts=state.parts)


def test_a_load_of_unknown_time_share_may_heat_its_feed_or_not() -> None:
    """Where nothing says whether a load is on in a mode, what it draws is a bound of what heats the feed."""
    found = mode_of(vehicle({}, loads={"L1": {"time_share": {"RUN": None}}}).feeds["F1"]).heating_a
    assert isinstance(found, Range)
    assert found.low == pytest.approx(L2_HEAT_A + SWITCH_A + SUPPLY_A)
    assert found.high == pytest.approx(L1_A + L2_HEAT_A + SWITCH_A + SUPPLY_A)
    assert "time share of L1 in RUN" in found.unknown


def test_a_feed_without_a_ground_may_return_to_any() -> None:
    """What returns from a feed that names no ground point is a bound at every ground point that others name."""
    second = {"zone": "Z1", "feeds": ["F2"], "devices": {"U1": {"part": "switch", "supply": {"main": "battery"}}}}
    variant = {"feeds": {"F2": {}}, "modules": {"N": second}}
    named = vehicle({"feeds": {"F2": {"ground": "G2"}}, "modules": {"N": second}}).grounds
    known, added = named["G1"].returned_a["RUN"], named["G2"].returned_a["RUN"]
    found = vehicle(variant).grounds["G1"].returned_a["RUN"]
    assert added == pytest.approx(SWITCH_A)
    assert isinstance(known, float)
    assert isinstance(found, Range)
    assert found.low == pytest.approx(known)
    assert found.high == pytest.approx(known + SWITCH_A)
    assert "ground of F2" in found.unknown
