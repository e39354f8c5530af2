"""Where two ways of doing it cost the same: pieces, wires, vehicles a year."""

from bisect import bisect_right
from collections.abc import Callable, Iterable
from decimal import Decimal
from itertools import pairwise

from bomtui.engine.calc import PLAIN, formula
from bomtui.engine.price import need_with_attrition, yearly_need
from bomtui.engine.recost import at_volume
from bomtui.engine.rollup import Computed
from bomtui.engine.wiring import run_m
from bomtui.model.break_even import Crossing, WireBreakEven
from bomtui.model.ids import natural_key
from bomtui.model.money import ceiling


@formula("ceil(gap / saving)", "", "smallest whole number that earns a gap (definition)")
def pieces_to_earn(gap: Decimal, saving: Decimal) -> Decimal:
    """Pieces whose saving is at least a gap: vehicles against a fixed cost, wires against a dearer box.

    Args:
        gap: Money to earn.
        saving: What each piece saves, above 0.

    Source: definition; the last piece counts whole, however little of it is needed.
    """
    return Decimal(ceiling(gap / saving))


@formula("(first_run_m - second_run_m) * wire_rate", "", "shorter run at the price of a metre (definition)")
def saving_of_a_wire(first_run_m: Decimal, second_run_m: Decimal, wire_rate: Decimal) -> Decimal:
    """What one more wire costs less on the second side than on the first; both have two ends.

    Args:
        first_run_m: Its run on the first side [m].
        second_run_m: Its run on the second side [m].
        wire_rate: Money for one metre.

    Source: definition.
    """
    return (first_run_m - second_run_m) * wire_rate


def wire_break_even(first: Computed, second: Computed, wire_rate: Decimal | None) -> tuple[WireBreakEven, ...]:
    """Return per zone how many more load wires there make the dearer side as cheap as the other.

    A wire is taken to run to the nearest module of each side. Zones where it saves nothing, or of which a run is not
    known, are left out. A pair of totals with unknown terms has no gap to close.

    Args:
        first: One side.
        second: The other, of the same vehicle.
        wire_rate: Money for one metre; None where it is unknown.
    """
    totals = (first.result.cost.total, second.result.cost.total)
    if totals[0].unknown or totals[1].unknown or totals[0].amount == totals[1].amount:
        return ()
    dear, cheap = (first, second) if totals[0].amount > totals[1].amount else (second, first)
    gap = abs(totals[1].amount - totals[0].amount)
    found = []
    for zone in sorted(first.snapshot.proposal.zones, key=natural_key):
        saving = PLAIN.exact(
            saving_of_a_wire,
            first_run_m=_nearest(cheap, zone),
            second_run_m=_nearest(dear, zone),
            wire_rate=wire_rate,
        )
        if saving is None or saving <= 0:
            continue
        wires = PLAIN.exact(pieces_to_earn, gap=gap, saving=saving)
        if wires is not None:
            found.append(WireBreakEven(zone=zone, wires=int(wires), saving=saving, earned=saving * wires))
    return tuple(found)


def _nearest(side: Computed, zone: str) -> Decimal | None:
    """Return the run from a zone to the nearest module; None where one of the runs is not known."""
    proposal = side.snapshot.proposal
    modules = proposal.variants[side.result.variant].modules.values()
    runs = [run_m(PLAIN, proposal.zones, module.zone, zone) for module in modules]
    known = [run for run in runs if run is not None]
    return min(known) if known and len(known) == len(runs) else None


