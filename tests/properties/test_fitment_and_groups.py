"""What must hold of any vehicle with fitment rates and groups of loads."""

from decimal import Decimal
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bomtui.engine.calc import Recorder
from bomtui.engine.figures import all_figures
from bomtui.engine.rollup import rollup
from bomtui.engine.tagging import tagged_snapshot
from bomtui.model.bound import ends
from bomtui.model.proposal import Snapshot
from tests.generated import generated_snapshot
from tests.properties.explained import Figures, without_origin, wrong_steps
from tests.properties.varied import with_fields, with_fitment, with_groups
from tests.strategies import snapshots


@pytest.mark.slow
@settings(max_examples=60)
@given(snapshots(), st.integers(0, 2**32))
def test_the_average_cost_adds_up_each_way(start: Snapshot, seed: int) -> None:
    """Elements, lines, modules, and subsystems with common and reserve add to one total, whatever is fitted."""
    snapshot = with_fitment(start, seed)
    for variant in snapshot.proposal.variants:
        cost = rollup(snapshot, variant).result.cost
        total = cost.total.amount
        assert sum((element.amount for element in cost.elements.values()), Decimal(0)) == total
        assert sum((module.total.amount for module in cost.modules.values()), Decimal(0)) == total
        owners = sum((owner.amount for owner in cost.subsystems.values()), Decimal(0))
        assert owners + cost.common.amount + cost.reserve.amount == total
        for line in cost.lines:
            assert sum(line.quantities.values(), Decimal(0)) == line.quantity
            if line.line_price is not None:
                assert sum(line.per_module.values(), Decimal(0)) == line.line_price


@pytest.mark.slow
@settings(max_examples=60)
@given(snapshots(), st.integers(0, 2**32))
def test_the_average_lies_between_lean_and_full(start: Snapshot, seed: int) -> None:
    """Of every part and every cost element the average vehicle takes no less than the lean and no more than the full.

    Parts that no vehicle has carry no price, and terms that are not known are in no amount: both are left out.
    """
    snapshot = with_fitment(start, seed)
    for variant in snapshot.proposal.variants:
        cost = rollup(snapshot, variant).result.cost
        for line in cost.lines:
            assert line.lean <= line.quantity <= line.full
        for name, average in cost.elements.items():
            lean, full = cost.lean.elements[name], cost.full.elements[name]
            assert lean.unknown <= average.unknown <= full.unknown
            assert lean.amount <= average.amount <= full.amount


@pytest.mark.slow
@settings(max_examples=60)
@given(snapshots())
def test_a_fitment_of_every_vehicle_equals_none(start: Snapshot) -> None:
    """100 % of everything gives the very figures of a vehicle without fitments, and three equal costs."""
    without, everywhere = with_fitment(start, 0, (None,)), with_fitment(start, 0, (1.0,))
    for variant in start.proposal.variants:
        found = rollup(everywhere, variant).result
        assert found == rollup(without, variant).result
        assert found.cost.lean == found.cost.full
        assert found.cost.lean.total == found.cost.total


@pytest.mark.slow
@settings(max_examples=60)
@given(snapshots(), st.integers(0, 2**32))
def test_groups_never_add_to_the_current_that_is_on(start: Snapshot, seed: int) -> None:
    """With groups at most as much is on as without, at least as the largest load; means stay; modules know no other."""
    plain, grouped = with_groups(start, 0), with_groups(start, seed)
    plain = Snapshot(
        proposal=with_fields(
            plain.proposal,
            loads={
                key: with_fields(load, exclusive_group="", together_group="")
                for key, load in plain.proposal.loads.items()
            },
        ),
        parts=plain.parts,
    )
    for variant in start.proposal.variants:
        before, after = rollup(plain, variant).result, rollup(grouped, variant).result
        for row, mode in enumerate(after.modes):
            then = before.modes[row]
            assert (mode.loads_a, mode.loads_at_mode_voltage_a) == (then.loads_a, then.loads_at_mode_voltage_a)
            assert mode.supply_current_a.typ == then.supply_current_a.typ
            if mode.on_current_a is not None and then.on_current_a is not None:
                low, high = ends(mode.on_current_a)
                assert low <= ends(then.on_current_a)[0] * (1 + 1e-12)
                assert high <= ends(then.on_current_a)[1] * (1 + 1e-12)
        assert after.cost == before.cost
        assert after.standby_a == before.standby_a


@settings(max_examples=8)
@given(st.lists(st.integers(0, 2**32), min_size=1, max_size=4))
def test_incremental_equals_full_with_fitment_and_groups(seeds: list[int]) -> None:
    """From any fitments and groups to any others the rollup that reuses a former one is that computed from nothing."""
    base = generated_snapshot(60, 20)
    computed = rollup(base, "only")
    for seed in seeds:
        snapshot = with_groups(with_fitment(base, seed), seed)
        # Half of the records stay the very same objects, so that something can be reused.
        kept = {
            key: load if index % 2 else base.proposal.loads[key]
            for index, (key, load) in enumerate(snapshot.proposal.loads.items())
        }
        snapshot = Snapshot(proposal=with_fields(snapshot.proposal, loads=kept), parts=base.parts)
        computed = rollup(snapshot, "only", computed)
        assert computed.result == rollup(snapshot, "only").result


@cache
def _fitted_and_grouped() -> Snapshot:
    return with_groups(with_fitment(generated_snapshot(60, 20), 3), 5)


@cache
def _explained() -> Figures:
    return all_figures(rollup(tagged_snapshot(_fitted_and_grouped()), "only", calc=Recorder()).result)


def test_explaining_changes_no_figure() -> None:
    """The recorder gives every figure of a vehicle with fitments and groups the same value as the plain gate."""
    assert _explained() == all_figures(rollup(_fitted_and_grouped(), "only").result)


def test_no_figure_has_an_input_without_origin() -> None:
    """Each number in each figure of such a vehicle comes from a field, a reason, or another step."""
    assert without_origin(_explained()) == (set(), [])


def test_printed_formulas_give_the_printed_values() -> None:
    """Evaluated from its printed inputs, each printed formula of such a vehicle gives the printed value."""
    wrong, checked = wrong_steps(_explained())
    assert wrong == []
    assert checked > 100
