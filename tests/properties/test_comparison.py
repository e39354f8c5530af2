"""Laws of comparing: causes add to the difference to the last digit, sides turn the sign, the same gives zero."""

import pytest
from hypothesis import given, settings

from bomtui.engine.rollup import rollup
from bomtui.model.proposal import Snapshot
from tests.engine.sides import check_laws
from tests.properties.varied import with_fitment
from tests.samples.rollups import snapshot
from tests.strategies import snapshots


@settings(max_examples=12)
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
