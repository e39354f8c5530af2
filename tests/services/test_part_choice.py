"""The picker starts from the need, and what it says of a part holds once the part is taken."""

from decimal import Decimal
from pathlib import Path

import msgspec
import pytest

from bomtui.edit.edit import Refusal
from bomtui.model.constraints import Constraints
from bomtui.model.finding import Finding
from bomtui.model.part import Part
from bomtui.model.proposal import Snapshot
from bomtui.rules.wording import printed
from bomtui.services.catalog import parts_of_kinds
from bomtui.services.effects import Effect
from bomtui.services.errors import UnknownNameError
from bomtui.services.part_choice import (
    JUDGED,
    PartChoice,
    PartChoices,
    choice_effect,
    device_choices,
    item_choices,
    swap_choices,
    wanted_kinds,
)
from bomtui.services.rollup import Computed
from tests.samples.rollups import VARIANTS
from tests.services.placing_case import VARIANT, computed, done, full, load, sample, switch, vehicle
from tests.services.test_placing import FIT_RULES, RULE_OF, counting, findings_of, shipped

every_variant = pytest.mark.parametrize(
    "variant",
    [pytest.param(own, id="-".join(own), marks=() if own == VARIANTS[1] else pytest.mark.slow) for own in VARIANTS],
)


def keys(choices: PartChoices) -> list[tuple[str, str]]:
    """Parts and how they meet the need, best first."""
    return [(choice.key, choice.state) for choice in choices.choices]


def named(choices: PartChoices, key: str) -> PartChoice:
    """The choice of one part."""
    (choice,) = [own for own in choices.choices if own.key == key]
    return choice


def effect(choices: PartChoices, key: str) -> Effect:
    """What taking a part does."""
    found = choice_effect(choices, named(choices, key))
    assert isinstance(found, Effect)
    return found


def test_a_valve_driver_without_sense_is_swapped_for_one_with_it() -> None:
    """Of all low-side switches only the one with sense and freewheel path meets the valves of ZENG.U9.

    By the load list E05 and E06 need a regulated current and ask level B; ls-2x40 is declared for A.
    """
    choices = swap_choices(sample("sweeper", "zone"), "ZENG", "U9", shipped())
    assert keys(choices) == [
        ("ls-4x180", "fits"),
        ("ls-2x40", "rejected"),
        ("ls-8x700", "rejected"),
        ("ls-16x900", "rejected"),
    ]
    assert choices.need.loads == ("E05", "E06")
    assert choices.need.words == "another part for ZENG.U9 (ls-2x40): 2 loads on 2 channels"
    assert choices.need.lines[0] == "E05 fuel metering valve: LS, 1.45 A on a channel"
    now = named(choices, "ls-2x40")
    assert now.is_current
    assert [(own.check, own.measured, own.limit) for own in now.reasons if own.load_id == "E05"] == [
        ("regulation", "no current sense, no freewheel path", "regulated current"),
        ("safety", "A", "B"),
    ]
    after = effect(choices, "ls-4x180")
    # Its 221 mohm under 1.45 A and 1.55 A get too hot in the engine bay, though far less than the clamp of the other.
    changed = {("heat.junction", "ZENG.U9"), ("heat.box", "ZENG"), ("standby.module", "ZENG")}
    # And 0.8 x 1.6 A leave no reserve for either of them.
    margins = {("current.margin", "E05"), ("current.margin", "E06")}
    # In the air that the cooler chip leaves, three others are warnings and no errors any more, and more go altogether.
    # Two chips of one part have channels for one.
    milder = {("heat.junction", f"ZENG.{ref}") for ref in ("U3", "U4", "U10")}
    pooled = {("chips.pooled", "zones.Z1.ls-4x180")}
    assert {(own.rule, own.place) for own in after.added} == margins | milder | pooled
    stirred = {(own.rule, own.place) for own in after.stirred}
    assert changed <= stirred
    # What else stirs is warmed by the same air, or a share of the new price.
    assert {rule for rule, _ in stirred - changed} <= {
        "heat.junction", "heat.switching", "grade.zone", "source.single", "excess.life",
    }  # fmt: skip
    cooler = {("heat.junction", f"ZENG.{ref}") for ref in ("Q6", "Q7", "U15", "U17")} | {("grade.zone", "ZENG")}
    assert {(own.rule, own.place) for own in after.cleared} - milder - cooler == {
        ("clamp.energy", "E05"),
        ("clamp.energy", "E06"),
        ("current.regulation", "E05"),
        ("current.regulation", "E06"),
        ("freewheel.missing", "E05"),
        ("freewheel.missing", "E06"),
        ("heat.switching", "ZENG.U9"),
        ("safety.capability", "ZENG.U9"),
    }
    assert [own.name for own in after.changes] == [
        "cost per vehicle", "standby", "parking days", "driver devices", "hottest device of the module",
    ]  # fmt: skip


