"""The target price among the meters: above it is bad, below it is good, and an unknown cost is neither."""

from decimal import Decimal

import pytest

from bomtui.model.money import Total
from bomtui.services.target import Gap
from bomtui.tui.from_services.meters import target_meter


@pytest.mark.parametrize(
    ("gap", "mark", "word"),
    [
        (Total(amount=Decimal("1.5")), "over", "1.5000 above"),
        (Total(amount=Decimal("-1.5")), "ok", "1.5000 below"),
        (Total(amount=Decimal(0)), "ok", "0.0000 below"),
        (Total(amount=Decimal("-1.5"), unknown=2), "unknown", "2 unknown"),
        (Total(amount=Decimal("1.5"), unknown=2), "over", "1.5000 above, 2 unknown"),
    ],
)
def test_target_meter(gap: Total, mark: str, word: str) -> None:
    """A known part that is already too dear is over, whatever more there is; below it an unknown decides nothing."""
    meter = target_meter(Gap(Decimal(600), gap), "EUR")
    assert (meter.value, meter.mark, meter.word) == ("600.0000 EUR", mark, word)
