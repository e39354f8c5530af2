"""Places of a load are ranked by what they really cost, and what is offered fits."""

import random
from decimal import Decimal
from functools import cache

import msgspec
import pytest

from bomtui.engine import rollup as engine
from bomtui.model.feed import Feed
from bomtui.model.finding import Finding
from bomtui.model.part import Part
from bomtui.model.proposal import Snapshot
from bomtui.model.settings import Settings
from bomtui.model.variant import Placement
from bomtui.model.vehicle import Pair
from bomtui.rules.run import review as review_rules
from bomtui.rules.wording import printed
from bomtui.services.errors import UnknownNameError
from bomtui.services.placing import COSTED, PlaceOption, PlaceOptions, free_channels, place_options, with_effect
from bomtui.services.rollup import Computed
from bomtui.storage.shipped import read_shipped_catalog
from tests.generated import generated_snapshot
from tests.samples.rollups import VARIANTS
from tests.services.placing_case import VARIANT, computed, done, full, load, sample, switch, vehicle

RULE_OF = {
    "side": "drive.side",
    "supply": "supply.net",
    "current": "current.channel",
    "stage": "stage.missing",
    "pwm": "pwm.frequency",
    "regulation": "current.regulation",
    "string": "string.voltage",
    "parallel": "parallel.channels",
    "diagnosis": "diagnosis.seen",
}
FIT_RULES = {*RULE_OF.values(), "channel.short", "channel.missing", "channel.twice"}

every_variant = pytest.mark.parametrize(
    "variant",
    [pytest.param(own, id="-".join(own), marks=() if own == VARIANTS[1] else pytest.mark.slow) for own in VARIANTS],
)


@cache
def shipped() -> dict[str, Part]:
    """The parts that the program brings along."""
    parts, problems = read_shipped_catalog()
    assert not problems
    return dict(parts)


def words(options: PlaceOptions) -> list[str]:
    """The options as people read them, best first."""
    return [option.words for option in options.options]


def findings_of(state: Snapshot, variant: str) -> tuple[Finding, ...]:
    """What the rules find in a variant, computed anew."""
    memo = full(state, variant)
    return review_rules(state, variant, memo.result, memo.serving).findings


def test_the_volume_decides_between_parts_whose_prices_cross() -> None:
    """At 1,000 vehicles a year the part that is cheap in small numbers leads, at 20,000 the one that is cheap in large.

    Steep costs 1.00 up to 9,999 pieces and 0.40 from there, flat 0.80 and 0.70; all else of the two is the same.
    """
    parts = {"steep": switch((1, "1.00"), (10_000, "0.40")), "flat": switch((1, "0.80"), (10_000, "0.70"))}
    few, many = (
        place_options(computed(vehicle({"L1": load()}, {}, volume=volume)), "L1", parts) for volume in (1000, 20_000)
    )
    near = [f"a new {key} as M1.U1.1" for key in ("flat", "steep")]
    far = [f"a new {key} as M2.U1.1" for key in ("flat", "steep")]
    # Wire to the other zone is 2.5 m longer: 0.75, more than the prices differ at either volume.
    assert words(few) == [near[0], near[1], far[0], far[1]]
    assert words(many) == [near[1], near[0], far[1], far[0]]
    assert [option.effect.cost_change for option in few.options if option.effect] == sorted(
        option.effect.cost_change for option in few.options if option.effect
    )


def test_a_free_channel_costs_no_chip() -> None:
    """A chip of the module with a free channel leads; when its last channel is taken, a new chip does."""
    parts = {"two": switch((1, "0.80"))}
    loads = {"L1": load(), "L2": load(), "L3": load()}
    devices = {"M1": {"U1": "two"}}
    free, full_up = (
        place_options(computed(vehicle(loads, placements, devices, parts)), "L1", {})
        for placements in ({"L2": "M1.U1.1"}, {"L2": "M1.U1.1", "L3": "M1.U1.2"})
    )
    assert words(free) == ["M1.U1.2 (two)", "a new two as M1.U2.1", "a new two as M2.U1.1"]
    assert words(full_up) == ["a new two as M1.U2.1", "a new two as M2.U1.1"]
    (taken,) = full_up.rejected
    assert [(own.check, own.measured, own.limit) for own in taken.reasons] == [("channels", "0", "1")]
    first, second = free.options[:2]
    assert first.effect is not None
    assert second.effect is not None
    # The chip itself, 0.80, and placing it, 0.01.
    assert second.effect.cost_change - first.effect.cost_change == Decimal("0.81")
    assert (first.effect.driver_devices_after, second.effect.driver_devices_after) == (1, 2)


