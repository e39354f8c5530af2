"""Modules that become one: found with the saving of the rollup, or kept apart for a reason with its numbers."""

from collections import Counter
from collections.abc import Iterable

import pytest

from bomtui.edit.edit import apply
from bomtui.engine.rollup import rollup
from bomtui.model.finding import SEVERITIES, Finding
from bomtui.model.proposal import Snapshot
from bomtui.packing.boxes.merging import Apart, United
from bomtui.packing.boxes.shapes import Plan, Shape, plan_of, shape_of
from bomtui.packing.boxes.union import ways_of
from bomtui.rules.run import review
from tests.packing.boxes.mergers import apart, merger, united
from tests.packing.sample_offers import computed, reviewed
from tests.samples.rollups import snapshot

PAIR = ("DAUD", "DCAB")


def _after(vehicle: str, found: United) -> Snapshot:
    after = apply(found.plan.edit, snapshot(vehicle))
    assert isinstance(after, Snapshot)
    return after


def test_the_saving_is_that_of_the_rollup_and_undo_is_the_former_snapshot() -> None:
    """The variant after it costs less by what was said, serves the same loads, and has one module less."""
    found = united("sweeper", PAIR)
    before = computed("sweeper", "distributed")
    after = rollup(_after("sweeper", found), "distributed")
    assert found.plan.saving == before.result.cost.total.amount - after.result.cost.total.amount > 0
    assert after.serving.module_of.keys() == before.serving.module_of.keys()
    assert before.result.modules.keys() - after.result.modules.keys() == {"DAUD"}


@pytest.mark.slow
def test_nothing_is_newly_found_that_was_not_announced() -> None:
    """Asked of everything anew, the rules find no more as grave as any measure than before and what was announced."""
    for vehicle, pair in (("sweeper", PAIR), ("sweeper", ("DAUD", "DHVC")), ("van", ("DBDY", "DHVC"))):
        found = united(vehicle, pair)
        after = _after(vehicle, found)
        result = rollup(after, "distributed")
        now = review(after, "distributed", result.result, result.serving, outputs=result.modules)
        former = (*reviewed(vehicle, "distributed").findings, *found.checked.added)
        for measure in range(2 * len(SEVERITIES)):
            more = _as_grave(now.findings, measure) - _as_grave(former, measure)
            assert dict(more) == {}, (vehicle, measure)


def _as_grave(findings: Iterable[Finding], measure: int) -> Counter[str]:
    """Count findings by rule that are as grave as a measure or graver; what failed is graver than what is undecided."""
    graves = ((own.rule, 2 * SEVERITIES.index(own.severity) + (own.outcome != "failed")) for own in findings)
    return Counter(rule for rule, gravity in graves if gravity <= measure)


def test_no_other_plan_that_the_rules_accept_saves_more() -> None:
    """Every choice of every way, asked by itself: the one taken is the best of those that keep reserves."""
    own = merger("sweeper")
    accepted: list[Plan] = []
    for way in ways_of(PAIR):
        shape = shape_of(own.basis, way)
        if not isinstance(shape, Shape):
            continue
        for controller in shape.controllers:
            for case in shape.cases:
                plan = plan_of(own.basis, shape, controller, case)
                if isinstance(plan, Plan) and plan.saving > 0 and controller.has_reserve and not case.condition:
                    accepted.append(plan)
    assert len(accepted) > 3
    assert united("sweeper", PAIR).plan.saving == max(plan.saving for plan in accepted)


def test_a_reason_names_both_numbers() -> None:
    """Boards that no housing holds, air too hot for a grade, safety that a controller lacks, and money."""
    # 2.2 + 2.2 dm2; a quarter less are 3.3; case-al holds 3.2.
    boards = apart("sweeper", ("ZCEN", "ZENG"), variant="zone")
    assert boards.reason == (
        "the boards have 4.4 dm2 together, as one board at least 3.3 dm2; the largest housing here holds 3.2 dm2"
    )
    assert dict(boards.short) == {"dm2 of board": pytest.approx(0.1)}
    hot = apart("sweeper", ("DCLU", "DSWP"))
    assert "grade.zone: the air at the boards of DCLU is 99.67 degC, grade G3 of panel-7 ends at 85 degC" in hot.reason
    unfit = apart("sweeper", ("DCAB", "DNAV"))
    assert "safety.capability: cpu-map is declared for use up to QM" in unfit.reason
    dear = apart("sweeper", ("DEXT", "DNAV"))
    # 9.9450 - 1.5200 - 2.1000 - 3.9370 - 1.5200 - 0.6000
    assert dear.reason.startswith(
        "no saving: in DNAV (Z2), each with its controller, 2.7 dm2 of board-8, it costs 0.2680 EUR more ("
    )
    assert all(own.is_proved for own in (boards, hot, unfit, dear))


def test_why_each_keeps_its_controller_is_said_with_numbers() -> None:
    """A LIN port takes two pins: three clusters need 6, and the controller with the most pins has two ports."""
    found = united("van", ("DBDY", "DDOR"))
    assert found.plan.controller == ""
    assert found.separate == ("on mcu-engine, which comes nearest: short 2 of the pins for lin (needs 6, has 4)")
    assert united("sweeper", PAIR).separate == ""


def test_a_search_that_is_ended_proves_nothing() -> None:
    """Nobody wants it any more: what is said then is not called the last word."""
    found = merger("sweeper").united(("DCLU", "DSWP"), lambda: False)
    assert isinstance(found, Apart)
    assert not found.is_proved
