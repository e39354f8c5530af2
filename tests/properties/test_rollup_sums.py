"""Sums add exactly, and an incremental rollup equals a full one, over generated proposals."""

from decimal import Decimal

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bomtui.engine.rollup import rollup
from bomtui.model.proposal import Snapshot
from tests.edit.random_edits import random_history
from tests.generated import generated_snapshot
from tests.strategies import snapshots


@settings(max_examples=20)
@given(snapshots())
def test_cost_adds_up_each_way(snapshot: Snapshot) -> None:
    """Elements, lines, modules, and subsystems with common and reserve add to one total, to the last digit."""
    for variant in snapshot.proposal.variants:
        cost = rollup(snapshot, variant).result.cost
        total = cost.total.amount
        assert sum((element.amount for element in cost.elements.values()), Decimal(0)) == total
        assert sum((module.total.amount for module in cost.modules.values()), Decimal(0)) == total
        owners = sum((owner.amount for owner in cost.subsystems.values()), Decimal(0))
        assert owners + cost.common.amount + cost.reserve.amount == total
        lines = [line.line_price for line in cost.lines if line.line_price is not None]
        assert sum(lines, Decimal(0)) == cost.elements["parts"].amount
        for line in cost.lines:
            if line.line_price is not None:
                assert sum(line.per_module.values(), Decimal(0)) == line.line_price


@settings(max_examples=15)
@given(snapshots())
def test_currents_of_modules_add_to_the_vehicle(snapshot: Snapshot) -> None:
    """What modules and unserved loads draw adds to the vehicle; an unknown in a module is one of the vehicle."""
    for variant in snapshot.proposal.variants:
        found = rollup(snapshot, variant).result
        if found.unplaced:
            continue
        for row, mode in enumerate(found.modes):
            parts = [module.modes[row].loads_a for module in found.modules.values()]
            if all(isinstance(part, float) for part in parts):
                assert isinstance(mode.loads_a, float)
                assert abs(mode.loads_a - sum(part for part in parts if isinstance(part, float))) < 1e-9
            else:
                assert not isinstance(mode.loads_a, float)


@settings(max_examples=20)
@given(st.lists(st.tuples(st.integers(0, 119), st.floats(0.1, 5.0)), min_size=1, max_size=5))
def test_incremental_equals_full(edits: list[tuple[int, float]]) -> None:
    """After any list of load edits the rollup that reuses former results is the one computed from nothing."""
    snapshot = generated_snapshot(120, 40)
    computed = rollup(snapshot, "only")
    for number, current_a in edits:
        loads = snapshot.proposal.loads
        changed = msgspec.structs.replace(loads[f"L{number}"], test_current_a=current_a)
        proposal = msgspec.structs.replace(snapshot.proposal, loads={**loads, f"L{number}": changed})
        snapshot = Snapshot(proposal=proposal, parts=snapshot.parts, number=snapshot.number + 1)
        former = computed
        computed = rollup(snapshot, "only", former)
        assert computed.result == rollup(snapshot, "only").result
        kept = [key for key, module in computed.modules.items() if module is former.modules[key]]
        assert len(kept) >= len(computed.modules) - 1


@pytest.mark.slow
@given(snapshots(), st.integers(0, 2**32))
@settings(max_examples=40)
def test_incremental_equals_full_after_any_edit(start: Snapshot, seed: int) -> None:
    """After edits of every kind, and back again, a rollup that reuses a former one is the one computed from nothing."""
    history, _ = random_history(seed, start, 12)
    line = [*[step.before for step in history.done], history.current]
    for variant in start.proposal.variants:
        computed = None
        for snapshot in [*line, *reversed(line[::3])]:
            if variant not in snapshot.proposal.variants:
                break
            computed = rollup(snapshot, variant, computed)
            assert computed.result == rollup(snapshot, variant).result


def test_a_variant_without_modules_costs_nothing() -> None:
    """With no module there is nothing to pay, one-off cost included, and every load is unserved."""
    snapshot = generated_snapshot(8, 8)
    empty = msgspec.structs.replace(snapshot.proposal.variants["only"], modules={}, placements={})
    proposal = msgspec.structs.replace(snapshot.proposal, variants={"only": empty})
    found = rollup(Snapshot(proposal=proposal, parts=snapshot.parts), "only").result
    assert found.cost.total.amount == 0
    assert len(found.unplaced) == 8