def test_a_hot_zone_loses() -> None:
    """The near module leads while its chip stays cool, and falls behind the far one when its zone gets too hot.

    2 A through 50 to 60 mohm at 40 K/W is a rise of some 10 K; at 145 degC + 15 K of the case the chip passes 150 degC.
    """
    parts = {"two": switch((1, "0.80"))}
    devices = {"M1": {"U1": "two"}, "M2": {"U1": "two"}}
    cool, hot = (
        place_options(computed(vehicle({"L1": load()}, {}, devices, parts, ambient_degc=degc)), "L1", {})
        for degc in (60.0, 145.0)
    )
    assert words(cool)[:2] == ["M1.U1.1 (two)", "M2.U1.1 (two)"]
    assert words(hot)[:2] == ["M2.U1.1 (two)", "a new two as M2.U2.1"]
    warmths = {
        option.words: option.effect.heat.warmth for option in hot.options if option.effect and option.effect.heat
    }
    assert warmths["M1.U1.1 (two)"] == "over"
    assert warmths["M2.U1.1 (two)"] == "within"


def test_an_unknown_price_stands_behind_a_known_one() -> None:
    """A part without a price is not free: it is ranked behind one that costs something."""
    parts = {"unpriced": switch(), "priced": switch((1, "9.00"))}
    options = place_options(computed(vehicle({"L1": load()}, {})), "L1", parts).options
    assert [option.part for option in options] == ["priced", "priced", "unpriced", "unpriced"]
    assert options[2].effect is not None
    assert options[2].effect.cost_after.unknown > options[0].effect.cost_after.unknown  # type: ignore[union-attr]


def test_a_free_channel_stands_before_a_chip_of_unknown_price() -> None:
    """Where nothing has a price, a channel that is there comes before a new chip, which costs what nobody knows."""
    priced = vehicle({"L1": load()}, {}, {"M1": {"U1": "unpriced"}}, {"unpriced": switch()})
    state = msgspec.structs.replace(priced, proposal=msgspec.structs.replace(priced.proposal, settings=Settings()))
    options = place_options(computed(state), "L1", {}).options
    assert [option.words for option in options][:2] == ["M1.U1.1 (unpriced)", "a new unpriced as M1.U2.1"]
    assert [option.effect.cost_change for option in options[:2] if option.effect] == [0, 0]


def test_an_unknown_heat_stands_between() -> None:
    """A chip of which the heat is not known is ranked behind one that is cool, whatever it costs."""
    parts = {"unknown": switch((1, "0.10"), theta_ja_k_per_w=None), "cool": switch((1, "0.80"))}
    options = place_options(computed(vehicle({"L1": load()}, {})), "L1", parts).options
    assert [option.part for option in options] == ["cool", "cool", "unknown", "unknown"]


def test_what_is_undecided_stands_behind_what_fits() -> None:
    """A switch that does not say what it carries may do, and is offered last with its reason."""
    parts = {"silent": switch((1, "0.10"), current_all_a=None), "sure": switch((1, "0.80"))}
    options = place_options(computed(vehicle({"L1": load()}, {})), "L1", parts).options
    assert [(option.part, option.state) for option in options] == [
        ("sure", "fits"),
        ("sure", "fits"),
        ("silent", "undecided"),
        ("silent", "undecided"),
    ]
    (why,) = options[2].reasons
    # 2 A at 13.5 V, resistive, at 14.5 V.
    assert (why.check, why.measured, why.limit, why.certain) == ("current", "2.148 A", "unknown", False)


