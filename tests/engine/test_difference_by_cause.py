"""The difference of two sides by cause: one change at a time has one cause, worked out by hand."""

from decimal import Decimal

import pytest

from bomtui.engine.calc import PLAIN
from bomtui.engine.difference_by_cause import compared, part_changes, price_effect, quantity_effect
from bomtui.engine.scope import scope_of
from bomtui.model.programme import Exchange, Programme
from bomtui.model.settings import Rates
from bomtui.model.variant import Amount, Device, Item, Module, Placement
from bomtui.model.vehicle import Zone
from tests.engine.sides import (
    VARIANT,
    causes,
    computed,
    difference,
    having,
    ladder,
    money,
    start,
    with_,
    with_module,
    with_rates,
)


def test_the_symmetric_split_of_the_ruling() -> None:
    """Quantity 2 to 4 and price 1.32 to 1.10 split into +2.42 and -0.66, which add to 4.40 - 2.64 in both directions.

    Source: the inputs of the worked difference by cause, split symmetrically (Bennet) and worked out by hand:
    2 (1.32 + 1.10) / 2 = 2.42 and (2 + 4) / 2 (1.10 - 1.32) = -0.66.
    """
    low, high = Decimal("1.10"), Decimal("1.32")
    quantity = PLAIN.exact(quantity_effect, quantity_step=Decimal(2), first_price=high, second_price=low)
    price = PLAIN.exact(price_effect, first_quantity=Decimal(2), second_quantity=Decimal(4), price_step=low - high)
    assert (quantity, price) == (Decimal("2.42"), Decimal("-0.66"))
    back = PLAIN.exact(quantity_effect, quantity_step=Decimal(-2), first_price=low, second_price=high)
    assert back == Decimal("-2.42")


def test_volume_alone_moves_only_the_rung() -> None:
    """1,500 to 2,500 vehicles take the quads from 1.32 to 1.10, with what attrition, freight and duty add to them."""
    before = start()
    after = having(before, vehicle=with_(before.proposal.vehicle, volume_per_year=2500))
    found = causes(before, after)
    assert set(found) == {"rung"}
    # Two quads at -0.22: -0.44; attrition 0.8 % of it, then 3 % and 1 % of both: -0.44 (1.008) (1.04) = -0.4612...
    assert found["rung"] == pytest.approx(Decimal("-0.46126"), abs=Decimal("0.0002"))
    parts = [share for share in difference(before, after).shares if share.element == "parts"]
    assert [(share.what, share.amount) for share in parts] == [("quad", Decimal("-0.4400"))]


def test_volume_moves_the_share_of_what_is_spent_once() -> None:
    """One-off cost is a cause of its own: 60,000 over 6,000 vehicles are 10, over 10,000 they are 6."""
    before = with_rates(start(), one_off=money("60000"))
    after = having(before, vehicle=with_(before.proposal.vehicle, volume_per_year=2500))
    assert causes(before, after)["one_off"] == Decimal("-4.0000")


def test_another_part_in_the_same_place_is_only_a_change_of_part() -> None:
    """A quad replaced by a hexa costs 1.70 - 1.32 more, and what goes on top of it; placing it costs the same."""
    before = start()
    devices = before.proposal.variants[VARIANT].modules["BOX"].devices
    after = with_module(before, devices={**devices, "U3": Device(part="hexa")})
    found = causes(before, after)
    assert set(found) == {"part_change"}
    parts = {share.what: share.amount for share in difference(before, after).shares if share.element == "parts"}
    assert parts == {"quad": Decimal("-1.3200"), "hexa": Decimal("1.7000")}


def test_a_swapped_part_that_is_placed_more_often_changes_placement_by_itself() -> None:
    """Placing a part three times instead of once costs two placements more, and the part is why."""
    before = start()
    before = with_(before, parts={**before.parts, "hexa": with_(before.parts["hexa"], placements=3)})
    devices = before.proposal.variants[VARIANT].modules["BOX"].devices
    after = with_module(before, devices={**devices, "U3": Device(part="hexa")})
    shares = difference(before, after).shares
    assert {share.cause for share in shares} == {"part_change"}
    assert [share.amount for share in shares if share.element == "placement"] == [Decimal("0.0220")]


