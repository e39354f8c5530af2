"""Which inputs move the difference of two sides most: each moved down and up by a share of itself, then ranked."""

from collections.abc import Callable, Iterator, Mapping
from decimal import Decimal
from functools import partial

import msgspec

from bomtui.engine.calc import PLAIN, exact_of
from bomtui.engine.exchange import own_amount
from bomtui.engine.fitment import fitment
from bomtui.engine.quantities import Weights
from bomtui.engine.recost import recosted
from bomtui.engine.rollup import Computed
from bomtui.engine.wiring import given_run
from bomtui.model.ids import natural_key
from bomtui.model.money import Money, exact_sum, without_rounding
from bomtui.model.part import Part
from bomtui.model.proposal import Proposal
from bomtui.model.sensitivity import Sensitivity

Sides = tuple[Computed, Computed]
Moved = Callable[[Computed, Decimal], Decimal]
"""Total of a side with an input at a share of itself, such as 1.1."""


def ranked_inputs(first: Computed, second: Computed) -> tuple[Sensitivity, ...]:
    """Return the inputs that move the difference, the one that moves it most first.

    Inputs of both sides are moved on both: rates, ratios, volume, wire runs, prices of parts, exchange rates. What is
    unknown cannot be moved. Amounts are of what is known of both totals.

    Args:
        first: One side.
        second: The other, of the same vehicle; its swing is the share by which inputs are moved.
    """
    sides = (first, second)
    ratio = exact_of(PLAIN, second.snapshot.proposal.programme.swing_ratio, "programme.swing")
    now = second.result.cost.total.amount - first.result.cost.total.amount
    found = []
    for place, moved in (*_terms(sides), *_prices(sides), *_runs(sides)):
        down, up = (moved(second, share) - moved(first, share) for share in (1 - ratio, 1 + ratio))
        if down == up == now:
            continue
        turns = any(now * moved_to <= 0 and now != moved_to for moved_to in (down, up))
        found.append(Sensitivity(place=place, down=down, up=up, swing=abs(up - down), turns=turns))
    return tuple(sorted(found, key=lambda own: (-own.swing, natural_key(own.place))))


def _terms(sides: Sides) -> Iterator[tuple[str, Moved]]:
    """Yield rates, ratios, volume and exchange rates."""
    rates = sides[1].snapshot.proposal.settings.rates
    for name in rates.__struct_fields__:
        value = getattr(rates, name)
        if isinstance(value, Money) or (isinstance(value, float) and value):
            key = name.removesuffix("_ratio")
            yield f"settings.rates.{key}", _by_proposal(partial(_rate, name=name))
    if any(side.cost.one_off is not None for side in sides):
        yield "one-off cost of the variants", _one_off
    if sides[1].snapshot.proposal.vehicle.volume_per_year:
        yield "vehicle.volume_per_year", _by_proposal(_volume)
    for currency in sides[1].snapshot.proposal.programme.exchange:
        place = f"programme.exchange.{currency}.worth"
        yield place, _by_proposal(partial(_exchange, currency=currency))


def _by_proposal(change: Callable[[Proposal, Decimal], Proposal]) -> Moved:
    return lambda side, share: recosted(side, change(side.snapshot.proposal, share)).total.amount


def _scaled(money: Money | None, share: Decimal) -> Money | None:
    if money is None:
        return None
    with without_rounding():
        return Money(amount=money.amount * share, currency=money.currency)


def _rate(proposal: Proposal, share: Decimal, name: str) -> Proposal:
    rates = proposal.settings.rates
    value = getattr(rates, name)
    other = float(Decimal(repr(value)) * share) if isinstance(value, float) else _scaled(value, share)
    settings = msgspec.structs.replace(proposal.settings, rates=msgspec.structs.replace(rates, **{name: other}))
    return msgspec.structs.replace(proposal, settings=settings)


def _volume(proposal: Proposal, share: Decimal) -> Proposal:
    volume = proposal.vehicle.volume_per_year
    other = None if volume is None else max(1, int((volume * share).to_integral_value()))
    return msgspec.structs.replace(proposal, vehicle=msgspec.structs.replace(proposal.vehicle, volume_per_year=other))