def test_a_stand_in_is_kept_apart() -> None:
    """A device that serves the other load of a pair is rejected, and the pair's device is named."""
    parts = {"two": switch((1, "0.80"))}
    state = vehicle(
        {"L1": load(), "L2": load()},
        {"L2": "M1.U1.1"},
        {"M1": {"U1": "two"}},
        parts,
        proposal={"pairs": {"P1": Pair(primary="L2", stand_in="L1")}},
    )
    (rejected,) = place_options(computed(state), "L1", {}).rejected
    assert [(own.check, own.measured, own.limit) for own in rejected.reasons] == [
        ("standin", "M1.U1", "no common device")
    ]
    assert rejected.edit is not None
    (found,) = [own for own in findings_of(done(rejected.edit, state), VARIANT) if own.rule == "standin.device"]
    assert (found.measured, found.limit) == ("M1.U1", "no common device")


def test_an_unnamed_channel_leaves_a_device_undecided() -> None:
    """Where a load names a device and no channel, nobody can tell whether the next one is free."""
    state = vehicle({"L1": load(), "L2": load()}, {"L2": "M1.U1"}, {"M1": {"U1": "two"}}, {"two": switch((1, "0.80"))})
    options = place_options(computed(state), "L1", {}).options
    (device,) = [option for option in options if not option.new_devices]
    assert (device.state, device.reasons[0].check, device.reasons[0].measured) == ("undecided", "taken", "L2")


def test_a_load_without_channels_goes_to_a_module() -> None:
    """A sensor is offered every module, the near one first."""
    options = place_options(computed(vehicle({"L1": load(drive="AI", kind="sensor")}, {})), "L1", {})
    assert words(options) == ["M1", "M2"]
    assert options.rejected == ()


def test_the_place_it_has_is_marked_and_costs_nothing() -> None:
    """A placed load sees its own place among the others, at no change."""
    state = vehicle({"L1": load()}, {"L1": "M2.U1.2"}, {"M2": {"U1": "two"}}, {"two": switch((1, "0.80"))})
    options = place_options(computed(state), "L1", {}).options
    (own,) = [option for option in options if option.is_current]
    assert own.on == ("M2.U1.2",)
    assert own.effect is not None
    assert own.effect.cost_change == 0
    assert (own.effect.added, own.effect.cleared) == ((), ())


def test_half_bridges_of_one_part_serve_together() -> None:
    """A motor on two half bridges is offered two free ones of a module, and two new ones where there are none."""
    half = switch((1, "1.00"), kind="half_bridge", channels=1, sides=("BR1",))
    loads = {"L1": load(kind="motor", drive="BR1")}
    options = place_options(
        computed(vehicle(loads, {}, {"M1": {"U1": "half", "U2": "half"}}, {"half": half})), "L1", {}
    )
    assert words(options) == [
        "M1.U1.1 and M1.U2.1 (half)",
        "a new half as M1.U3.1 and M1.U4.1",
        "a new half as M2.U1.1 and M2.U2.1",
    ]
    assert [option.new_devices for option in options.options] == [0, 2, 2]


def test_channels_in_parallel_are_offered_where_one_is_too_weak() -> None:
    """A heater of 8 A takes two channels for 5 A each where the part allows it, and is rejected where it does not.

    8 A at 13.5 V is 8.593 A at 14.5 V, 4.296 A a channel.
    """
    parts = {"joint": switch((1, "0.80"), channels=4, parallel_ok=True), "single": switch((1, "0.80"), channels=4)}
    state = vehicle({"L1": load(test_current_a=8.0)}, {}, {"M1": {"U1": "joint", "U2": "single"}}, parts)
    options = place_options(computed(state), "L1", {})
    first = options.options[0]
    assert words(options)[0] == "M1.U1.1 and M1.U1.2 in parallel (joint)"
    assert first.edit is not None
    after = done(first.edit, state)
    assert after.proposal.variants[VARIANT].placements["L1"] == Placement(on=("M1.U1.1", "M1.U1.2"), joined="parallel")
    assert [own for own in findings_of(after, VARIANT) if own.rule in FIT_RULES] == []
    assert [(own.words, own.reasons[0].measured, own.reasons[0].limit) for own in options.rejected] == [
        ("M1.U2.1 (single)", "8.593 A", "5 A"),
        ("a new single", "8.593 A", "5 A"),
    ]