def test_a_part_with_fewer_channels_names_the_loads_that_it_takes_off() -> None:
    """A swap that would lose a load says which, and its edit is the one that takes it off."""
    parts = {"two": switch((1, "0.80")), "one": switch((1, "0.50"), channels=1)}
    loads = {"L1": load(), "L2": load()}
    state = vehicle(loads, {"L1": "M1.U1.1", "L2": "M1.U1.2"}, {"M1": {"U1": "two"}}, {"two": parts["two"]})
    choices = swap_choices(computed(state), "M1", "U1", parts)
    assert keys(choices) == [("two", "fits"), ("one", "rejected")]
    one = named(choices, "one")
    assert one.loads_off == ("L2",)
    assert [(own.check, own.measured, own.limit) for own in one.reasons] == [("channels", "1", "2")]
    assert set(done(one.edit, state).proposal.variants[VARIANT].placements) == {"L1"}


def test_the_price_is_that_of_the_rung_which_the_whole_variant_reaches() -> None:
    """One more piece of a part that the variant uses already counts with the others: 1,000 vehicles, three pieces each.

    Two pieces each are 2,000 a year and cost 1.00; the third brings 3,000, and from there the piece costs 0.60.
    """
    parts = {"two": switch((1, "1.00"), (3000, "0.60")), "other": switch((1, "0.70"), (3000, "0.10"))}
    devices = {"M1": {"U1": "two", "U2": "two"}, "M2": {"U1": "other"}}
    choices = swap_choices(computed(vehicle({"L1": load()}, {"L1": "M2.U1.1"}, devices, parts)), "M2", "U1", parts)
    assert [(own.key, own.unit_price, own.price_text) for own in choices.choices] == [
        ("two", Decimal("0.60"), "0.6000 EUR from 3000"),
        ("other", Decimal("0.70"), "0.7000 EUR from 1"),
    ]


def test_volume_turns_the_order() -> None:
    """Which part is cheaper is a matter of the quantity that is ordered."""
    parts = {"steep": switch((1, "1.00"), (10_000, "0.40")), "flat": switch((1, "0.80"), (10_000, "0.70"))}
    few, many = (
        device_choices(computed(vehicle({"L1": load()}, {}, volume=volume)), "M1", parts, load_id="L1")
        for volume in (1000, 20_000)
    )
    assert [own.key for own in few.choices] == ["flat", "steep"]
    assert [own.key for own in many.choices] == ["steep", "flat"]


def test_a_device_for_a_load_is_added_with_the_load_on_it() -> None:
    """Asked for a load, the picker offers what drives it, and the edit adds, freezes and places in one step."""
    parts = {
        "weak": switch((1, "0.10"), current_all_a=1.0),
        "strong": switch((1, "0.80")),
        "low": switch((1, "0.10"), kind="low_side", sides=("LS",)),
    }
    state = vehicle({"L1": load(name="heater")}, {})
    choices = device_choices(computed(state), "M2", parts, load_id="L1")
    assert keys(choices) == [("strong", "fits"), ("weak", "rejected")]
    assert choices.need.words == "a new device in M2 for L1 heater, driven HS"
    # 2 A at 13.5 V, resistive, at 14.5 V.
    assert [(own.check, own.measured, own.limit) for own in named(choices, "weak").reasons] == [
        ("current", "2.148 A", "1 A")
    ]
    after = done(named(choices, "strong").edit, state)
    assert after.proposal.variants[VARIANT].placements["L1"].on == ("M2.U1.1",)
    assert effect(choices, "strong").driver_devices_after == 1