def test_an_item_of_the_same_kind_and_quantity_takes_over() -> None:
    """Another board of the same size is a change of part; twice as much of another one is architecture."""
    before = start()
    before = with_(before, parts={**before.parts, "board-6": with_(before.parts["board"], breaks=ladder((1, "3")))})
    swapped = with_module(before, items={"board-6": Item(quantity=Amount(quantity=Decimal("1.2")))})
    assert set(causes(before, swapped)) == {"part_change"}
    larger = with_module(before, items={"board-6": Item(quantity=Amount(quantity=Decimal("2.4")))})
    assert set(causes(before, larger)) == {"architecture"}


def test_an_exchange_rate_is_only_a_rate() -> None:
    """4.5109 USD are 4.1500 EUR at 0.92 and 4.2854 at 0.95: +0.1354 (the worked example of the cost model)."""
    before = start()
    after = having(before, programme=Programme(exchange={"USD": Exchange(worth=money("0.95"))}))
    found = difference(before, after)
    assert {cause for cause, amount in found.by_cause.items() if amount} == {"rate"}
    assert found.by_element["parts"] == Decimal("0.1354")
    lines = {line.part: line for line in computed(before).result.cost.lines}
    assert lines["mcu"].line_price == Decimal("4.1500")


def test_a_new_price_of_the_same_part_is_a_quoted_price() -> None:
    """The ladder of a part can change between revisions; that is neither a rung nor another part."""
    before = start()
    after = with_(before, parts={**before.parts, "quad": with_(before.parts["quad"], breaks=ladder((1, "1.20")))})
    assert set(causes(before, after)) == {"quoted_price"}


def test_rung_ladder_and_rate_at_once_add_up() -> None:
    """With volume, ladder and rate all changed each is named, and check_laws holds them to the total."""
    before = start()
    rungs = ladder((1, "4.4"), (2000, "4.0"))
    dear = with_(
        before, parts={**before.parts, "mcu": with_(before.parts["mcu"], breaks=ladder((1, "5"), (2000, "4.6")))}
    )
    after = having(
        with_(before, parts={**before.parts, "mcu": with_(before.parts["mcu"], breaks=rungs)}),
        vehicle=with_(before.proposal.vehicle, volume_per_year=2500),
        programme=Programme(exchange={"USD": Exchange(worth=money("0.95"))}),
    )
    assert {"rung", "quoted_price", "rate"} <= set(causes(dear, after))


def test_a_longer_distance_is_only_architecture() -> None:
    """Half a metre more to the front: two lamp wires and two feed wires, 2 m of wire at 0.31."""
    before = start()
    zones = {**before.proposal.zones, "cab": Zone(distance_m={"cab": 0.8, "front": 3.0})}
    found = difference(before, having(before, zones=zones))
    assert [(share.cause, share.element) for share in found.shares] == [("architecture", "wire")]
    assert found.total == Decimal("0.6200")


def _with_third_lamp(on: str) -> tuple[object, object]:
    before = start()
    variant = before.proposal.variants[VARIANT]
    loads = {**before.proposal.loads, "L3": before.proposal.loads["L1"]}
    placed = with_(variant, placements={**variant.placements, "L3": Placement(on=(on,))})
    return before, having(before, loads=loads, variants={VARIANT: placed})


def test_an_extra_lamp_is_only_scope() -> None:
    """A third lamp on a spare channel: one wire of 2.5 m, two ends, one way; the verdict is refused and names it."""
    before, after = _with_third_lamp("BOX.U2.2")
    found = difference(before, after)  # type: ignore[arg-type]
    assert {(share.cause, share.element): share.amount for share in found.shares} == {
        ("scope", "test"): Decimal("0.0200"),
        ("scope", "wire"): Decimal("0.7750"),
        ("scope", "wire_ends"): Decimal("0.3800"),
    }
    scope = scope_of(computed(before), computed(after))  # type: ignore[arg-type]
    assert (scope.is_same, scope.only_first, scope.only_second, scope.both) == (False, (), ("L3",), 2)


def test_an_extra_lamp_with_its_own_chip_is_only_scope() -> None:
    """The chip that carries nothing but the new lamp belongs to it, with its placement and what goes on top."""
    before, after = _with_third_lamp("BOX.U9.1")
    devices = before.proposal.variants[VARIANT].modules["BOX"].devices  # type: ignore[attr-defined]
    variant = after.proposal.variants[VARIANT]  # type: ignore[attr-defined]
    module = with_(variant.modules["BOX"], devices={**devices, "U9": Device(part="hexa")})
    after = having(after, variants={VARIANT: with_(variant, modules={"BOX": module})})  # type: ignore[arg-type]
    found = difference(before, after)  # type: ignore[arg-type]
    assert {share.cause for share in found.shares} == {"scope"}
    assert found.by_element["parts"] == Decimal("1.7000")