def test_free_channels() -> None:
    """Channels without a load are counted; of a part that does not say how many it has nobody knows."""
    parts = {"two": switch(), "silent": switch(channels=None), "fet": Part(kind="fet")}
    devices = {"M1": {"U1": "two", "U2": "silent", "U3": "fet", "U4": "lost"}}
    now = computed(vehicle({"L1": load()}, {"L1": "M1.U1.2"}, devices, parts))
    assert [free_channels(now, "M1", f"U{number}") for number in (1, 2, 3, 4)] == [1, None, 0, None]
    unnamed = computed(vehicle({"L1": load()}, {"L1": "M1.U1"}, devices, parts))
    assert free_channels(unnamed, "M1", "U1") is None
    with pytest.raises(UnknownNameError, match=r"M1\.U9"):
        free_channels(now, "M1", "U9")


def test_a_channel_that_switches_a_feed_is_not_free() -> None:
    """A load is not offered the channel that stands in for the fuse of a feed."""
    state = vehicle({"L1": load()}, {}, {"M1": {"U1": "two"}}, {"two": switch()})
    variant = msgspec.structs.replace(state.proposal.variants[VARIANT], feeds={"F1": Feed(switch="M1.U1.1")})
    proposal = msgspec.structs.replace(state.proposal, variants={VARIANT: variant})
    assert free_channels(computed(Snapshot(proposal=proposal, parts=state.parts)), "M1", "U1") == 1


def test_an_unknown_load_is_named() -> None:
    """A load that the proposal does not have is one clear sentence."""
    with pytest.raises(UnknownNameError, match="there is no load 'L9'"):
        place_options(computed(vehicle({"L1": load()}, {})), "L9", {})