def test_a_controller_is_judged_by_what_it_would_bring() -> None:
    """No load says what a controller needs: too few pins, a missing rail or a low level reject it, in these words."""
    choices = swap_choices(sample("sweeper", "zone"), "ZENG", "U11", shipped())
    assert keys(choices)[0] == ("mcu-engine", "fits")
    assert {state for _, state in keys(choices)[1:]} == {"rejected"}
    small = named(choices, "mcu-24")
    assert "pins.short" in {own.check for own in small.reasons}
    assert {own.text for own in small.reasons} <= {own.message for own in effect(choices, "mcu-24").added}


def test_only_so_many_are_judged(monkeypatch: pytest.MonkeyPatch) -> None:
    """However many parts come into question, so many are judged, and the rest is undecided, not approved."""
    parts = {f"mcu-{number}": Part(kind="controller", gpio_pins=number) for number in range(30)}
    now = computed(vehicle({}, {}))
    asked = counting(monkeypatch)
    choices = device_choices(now, "M1", parts, kind="controller")
    assert len(asked) == JUDGED
    left = [own for own in choices.choices if own.reasons and own.reasons[-1].check == "findings"]
    assert len(left) == len(parts) - JUDGED
    assert {own.state for own in left} == {"undecided"}


def test_an_item_adds_to_what_is_there() -> None:
    """A part that is counted already is counted more, and one that is not is added in the unit in which it is sold."""
    now = sample("sweeper", "zone")
    state = now.opened.snapshot
    module = state.proposal.variants["zone"].modules["ZENG"]
    choices = item_choices(now, "ZENG", shipped(), kind="passive", quantity=Decimal(2))
    there = module.items["xtal-20"].quantity.quantity
    after = done(named(choices, "xtal-20").edit, state).proposal.variants["zone"].modules["ZENG"]
    assert after.items["xtal-20"].quantity.quantity == there + 2
    boards = item_choices(now, "ZENG", {"new": Part(kind="board", sale_unit="dm2")}, kind="board")
    added = done(named(boards, "new").edit, state).proposal.variants["zone"].modules["ZENG"].items["new"]
    assert (added.quantity.quantity, added.quantity.unit) == (Decimal(1), "dm2")


def test_what_the_customer_refuses_is_rejected_with_the_reason() -> None:
    """A forbidden part and a maker that is not approved stand last, named."""
    parts = {"plain": switch((1, "0.80"), maker="Alder"), "barred": switch((1, "0.10"), maker="Alder"),
             "foreign": switch((1, "0.20"), maker="Birch")}  # fmt: skip
    asked = {"constraints": Constraints(forbidden=("barred",), approved_makers=("Alder",))}
    choices = device_choices(computed(vehicle({"L1": load()}, {}, proposal=asked)), "M1", parts, load_id="L1")
    assert keys(choices) == [("plain", "fits"), ("barred", "rejected"), ("foreign", "rejected")]
    assert [(own.check, own.measured, own.limit) for own in named(choices, "barred").reasons] == [
        ("forbidden", "barred", "not barred")
    ]
    assert [(own.check, own.measured, own.limit) for own in named(choices, "foreign").reasons] == [
        ("maker", "Birch", "Alder")
    ]


def test_a_source_of_a_rail_makes_its_voltage() -> None:
    """In place of a supply that makes 5 V a part that makes 3.3 V is rejected with both voltages."""
    now = sample("sweeper", "zone")
    module = now.opened.snapshot.proposal.variants["zone"].modules["ZENG"]
    ref = next(rail.source for rail in module.rails.values() if rail.voltage_v == 5.0)
    offered = {"low": Part(kind="sbc", output_v=3.3), "silent": Part(kind="sbc")}
    choices = swap_choices(now, "ZENG", ref, offered)
    assert ("output", "3.3 V", "5 V", True) in [
        (own.check, own.measured, own.limit, own.certain) for own in named(choices, "low").reasons
    ]
    assert ("output", "unknown", "5 V", False) in [
        (own.check, own.measured, own.limit, own.certain) for own in named(choices, "silent").reasons
    ]