def crossings(first: Computed, second: Computed, lowest: int, highest: int) -> tuple[Crossing, ...]:
    """Return the volumes at which another side becomes the cheaper one.

    Between two volumes at which no part changes its rung, the difference only follows the one-off cost, which falls
    as volume grows; so it has one sign at both ends or crosses once.

    Args:
        first: One side.
        second: The other.
        lowest: Smallest volume looked at, vehicles a year, above 0.
        highest: Largest volume.

    Returns:
        The crossings, from small volumes up; none where a total lacks terms.
    """
    if first.result.cost.total.unknown or second.result.cost.total.unknown:
        return ()
    sides = (_Priced(first, lowest, highest), _Priced(second, lowest, highest))
    known: dict[int, int] = {}

    def cheaper(volume: int) -> int:
        if volume not in known:
            difference = sides[1].total(volume) - sides[0].total(volume)
            known[volume] = (difference > 0) - (difference < 0)
        return known[volume]

    steps = [volume for side in sides for volume in side.volumes]
    ends = sorted({lowest, highest, *steps, *(volume - 1 for volume in steps)})
    found = []
    for low, high in pairwise(ends):
        volume = low
        while cheaper(volume) != cheaper(high):
            volume = _first_change(cheaper, volume, high)
            found.append(Crossing(volume=volume, cheaper=_SIDES[cheaper(volume)]))
    return tuple(found)


_SIDES = {1: "first", -1: "second", 0: "same"}


def _first_change(sign: Callable[[int], int], low: int, high: int) -> int:
    """Return the first volume above the low end at which the sign is not that of the low end."""
    start = sign(low)
    while high - low > 1:
        middle = (low + high) // 2
        if sign(middle) == start:
            low = middle
        else:
            high = middle
    return high


class _Priced:
    """A variant over volume, of which only the parts are priced anew that reach another rung.

    Args:
        side: The computed variant.
        lowest: Smallest volume that will be asked for.
        highest: Largest one.
    """

    def __init__(self, side: Computed, lowest: int, highest: int) -> None:
        self._side = side
        steps: dict[int, set[str]] = {}
        for volume, key, _ in rung_steps(side, lowest, highest):
            steps.setdefault(volume, set()).add(key)
        self.volumes = sorted(steps)
        lines = at_volume(side, lowest).lines
        self._lines = [lines]
        for volume in self.volumes:
            lines = at_volume(
                side, volume, {key: line for key, line in lines.items() if key not in steps[volume]}
            ).lines
            self._lines.append(lines)

    def total(self, volume: int) -> Decimal:
        """Return the cost per vehicle at a volume."""
        return at_volume(self._side, volume, self._lines[bisect_right(self.volumes, volume)]).total.amount


def rung_steps(side: Computed, lowest: int, highest: int) -> list[tuple[int, str, int]]:
    """Return volume, part and rung wherever a part reaches a rung as the volume grows, in that order.

    Args:
        side: A computed variant.
        lowest: Volume above which it is looked for.
        highest: Largest volume.
    """
    found = []
    rates = side.snapshot.proposal.settings.rates
    attrition = Decimal(repr(rates.attrition_ratio))
    for key, need in side.cost.needs.items():
        part = side.snapshot.parts.get(key)
        if part is None or part.moq is None or part.multiple is None:
            continue
        quantity = PLAIN.counted(need.average, f"quantity of {key}")
        for rung in _rungs_above(part.moq, [step.quantity for step in part.breaks]):
            # An order reaches the rung as soon as the need goes beyond one package less than it takes.
            beyond = (ceiling(Decimal(rung) / part.multiple) - 1) * part.multiple
            volume = _first_beyond(quantity, attrition, beyond, lowest, highest)
            if volume is not None:
                found.append((volume, key, rung))
    return sorted(found)


def _rungs_above(moq: int, quantities: Iterable[int]) -> list[int]:
    lowest, *others = sorted(quantities) or [0]
    del lowest
    return [quantity for quantity in others if quantity > moq]


def _first_beyond(quantity: Decimal, attrition: Decimal, beyond: int, lowest: int, highest: int) -> int | None:
    """Return the first volume above the lowest at which the need goes beyond a number of pieces; None if none does."""

    def goes_beyond(volume: int) -> bool:
        need = PLAIN.exact(yearly_need, quantity=quantity, volume_per_year=volume)
        base = PLAIN.exact(need_with_attrition, need=need, attrition_ratio=attrition)
        return base is not None and base > beyond

    if goes_beyond(lowest) or not goes_beyond(highest):
        return None
    low, high = lowest, highest
    while high - low > 1:
        middle = (low + high) // 2
        if goes_beyond(middle):
            high = middle
        else:
            low = middle
    return high
