"""Where two sides cost the same: wires of the worked example, vehicles a year, rungs on the way."""

from decimal import Decimal
from itertools import pairwise

import pytest

from bomtui.engine.break_even import crossings, rung_steps, wire_break_even
from bomtui.engine.recost import at_volume
from bomtui.engine.rollup import Computed, rollup
from tests.engine.sides import computed, having, ladder, money, start, with_, with_module, with_rates
from tests.engine.test_wiring_example import _snapshot
from tests.samples.rollups import snapshot


def test_wires_that_pay_for_the_zone_boxes() -> None:
    """Against the central box 28 more rear wires close the gap of 27.75, or 75 more front wires (worked by hand)."""
    central, zone = rollup(_snapshot(), "central"), rollup(_snapshot(), "zone")
    for sides in ((central, zone), (zone, central)):
        found = {own.zone: own for own in wire_break_even(*sides, Decimal("0.31"))}
        assert {name: (own.wires, own.saving, own.earned) for name, own in found.items()} == {
            "R": (28, Decimal("0.992"), Decimal("27.776")),
            "F": (75, Decimal("0.372"), Decimal("27.900")),
        }


def test_without_a_gap_or_a_rate_no_wire_pays() -> None:
    """A variant against itself has no gap, and without a price of wire nothing is saved."""
    zone, central = rollup(_snapshot(), "zone"), rollup(_snapshot(), "central")
    assert wire_break_even(zone, zone, Decimal("0.31")) == ()
    assert wire_break_even(zone, central, None) == ()


def _cheap_but_dear_to_begin() -> tuple[Computed, Computed]:
    """A dear part that needs no work before, and a part 0.50 cheaper that takes 6,000 first, in one year."""
    base = with_rates(start(), attrition_ratio=0.0, freight_ratio=0.0, duty_ratio=0.0)
    base = having(base, vehicle=with_(base.proposal.vehicle, years=1))
    base = with_(base, parts={**base.parts, "quad": with_(base.parts["quad"], breaks=ladder((1, "1.50")))})
    variant = base.proposal.variants["one"]
    cheap = with_(base, parts={**base.parts, "quad": with_(base.parts["quad"], breaks=ladder((1, "1.25")))})
    cheap = having(cheap, variants={"one": with_(variant, one_off=money("6000"))})
    return computed(base), computed(cheap)


def test_vehicles_that_pay_for_what_is_spent_once() -> None:
    """6,000 over 0.50 are 12,000 vehicles: there both cost the same, and beyond it the second is cheaper."""
    first, second = _cheap_but_dear_to_begin()
    (same, cheaper) = crossings(first, second, 100, 100000)
    # Amounts have 4 digits: 6,000 / n is 0.5000 for 11,999 to 12,001 vehicles.
    assert (same.volume, same.cheaper) == (11999, "same")
    assert (cheaper.volume, cheaper.cheaper) == (12002, "second")
    assert [own.cheaper for own in crossings(second, first, 100, 100000)] == ["same", "first"]
    assert crossings(first, second, 100, 5000) == ()


def test_a_rung_is_reached_at_the_smallest_volume_that_orders_it() -> None:
    """4,000 quads a year, two in a vehicle, 0.8 % lost: 1,984 vehicles need 4,000, one less does not."""
    assert rung_steps(computed(start()), 100, 10000) == [(1984, "quad", 4000)]
    for volume, rung in ((1983, 1), (1984, 4000)):
        assert at_volume(computed(start()), volume).lines["quad"].rung == rung


@pytest.mark.parametrize(("vehicle", "variant"), [("sweeper", "zone"), ("van", "central")])
def test_more_volume_never_raises_a_unit_price(vehicle: str, variant: str) -> None:
    """Along the volumes of a sample each unit price and the price of a vehicle stand or fall; stock alone may rise."""
    side = rollup(snapshot(vehicle), variant)
    steps = [at_volume(side, volume) for volume in (50, 120, 600, 601, 1999, 5000, 20000, 100000)]
    for before, after in pairwise(steps):
        for key, line in after.lines.items():
            unit_price, former = line.unit_price, before.lines[key].unit_price
            assert unit_price is not None
            assert former is not None
            assert unit_price <= former, key
        assert after.total.amount <= before.total.amount


def test_stock_alone_can_make_a_larger_volume_dearer() -> None:
    """One vehicle more than a reel serves leaves a reel almost whole: the price falls not, and the stock rises."""
    base = with_module(start(), devices={})
    parts = {**base.parts, "board": with_(base.parts["board"], moq=1200, multiple=1200)}
    side = computed(having(with_(base, parts=parts), vehicle=with_(base.proposal.vehicle, years=1)))
    low, high = at_volume(side, 991), at_volume(side, 992)
    assert high.total.amount <= low.total.amount
    assert high.excess_life.amount > low.excess_life.amount