def _exchange(proposal: Proposal, share: Decimal, currency: str) -> Proposal:
    programme = proposal.programme
    rate = programme.exchange.get(currency)
    if rate is None:
        return proposal
    other = msgspec.structs.replace(rate, worth=_scaled(rate.worth, share))
    exchange = {**programme.exchange, currency: other}
    return msgspec.structs.replace(proposal, programme=msgspec.structs.replace(programme, exchange=exchange))


def _one_off(side: Computed, share: Decimal) -> Decimal:
    return recosted(side, one_off=_scaled(side.cost.one_off, share)).total.amount


def _prices(sides: Sides) -> Iterator[tuple[str, Moved]]:
    """Yield the price ladders of the parts."""
    lines = [{line.part: line for line in side.result.cost.lines} for side in sides]
    for key in sorted(lines[0].keys() | lines[1].keys(), key=natural_key):
        if any(line.get(key) is not None and line[key].unit_price is not None for line in lines):
            yield f"parts.{key}.breaks", partial(_with_ladder, key=key)


def _with_ladder(side: Computed, share: Decimal, key: str) -> Decimal:
    part = side.snapshot.parts.get(key)
    if part is None or key not in side.cost.needs:
        return side.result.cost.total.amount
    with without_rounding():
        rungs = tuple(msgspec.structs.replace(rung, price=rung.price * share) for rung in part.breaks)
    parts: Mapping[str, Part] = {**side.snapshot.parts, key: msgspec.structs.replace(part, breaks=rungs)}
    kept = {line.part: line for line in side.result.cost.lines if line.part != key}
    return recosted(side, parts=parts, kept=kept).total.amount


def _runs(sides: Sides) -> Iterator[tuple[str, Moved]]:
    """Yield the wire runs between zones; a longer run is paid for in metres and nothing else."""
    metres = (_metres_by_run(sides[0]), _metres_by_run(sides[1]))
    pairs = sorted(metres[0].keys() | metres[1].keys(), key=natural_key)
    for pair in pairs:
        yield pair, partial(_with_run, sides=sides, metres=metres, pair=pair)


def _with_run(side: Computed, share: Decimal, sides: Sides, metres: tuple[Weights, Weights], pair: str) -> Decimal:
    proposal = side.snapshot.proposal
    total = side.result.cost.total.amount
    rate = own_amount(PLAIN, proposal.settings.rates.wire_per_metre, proposal.programme, proposal.proposal.currency)
    own = metres[0] if side is sides[0] else metres[1]
    if rate is None or pair not in own:
        return total
    with without_rounding():
        return total + own[pair] * (share - 1) * rate


def _metres_by_run(side: Computed) -> Weights:
    """Return how many metres of wire the average vehicle has along each run between two zones."""
    proposal = side.snapshot.proposal
    modules = proposal.variants[side.result.variant].modules
    found: dict[str, list[Decimal]] = {}
    for module_id, output in side.modules.items():
        zone, ratio = modules[module_id].zone, fitment(PLAIN, modules[module_id].fitment_ratio)
        columns, rows = output.load_stage.columns, output.load_stage.wiring.loads
        for load, row in zip(columns.loads, rows, strict=True):
            run = given_run(proposal.zones, zone, load.zone)
            if row.length_m and run is not None:
                share = ratio * fitment(PLAIN, load.fitment_ratio)
                found.setdefault(run.place, []).append(row.length_m * share)
        for wires, far in _common(proposal):
            run = given_run(proposal.zones, zone, far)
            if run is not None and wires:
                metres = exact_of(PLAIN, run.length_m, run.place) * wires
                found.setdefault(run.place, []).append(metres * ratio)
    return {pair: exact_sum(lengths) for pair, lengths in found.items()}


def _common(proposal: Proposal) -> tuple[tuple[int, str], ...]:
    counting, vehicle = proposal.settings.counting, proposal.vehicle
    return (counting.feed_wires, vehicle.battery_zone), (counting.bus_wires, vehicle.gateway_zone)