def counting(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Remember every rollup that is computed from now on."""
    asked: list[str] = []
    plain = engine.rollup

    def counted(snapshot: Snapshot, variant: str, previous: engine.Computed | None = None) -> engine.Computed:
        asked.append(variant)
        return plain(snapshot, variant, previous)

    monkeypatch.setattr(engine, "rollup", counted)
    return asked


@pytest.mark.slow
@pytest.mark.parametrize("load_count", [140, 560])
def test_however_large_the_vehicle_only_so_many_are_costed(load_count: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """The number of rollups does not grow with the vehicle, and the text says how many places were not costed."""
    state = generated_snapshot(load_count, 14)
    now = computed(state, "only")
    asked = counting(monkeypatch)
    options = place_options(now, "L5", {})
    assert len(asked) == options.costed == COSTED
    more = len(options.options) - COSTED
    assert more > load_count // 14
    assert options.text == f"{COSTED} places are costed; {more} more were not costed"


def test_one_more_is_costed_where_it_is_asked_for(monkeypatch: pytest.MonkeyPatch) -> None:
    """An option that was not costed gets its effect by one rollup, and the ranking takes it in."""
    parts = {"steep": switch((1, "1.00")), "flat": switch((1, "0.80"))}
    few = place_options(computed(vehicle({"L1": load()}, {})), "L1", parts, costed=1)
    (first, *others) = few.options
    assert first.effect is not None
    assert all(option.effect is None for option in others)
    asked = counting(monkeypatch)
    more = with_effect(few, others[-1])
    assert len(asked) == 1
    assert more.costed == 2
    assert more.text == "2 places are costed; 2 more were not costed"
    assert with_effect(more, first) is more


def chosen(now: Computed, number: int = 8) -> list[str]:
    """Some loads of a proposal, the same ones every time."""
    return random.Random(7).sample(sorted(now.opened.snapshot.proposal.loads), number)


@every_variant
@pytest.mark.slow
def test_what_is_offered_is_no_finding_afterwards(variant: tuple[str, str]) -> None:
    """The best place of a load, once taken, causes none of the findings of fit, separation and capability."""
    now = sample(*variant)
    state = now.opened.snapshot
    for load_id in chosen(now, 6):
        first = place_options(now, load_id, shipped(), costed=2).options[0]
        assert first.state == "fits"
        assert first.edit is not None
        pairs = {pair_id for pair_id, pair in state.proposal.pairs.items() if load_id in {pair.primary, pair.stand_in}}
        caused = [
            (own.rule, own.place, own.message)
            for own in findings_of(done(first.edit, state), variant[1])
            if (own.rule in FIT_RULES and own.place in {load_id, *first.on})
            or (own.rule == "standin.device" and own.place in pairs)
            or (own.rule == "safety.capability" and own.place == first.place and f"{load_id} (" in own.message)
        ]
        assert caused == []


@every_variant
@pytest.mark.slow
def test_what_is_rejected_is_a_finding_if_forced(variant: tuple[str, str]) -> None:
    """A rejected place, taken all the same, is found by the rule of its reason with the same two values."""
    now = sample(*variant)
    state = now.opened.snapshot
    seen: set[str] = set()
    for load_id in chosen(now, 6):
        rejected = place_options(now, load_id, {}, costed=0).rejected
        for option in [own for own in rejected if own.edit is not None][:4]:
            assert_found(option, load_id, findings_of(done(option.edit, state), variant[1]), seen)  # type: ignore[arg-type]
    assert {"side", "current"} <= seen


def assert_found(option: PlaceOption, load_id: str, findings: tuple[Finding, ...], seen: set[str]) -> None:
    """Every certain reason of fit is a failed finding with its values."""
    found = {
        (own.rule, printed(own.measured, own.unit), printed(own.limit, own.unit))
        for own in findings
        if own.place == load_id and own.outcome == "failed"
    }
    for why in option.reasons:
        if why.certain and why.check in RULE_OF:
            seen.add(why.check)
            assert (RULE_OF[why.check], why.measured, why.limit) in found


@pytest.mark.slow
@pytest.mark.parametrize("variant", [VARIANTS[1], VARIANTS[3]], ids="-".join)
def test_an_effect_is_the_difference_of_two_full_rollups(variant: tuple[str, str]) -> None:
    """What an option shows is what computing everything anew gives, before and after."""
    now = sample(*variant)
    state = now.opened.snapshot
    before = full(state, variant[1]).result
    for load_id in chosen(now, 2):
        for option in place_options(now, load_id, shipped(), costed=3).options[:3]:
            assert option.edit is not None
            assert option.effect is not None
            after = full(done(option.edit, state), variant[1]).result
            effect = option.effect
            assert (effect.cost_now, effect.cost_after) == (before.cost.total, after.cost.total)
            assert effect.cost_change == after.cost.total.amount - before.cost.total.amount
            assert (effect.standby_now_a, effect.standby_after_a) == (before.standby_a, after.standby_a)
            assert (effect.days_now, effect.days_after) == (before.parking_days, after.parking_days)
            assert effect.driver_devices_after == after.driver_devices


@pytest.mark.slow
def test_asking_changes_nothing() -> None:
    """Proposal, frozen parts and the former rollup are what they were, to the last byte."""
    now = sample("sweeper", "zone")
    state = now.opened.snapshot
    proposal = state.proposal
    before = msgspec.json.encode(state)
    place_options(now, "L17", shipped())
    assert msgspec.json.encode(state) == before
    assert now.opened.snapshot is state
    assert state.proposal is proposal


def test_a_new_part_is_frozen_by_its_edit() -> None:
    """An option of a catalog part does all in one step: the part is frozen, the device added, the load placed."""
    state = vehicle({"L1": load()}, {})
    (near, _) = place_options(computed(state), "L1", {"two": switch((1, "0.80"))}).options
    assert near.edit is not None
    after = done(near.edit, state)
    assert set(after.parts) == {"two"}
    variant = after.proposal.variants[VARIANT]
    assert variant.modules["M1"].devices["U1"].part == "two"
    assert variant.placements["L1"] == Placement(on=("M1.U1.1",))
    assert near.edit.label == "place L1 on a new two as M1.U1.1"
