"""Merges that the demo holds on purpose (demo G.6), those about modules: found with a saving, or blocked for a reason.

Rows 1 and 2 as they are about drivers: `test_blockers.py`.
"""

from collections import Counter
from decimal import Decimal

import pytest

from bomtui.model.variant import Variant
from bomtui.packing.boxes.housing import Case
from bomtui.packing.boxes.merging import Merger, United
from bomtui.packing.boxes.shapes import Plan, Shape, plan_of, shape_of
from bomtui.packing.boxes.union import Way
from bomtui.packing.greedy import greedy
from bomtui.packing.kept import Keep
from bomtui.packing.offer import Request, offer_of
from bomtui.packing.problem import cost_of, counts_of
from bomtui.rules.run import review
from tests.packing.boxes.mergers import apart, merger, united
from tests.packing.sample_offers import computed

pytestmark = pytest.mark.slow


def _variant(vehicle: str) -> Variant:
    return computed(vehicle, "distributed").snapshot.proposal.variants["distributed"]


def _gone(vehicle: str, found: United) -> dict[str, int]:
    """Parts of the variant that there are fewer pieces of, devices and counted items alike."""
    return _fewer(_variant(vehicle), found.checked.snapshot.proposal.variants["distributed"])


def _fewer(before: Variant, after: Variant) -> dict[str, int]:
    return dict(_pieces(before) - _pieces(after))


def _pieces(variant: Variant) -> Counter[str]:
    pieces: Counter[str] = Counter()
    for module in variant.modules.values():
        pieces.update(device.part for device in module.devices.values())
        whole = {key: item.quantity.quantity for key, item in module.items.items() if key.startswith("case-")}
        pieces.update({key: int(quantity) for key, quantity in whole.items()})
    return pieces


def _sure(cases: tuple[Case, ...]) -> tuple[Case, ...]:
    return tuple(case for case in cases if not case.condition) or cases


def _plan(own: Merger, way: Way, controller: str) -> Plan:
    """The cheapest plan of one way and controller that takes least for granted, whether rules accept it or not."""
    shape = shape_of(own.basis, way)
    assert isinstance(shape, Shape)
    chosen = next(fit for fit in shape.controllers if fit.part == controller)
    plans = [plan_of(own.basis, shape, chosen, case) for case in _sure(shape.cases)]
    return max((plan for plan in plans if isinstance(plan, Plan)), key=lambda plan: plan.saving)


def test_row_1_switches_of_three_modules_with_one_or_two_loads() -> None:
    """AUD, NAV and TIL become one module; then two of their switches are one, and that of TIL asks for more safety."""
    found = united("sweeper", ("DAUD", "DNAV", "DTIL"))
    assert found.plan.saving > 0
    after = found.checked.computed
    assert _pieces(after.snapshot.proposal.variants["distributed"])["hs24-8x220"] == 4
    findings = review(after.snapshot, "distributed", after.result, after.serving, outputs=after.modules).findings
    offer = offer_of(after, findings, after.snapshot.parts, Request((found.plan.way.into,), "warnings"))
    packing = greedy(offer.problem)
    assert packing is not None
    assert offer.start is not None
    assert (len(offer.start), len(packing)) == (2, 1)
    costs = [cost_of(offer.problem, counts_of(offer.problem, own)) for own in (offer.start, packing)]
    assert costs[0] > costs[1]
    kept = next(own for own in offer.left if "T05" in own.why)
    assert "is declared for use up to A, the function of T05 (B) asks B" in kept.why


def test_row_5_cluster_and_map_of_the_sweeper_share_supply_and_housing() -> None:
    """One housing, one set of converters and one protection for both; each keeps its controller for want of memory."""
    found = united("sweeper", ("DCLU", "DNAV"))
    # 922 KiB: 410 KiB + 512 KiB, less than the working memory of any controller here.
    assert "working memory: needs 922 KiB, has 512 KiB" in found.separate
    gone = _gone("sweeper", found)
    assert {key: gone.get(key) for key in ("buck5-3w", "buck33-4", "buck12-8w", "fet100-6")} == {
        "buck5-3w": 1, "buck33-4": 1, "buck12-8w": 1, "fet100-6": 2,
    }  # fmt: skip
    assert found.plan.saving > 0


def test_row_5_cluster_and_map_of_the_van_cost_more_together() -> None:
    """They share converters, but all of the board gets eight layers and the housing is a dear one."""
    # 1.4 dm2 of board-6 at 3.30 become 1.4 dm2 of board-8 at 6.20: 4.06. case-al 8.2320 - 2 * case-m 1.3440 = 5.544.
    # buck5-3 0.9240 and buck33-4 1.0248 go: 4.06 + 5.544 - 1.9488 = 7.6552.
    found = apart("van", ("DCLU", "DNAV"))
    assert found.reason.startswith(
        "no saving: in DCLU (Z2), each with its controller, 2.8 dm2 of board-8, it costs 0.4052"
    )
    assert "(parts +7.6552, " in found.reason
    assert found.is_proved
    with_one = merger("van").united(("DCLU", "DNAV"))
    assert with_one == found


@pytest.mark.parametrize(
    ("keep", "place"),
    [("warnings", "heat.junction: the junction of DENG.U19 (ee-32)"), ("errors", "DENG.U8 (ls-8x700)")],
)
def test_row_6_cooling_of_the_sweeper_is_too_hot_for_the_engine_box(keep: Keep, place: str) -> None:
    """Controller, CAN chip, protection and case would go and save money; the heat of both in one box is too much."""
    plan = _plan(merger("sweeper"), Way("DENG", ("DCOO",), is_one=True, shares=True), "mcu-engine")
    assert plan.saving > 0
    gone = _fewer(_variant("sweeper"), plan.computed.snapshot.proposal.variants["distributed"])
    assert {key for key in gone if not key.startswith("case-")} == {"mcu-48", "sbc-can", "rev-1", "fet60-2"}
    found = apart("sweeper", ("DCOO", "DENG"), keep)
    assert place in found.reason
    assert found.is_proved


def test_row_6_cooling_of_the_van_goes_into_the_engine_box() -> None:
    """mcu-24, sbc-lin, protection and case vanish, and the line between the two with them."""
    found = united("van", ("DCOO", "DENG"))
    assert found.plan.saving == Decimal("11.5708")
    gone = _gone("van", found)
    assert {key for key in gone if not key.startswith("case-")} == {"mcu-24", "sbc-lin", "rev-1", "fet40-1"}
    assert found.checked.against == ()


@pytest.mark.parametrize(("vehicle", "body"), [("sweeper", "DCAB"), ("van", "DBDY")])
def test_row_7_tilt_goes_into_the_body_box(vehicle: str, body: str) -> None:
    """A controller, its supply and CAN chip and a case go; motion sensor and radio stay."""
    own = merger(vehicle, keep="errors")
    plan = _plan(own, Way(body, ("DTIL",), is_one=True, shares=True), "mcu-100")
    assert plan.saving > 0
    after = plan.computed.snapshot.proposal.variants["distributed"]
    assert {"mcu-48", "sbc-can"} <= _fewer(_variant(vehicle), after).keys()
    radio = "radio-sub" if vehicle == "sweeper" else "radio-24"
    assert {"motion-6", radio} <= {device.part for device in after.modules[body].devices.values()}
    found = united(vehicle, tuple(sorted((body, "DTIL"))), "errors")
    assert found.plan.saving >= plan.saving
    assert {added.severity for added in found.checked.added} <= {"warning", "hint"}
