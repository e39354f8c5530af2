"""Packing as a use case: what is taken is judged by engine and rules, and no solver at all is an answer too."""

from functools import cache

import pytest

from bomtui.edit.edit import apply
from bomtui.model.proposal import Snapshot
from bomtui.packing.offer import Offer
from bomtui.packing.problem import Packing
from bomtui.packing.proof import Certificate
from bomtui.services.merge import Aim, Merged, Wish, merge
from bomtui.services.open import open_proposal
from bomtui.services.review import Reviewed, review
from bomtui.services.rollup import compute
from bomtui.services.solver.job import Solved
from tests.samples.rollups import DEMO_VARIANTS, sample_path


@cache
def reviewed(vehicle: str, variant: str) -> Reviewed:
    """A committed variant with its findings."""
    return review(compute(open_proposal(sample_path(vehicle)), variant))


def without_solver(offer: Offer, start: Packing | None) -> Solved:
    """A solver that is not there."""
    del offer
    return Solved(start, Certificate(), 0, "failed", "not there")


@cache
def quick(vehicle: str, variant: str, module: str, aim: Aim = "cost") -> Merged:
    """A module packed without the solver."""
    return merge(reviewed(vehicle, variant), Wish(modules=(module,), aim=aim), solver=without_solver)


def test_without_the_solver_the_quick_packing_remains() -> None:
    """The quick packing is judged and bounded all the same, and says why nothing more was found."""
    merged = quick("sweeper", "zone", "ZHMI")
    assert merged.stopped_by == "failed"
    assert merged.after.amount < merged.before.amount
    assert merged.lower_bound is not None
    assert merged.lower_bound <= merged.after.amount


def test_the_step_does_what_was_said() -> None:
    """Applied to the proposal, the step gives the cost and the drivers that were announced, in one step."""
    merged = quick("sweeper", "zone", "ZHMI")
    assert merged.edit is not None
    opened = reviewed("sweeper", "zone").computed.opened
    after = apply(merged.edit, opened.snapshot)
    assert isinstance(after, Snapshot)
    assert after.number == opened.snapshot.number + 1
    variant = after.proposal.variants["zone"]
    assert {own.part for own in merged.chips} == {variant.modules["ZHMI"].devices[own.ref].part for own in merged.chips}


def test_a_plan_that_brings_an_error_is_refused_by_name() -> None:
    """Where engine and rules find a new error, the module stays as it is and the reason is said."""
    merged = merge(reviewed("sweeper", "zone"), Wish(modules=("ZCEN",)))
    assert [own.what for own in merged.refused] == ["ZCEN"]
    assert merged.refused[0].why.startswith("contact.feed: ")
    assert merged.edit is None
    assert merged.after == merged.before
    assert not merged.proved


def test_something_unknown_leaves_a_bound_only() -> None:
    """A rule that something unknown keeps open for a load in the plan leaves a lower bound, never a proof."""
    merged = quick("van", "central", "MENG")
    assert merged.proved == (not merged.open_rules and merged.gap_ratio == 0)


@pytest.mark.slow
@pytest.mark.parametrize(("vehicle", "variant"), DEMO_VARIANTS)
@pytest.mark.parametrize("aim", ["cost", "chips", "standby"])
def test_whole_variants_of_the_samples(vehicle: str, variant: str, aim: Aim) -> None:
    """Nothing gets worse than it is, a bound is never above the plan, and proved means that they meet."""
    merged = merge(reviewed(vehicle, variant), Wish(aim=aim))
    assert merged.stopped_by != "failed"
    if aim == "cost":
        assert merged.after.amount <= merged.before.amount
        assert merged.lower_bound is not None
        assert merged.lower_bound <= merged.after.amount
        assert not merged.proved or merged.lower_bound == merged.after.amount
    if aim == "chips":
        assert merged.devices[1] <= merged.devices[0]
    assert merged.edit is None or merged.opportunities