def drivers(now: Computed, number: int = 5) -> list[tuple[str, str]]:
    """Every so-manieth device of a variant that carries loads."""
    served = now.memo.serving.per_module
    found = sorted({(own.device, own.module) for per in served.values() for load in per for own in load.channels})
    return [(module, ref) for ref, module in found[:: max(1, len(found) // number)]]


def loud(state: Snapshot, variant: str, loads: tuple[str, ...]) -> list[Finding]:
    """What the rules of fit find of some loads."""
    return [own for own in findings_of(state, variant) if own.rule in FIT_RULES and own.place in loads]


@every_variant
@pytest.mark.slow
def test_a_swap_holds_what_its_choice_says(variant: tuple[str, str]) -> None:
    """A part that fits causes no finding of fit at its loads; a rejected one those of its reasons, as printed."""
    now = sample(*variant)
    state = now.opened.snapshot
    for module_id, ref in drivers(now):
        choices = swap_choices(now, module_id, ref, shipped())
        for choice in [own for own in choices.choices if own.state == "fits"][:2]:
            assert loud(done(choice.edit, state), variant[1], choices.need.loads) == []
        for choice in [own for own in choices.choices if own.state == "rejected" and not own.loads_off][:2]:
            found = {
                (own.rule, own.place, printed(own.measured, own.unit), printed(own.limit, own.unit))
                for own in loud(done(choice.edit, state), variant[1], choices.need.loads)
            }
            for why in choice.reasons:
                if why.check in RULE_OF and why.certain:
                    assert (RULE_OF[why.check], why.load_id, why.measured, why.limit) in found


@pytest.mark.slow
@every_variant
def test_an_effect_is_the_difference_of_two_full_rollups(variant: tuple[str, str]) -> None:
    """What the picker shows of a part is what computing everything anew gives, before and after."""
    now = sample(*variant)
    state = now.opened.snapshot
    before = full(state, variant[1]).result
    for module_id, ref in drivers(now, 3):
        choices = swap_choices(now, module_id, ref, shipped())
        choice = choices.choices[-1]
        found = choice_effect(choices, choice)
        assert not isinstance(found, Refusal)
        after = full(done(choice.edit, state), variant[1]).result
        assert found.cost_change == after.cost.total.amount - before.cost.total.amount
        assert (found.cost_now, found.cost_after) == (before.cost.total, after.cost.total)
        assert (found.standby_now_a, found.standby_after_a) == (before.standby_a, after.standby_a)
        assert (found.days_now, found.days_after) == (before.parking_days, after.parking_days)
        assert (found.driver_devices_now, found.driver_devices_after) == (before.driver_devices, after.driver_devices)


def test_asking_changes_nothing() -> None:
    """Proposal and frozen parts are what they were, to the last byte."""
    now = sample("van", "central")
    before = msgspec.json.encode(now.opened.snapshot)
    choices = swap_choices(now, "MBDY", "U25", shipped())
    choice_effect(choices, choices.choices[-1])
    assert msgspec.json.encode(now.opened.snapshot) == before


def test_what_is_not_there_is_named() -> None:
    """A module, device or load that the variant does not have is one clear sentence."""
    now = computed(vehicle({"L1": load()}, {}))
    with pytest.raises(UnknownNameError, match=r"there is no device 'M1\.U7'"):
        swap_choices(now, "M1", "U7", {})
    with pytest.raises(UnknownNameError, match="there is no module 'M9'"):
        device_choices(now, "M9", {}, kind="sbc")
    with pytest.raises(UnknownNameError, match="there is no load 'L9'"):
        device_choices(now, "M1", {}, load_id="L9")


def test_the_catalog_is_asked_for_the_wanted_kinds(tmp_path: Path) -> None:
    """A driver with loads may be of any driver kind, anything else of its own kind; the catalog gives whole parts."""
    now = sample("sweeper", "zone")
    assert "low_side" in wanted_kinds(now, "ZENG", ref="U9")
    assert wanted_kinds(now, "ZENG", ref="U11") == ("controller",)
    assert wanted_kinds(now, "ZENG", kind="passive") == ("passive",)
    place = str(tmp_path / "catalog.sqlite")
    found = parts_of_kinds(("low_side", "controller"), place=place)
    assert found.parts == {key: part for key, part in shipped().items() if part.kind in {"low_side", "controller"}}
    assert (found.cut, found.remark) == ((), "")


def test_what_is_left_out_of_a_large_catalog_is_said(tmp_path: Path) -> None:
    """Of a kind with more parts than a list starts from the first ones are offered, and a sentence says so."""
    place = str(tmp_path / "catalog.sqlite")
    found = parts_of_kinds(("low_side", "reverse"), limit=1, place=place)
    assert sorted(part.kind for part in found.parts.values()) == ["low_side", "reverse"]
    assert found.cut == ("low_side",)
    assert found.remark == ("Only the first 1 parts of a kind are offered: the catalog has more of low-side switch.")
