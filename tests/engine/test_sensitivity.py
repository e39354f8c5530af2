"""Inputs ranked by how far they move the difference; each rank is what a full rollup with the moved input gives."""

from decimal import Decimal

import pytest

from bomtui.engine.rollup import rollup
from bomtui.engine.sensitivity import ranked_inputs
from bomtui.model.money import Money
from bomtui.model.proposal import Snapshot
from bomtui.model.settings import Rates
from tests.engine.sides import having, with_
from tests.samples.rollups import snapshot


def _ranked() -> dict[str, tuple[Decimal, Decimal]]:
    sample = snapshot("sweeper")
    found = ranked_inputs(rollup(sample, "distributed"), rollup(sample, "zone"))
    assert [own.swing for own in found] == sorted((own.swing for own in found), reverse=True)
    return {own.place: (own.down, own.up) for own in found}


def _difference(changed: Snapshot) -> Decimal:
    first, second = (rollup(changed, variant).result.cost.total.amount for variant in ("distributed", "zone"))
    return second - first


def test_wire_moves_the_sweeper_most() -> None:
    """167.5 m less wire at 0.31: 10 % of its price moves the difference by 5.1925 either way (worked by hand)."""
    found = _ranked()
    assert next(iter(found)) == "settings.rates.wire_per_metre"
    assert found["settings.rates.wire_per_metre"] == (
        Decimal("-120.5798") + Decimal("5.1925"),
        Decimal("-120.5798") - Decimal("5.1925"),
    )


@pytest.mark.parametrize("place", ["zones.Z2.distance.Z4", "parts.mcu-176.breaks", "settings.rates.bus_node"])
def test_a_rank_is_what_a_full_rollup_gives(place: str) -> None:
    """Moving a run, a price ladder or a rate in the proposal itself and computing everything gives the same."""
    sample = snapshot("sweeper")
    table, name, *rest = place.split(".")
    if table == "zones":
        zone = sample.proposal.zones[name]
        runs = {**zone.distance_m, rest[-1]: float(Decimal(repr(zone.distance_m[rest[-1]])) * Decimal("1.1"))}
        changed = having(sample, zones={**sample.proposal.zones, name: with_(zone, distance_m=runs)})
    elif table == "parts":
        part = sample.parts[name]
        rungs = tuple(with_(rung, price=rung.price * Decimal("1.1")) for rung in part.breaks)
        changed = with_(sample, parts={**sample.parts, name: with_(part, breaks=rungs)})
    else:
        rates: Rates = sample.proposal.settings.rates
        assert rates.bus_node is not None
        dearer = Money(amount=rates.bus_node.amount * Decimal("1.1"), currency="EUR")
        changed = having(sample, settings=with_(sample.proposal.settings, rates=with_(rates, bus_node=dearer)))
    assert _ranked()[place][1] == _difference(changed)


def test_a_variant_against_itself_is_moved_by_nothing() -> None:
    """Where both sides are the same no input moves their difference."""
    side = rollup(snapshot("sweeper"), "zone")
    assert ranked_inputs(side, side) == ()
