"""Laws of comparing: causes add to the difference to the last digit, sides turn the sign, the same gives zero."""

from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given, settings

from bomtui.engine.difference_by_cause import compared
from bomtui.engine.recost import at_volume
from bomtui.engine.rollup import rollup
from bomtui.model.part import PriceBreak
from bomtui.model.proposal import Snapshot
from bomtui.services.compare import _verdict
from bomtui.services.open import Opened
from bomtui.services.rollup import Computed, compute
from bomtui.services.volumes import _dearer_stock
from tests.engine.sides import check_laws
from tests.properties.varied import with_fields, with_fitment
from tests.samples.rollups import snapshot
from tests.strategies import snapshots


@settings(max_examples=8)
@given(snapshots(), snapshots())
def test_generated_revisions_compare_exactly(one: Snapshot, other: Snapshot) -> None:
    """Any two variants of any two proposals: whatever they share, the laws hold."""
    for first in one.proposal.variants:
        for second in (*one.proposal.variants, *other.proposal.variants):
            holder = one if second in one.proposal.variants else other
            check_laws(rollup(one, first), rollup(holder, second))


@pytest.mark.parametrize(
    ("vehicle", "first", "second"), [("sweeper", "distributed", "zone"), ("van", "distributed", "central")]
)
def test_samples_compare_exactly(vehicle: str, first: str, second: str) -> None:
    """The two variants of each vehicle, and of each with fitment rates by chance."""
    sample = snapshot(vehicle)
    check_laws(rollup(sample, first), rollup(sample, second))
    fitted = with_fitment(sample, 11)
    check_laws(rollup(sample, first), rollup(fitted, second))


@settings(max_examples=8)
@given(snapshots(), snapshots())
def test_another_scope_refuses_a_verdict_and_names_the_loads(one: Snapshot, other: Snapshot) -> None:
    """Where generated revisions do not serve the same loads, none is called cheaper and every one of them is named."""
    first, second = (_computed(own, name) for own, name in ((one, "a.toml"), (other, "b.toml")))
    scope, difference = compared(first.memo, second.memo)
    verdict = _verdict(first, second, scope, difference)
    alone = {*scope.only_first, *scope.only_second}
    assert scope.is_same == (not alone)
    assert alone == first.memo.serving.module_of.keys() ^ second.memo.serving.module_of.keys()
    if alone:
        assert verdict.startswith("no verdict: the two do not serve the same loads")
        assert all(load in verdict for load in alone)


def _computed(snapshot: Snapshot, name: str) -> Computed:
    return compute(Opened(Path(name), snapshot, (), ""))


@settings(max_examples=12)
@given(snapshots())
def test_more_volume_never_raises_a_price(snapshot: Snapshot) -> None:
    """With ladders that fall, no unit price and no cost of a vehicle rises with volume; only left-over pieces may."""
    parts = {key: with_fields(part, breaks=_falling(part.breaks)) for key, part in snapshot.parts.items()}
    side = rollup(Snapshot(proposal=snapshot.proposal, parts=parts), next(iter(snapshot.proposal.variants)))
    steps = [at_volume(side, volume) for volume in (1, 9, 10, 499, 500, 501, 20_000)]
    for before, after in pairwise(steps):
        for key, line in after.lines.items():
            former = before.lines[key].unit_price
            assert (line.unit_price is None) == (former is None)
            assert line.unit_price is None or former is None or line.unit_price <= former
        assert after.total.amount <= before.total.amount
        if after.total.amount + after.excess_life.amount > before.total.amount + before.excess_life.amount:
            assert _dearer_stock(after, before)


def _falling(breaks: tuple[PriceBreak, ...]) -> tuple[PriceBreak, ...]:
    prices = sorted((rung.price for rung in breaks), reverse=True)
    return tuple(with_fields(rung, price=price) for rung, price in zip(breaks, prices, strict=True))