def test_an_extra_lamp_with_its_own_module_is_only_scope() -> None:
    """A module that serves nothing but the new lamp belongs to it as a whole."""
    before, after = _with_third_lamp("NEW.U1.1")
    variant = after.proposal.variants[VARIANT]  # type: ignore[attr-defined]
    modules = {**variant.modules, "NEW": Module(zone="front", devices={"U1": Device(part="hexa")})}
    after = having(after, variants={VARIANT: with_(variant, modules=modules)})  # type: ignore[arg-type]
    found = difference(before, after)  # type: ignore[arg-type]
    assert {share.cause for share in found.shares} == {"scope"}
    assert found.by_element["assembly"] == Decimal("2.1000")


def test_another_form_of_a_load_is_scope_and_is_named() -> None:
    """A lamp that needs two wires instead of one costs a wire more; words about it change nothing."""
    before = start()
    loads = before.proposal.loads
    after = having(before, loads={**loads, "L1": with_(loads["L1"], wire_count=2)})
    assert set(causes(before, after)) == {"scope"}
    scope, _ = compared(computed(before), computed(after))
    assert (scope.is_same, scope.changed) == (True, ("L1",))
    renamed = having(before, loads={**loads, "L1": with_(loads["L1"], name="lamp", note="seen")})
    assert scope_of(computed(before), computed(renamed)).changed == ()


@pytest.mark.parametrize(
    ("rate", "value", "cause"),
    [
        ("placement", money("0.02"), "placement"),
        ("test_per_module", money("2"), "test"),
        ("test_per_way", money("0.05"), "test"),
        ("assembly_per_module", money("3"), "assembly"),
        ("wire_per_metre", money("0.4"), "wire"),
        ("wire_end", money("0.2"), "wire_ends"),
        ("bus_node", money("1"), "network"),
        ("one_off", money("5000"), "one_off"),
        ("freight_ratio", 0.05, "freight"),
        ("duty_ratio", 0.05, "duty"),
    ],
)
def test_each_rate_is_the_cause_of_its_own_element(rate: str, value: object, cause: str) -> None:
    """A rate of work, wire or freight alone gives one cause in one element."""
    found = difference(start(), with_rates(start(), **{rate: value}))
    assert {(share.cause, share.element) for share in found.shares} == {(cause, cause)}


def test_attrition_carries_on_into_freight_and_duty() -> None:
    """Parts lost in assembly are sent and cleared too: the ratio is the cause in all three elements."""
    found = difference(start(), with_rates(start(), attrition_ratio=0.05))
    assert {(share.cause, share.element) for share in found.shares} == {
        ("attrition", "attrition"),
        ("attrition", "freight"),
        ("attrition", "duty"),
    }


def test_what_one_side_does_not_know_is_no_saving() -> None:
    """A price or rate known on one side only is set apart, and the total says that it lacks terms."""
    before = start()
    without_price = with_(before, parts={**before.parts, "mcu": with_(before.parts["mcu"], breaks=())})
    found = difference(before, without_price)
    assert {share.cause for share in found.shares} == {"one_side_unknown"}
    assert found.by_element["parts"] == Decimal("-4.1500")
    assert not found.is_known
    without_rate = with_rates(before, wire_per_metre=None)
    assert set(causes(before, without_rate)) == {"one_side_unknown"}
    nothing = with_rates(before, **dict.fromkeys(Rates.__struct_fields__[:8]), freight_ratio=None, duty_ratio=None)
    assert difference(nothing, nothing).total == 0


def test_changed_parts_name_quantity_rung_and_price() -> None:
    """Only parts of which something differs are listed, with None where a side has no such part."""
    before = start()
    devices = before.proposal.variants[VARIANT].modules["BOX"].devices
    after = with_module(before, devices={**devices, "U3": Device(part="hexa")})
    changes = {change.part: change for change in part_changes(computed(before), computed(after))}
    assert set(changes) == {"quad", "hexa"}
    quad = changes["quad"]
    assert (quad.first, quad.second, quad.amount) == (Decimal(2), Decimal(1), Decimal("-1.3200"))
    assert (changes["hexa"].first, changes["hexa"].rung_first, changes["hexa"].price_first) == (None, None, None)
    assert changes["hexa"].amount == Decimal("1.7000")
