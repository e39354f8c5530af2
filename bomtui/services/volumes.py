"""Cost over the volume of a programme: one variant, or two with the volumes at which another one becomes cheaper."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from bomtui.engine.break_even import crossings, rung_steps
from bomtui.engine.calc import PLAIN
from bomtui.engine.programme import lifetime
from bomtui.engine.recost import Recosted, at_volume, price_of
from bomtui.model.break_even import Crossing
from bomtui.model.lifetime import Lifetime
from bomtui.model.money import Total
from bomtui.model.programme import LEARNING_CONVENTIONS
from bomtui.services.errors import BomtuiError
from bomtui.services.present import listed
from bomtui.services.review import Reviewed
from bomtui.services.rollup import Computed
from bomtui.services.target import Gap, gap_to_target

SPREAD = 10
"""How far below and above the volume of the proposal it is looked, as a factor (common practice)."""
STEPS = (Decimal(1), Decimal(2), Decimal(5))
NAMED = 4
NEAREST = 5
"""Volumes with other rungs that are offered beside one that is asked for."""


@dataclass(frozen=True, slots=True)
class AtVolume:
    """A variant at one volume.

    Attributes:
        total: Cost per vehicle.
        excess: Money in pieces left after the programme, per vehicle.
        dearer_stock: Where a vehicle with its left-over pieces costs more than at the volume before, the parts whose
            left-over pieces are why; nothing else can make a larger volume dearer.
    """

    total: Total
    excess: Total
    dearer_stock: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class VolumeRow:
    """One volume.

    Attributes:
        volume: Vehicles a year.
        sides: The variants at it.
        difference: Cost per vehicle, second less first; None where there is one variant, or where a total lacks terms.
        is_own: Whether it is the volume of the proposal.
    """

    volume: int
    sides: tuple[AtVolume, ...]
    difference: Decimal | None
    is_own: bool


@dataclass(frozen=True, slots=True)
class RungStep:
    """A part that reaches another price rung as the volume grows: where, and what a vehicle then costs less."""

    volume: int
    part: str
    rung: int
    saving: Decimal | None


@dataclass(frozen=True, slots=True)
class Reel:
    """A part whose minimum order or package leaves pieces over.

    Attributes:
        part: Catalog key.
        need: Pieces of a year with attrition.
        order: Pieces ordered in the first year.
        moq: Smallest order.
        multiple: Package.
        tied_up: Money in what the first order has beyond the need.
        left_over: Money in what is left after the programme, per vehicle.
    """

    part: str
    need: int
    order: int
    moq: int
    multiple: int
    tied_up: Decimal
    left_over: Decimal


@dataclass(frozen=True, slots=True)
class Side:
    """What one variant does over volume and years.

    Attributes:
        reviewed: The variant.
        steps: Rungs that parts reach within the volumes looked at.
        reels: Parts with pieces left over, those that cost most first.
        lifetime: Its programme by the convention of the proposal; None where years or volumes are not known.
        other_convention: The same by the other one.
        gap: How it stands to the target price; None where there is none.
    """

    reviewed: Reviewed
    steps: tuple[RungStep, ...]
    reels: tuple[Reel, ...]
    lifetime: Lifetime | None
    other_convention: Lifetime | None
    gap: Gap | None


@dataclass(frozen=True, slots=True)
class Volumes:
    """Cost over volume.

    Attributes:
        sides: One variant, or two.
        rows: Volumes from small to large.
        crossings: Where another variant becomes the cheaper one.
    """

    sides: tuple[Side, ...]
    rows: tuple[VolumeRow, ...]
    crossings: tuple[Crossing, ...]

    @property
    def currency(self) -> str:
        """Currency of every amount."""
        return self.sides[0].reviewed.computed.opened.snapshot.proposal.proposal.currency


def volumes(variants: Iterable[Reviewed], wanted: Iterable[int] = ()) -> Volumes:
    """Cost one variant, or two of one proposal, over volume.

    Args:
        variants: One or two variants, computed and reviewed.
        wanted: Volumes that are asked for beside the usual ones, each above 0.

    Raises:
        BomtuiError: The proposal does not say how many vehicles are built in a year, or a volume is not above 0.
    """
    reviewed = tuple(variants)
    asked = set(wanted)
    own = reviewed[0].computed.opened.snapshot.proposal.vehicle.volume_per_year
    if not own:
        raise BomtuiError("the proposal does not say how many vehicles are built in a year (vehicle.volume_per_year)")
    if any(volume <= 0 for volume in asked):
        raise BomtuiError("expected volumes above 0, vehicles a year")
    grid = sorted({*asked, own, *_round_numbers(own)})
    lowest, highest = grid[0], grid[-1]
    computed = [side.computed for side in reviewed]
    priced = [[at_volume(side.memo, volume) for volume in grid] for side in computed]
    rows = [
        _row(volume, [own_row[number] for own_row in priced], [own_row[max(0, number - 1)] for own_row in priced], own)
        for number, volume in enumerate(grid)
    ]
    both = len(computed) > 1
    return Volumes(
        sides=tuple(_side(side, lowest, highest) for side in reviewed),
        rows=tuple(rows),
        crossings=crossings(computed[0].memo, computed[1].memo, lowest, highest) if both else (),
    )


def _round_numbers(own: int) -> list[int]:
    """Return round volumes around that of the proposal."""
    found = []
    decade = Decimal(1)
    while decade <= own * SPREAD:
        found += [
            int(step * decade) for step in STEPS if own <= step * decade * SPREAD and step * decade <= own * SPREAD
        ]
        decade *= 10
    return found


def _row(volume: int, now: list[Recosted], before: list[Recosted], own: int) -> VolumeRow:
    totals = [side.total for side in now]
    difference = None
    if len(totals) > 1 and not any(total.unknown for total in totals):
        difference = PLAIN.money(("second", "less first"), (totals[1].amount, -totals[0].amount)).amount
    sides = tuple(
        AtVolume(side.total, side.excess_life, _dearer_stock(side, former) if _is_dearer(side, former) else ())
        for side, former in zip(now, before, strict=True)
    )
    return VolumeRow(volume, sides, difference, volume == own)


def _is_dearer(now: Recosted, before: Recosted) -> bool:
    """Tell whether a vehicle with its share of what is left over costs more than at the volume before."""
    return now.total.amount + now.excess_life.amount > before.total.amount + before.excess_life.amount


def _dearer_stock(now: Recosted, before: Recosted) -> tuple[str, ...]:
    """Return the parts whose left-over pieces cost more than before, the worst first."""
    steps = {}
    for key, line in now.lines.items():
        left, former = line.excess_life_per_vehicle, before.lines[key].excess_life_per_vehicle
        if left is not None and former is not None and left > former:
            steps[key] = former - left
    return tuple(sorted(steps, key=lambda key: (steps[key], key)))


def _side(reviewed: Reviewed, lowest: int, highest: int) -> Side:
    computed = reviewed.computed
    chosen = computed.opened.snapshot.proposal.programme.learning_convention
    (other,) = [convention for convention in LEARNING_CONVENTIONS if convention != chosen]
    return Side(
        reviewed=reviewed,
        steps=_steps(computed, lowest, highest),
        reels=_reels(computed),
        lifetime=lifetime(computed.memo),
        other_convention=lifetime(computed.memo, other),
        gap=gap_to_target(computed),
    )


def _steps(computed: Computed, lowest: int, highest: int) -> tuple[RungStep, ...]:
    quantities = {line.part: line.quantity for line in computed.rollup.cost.lines}
    found = []
    for volume, key, rung in rung_steps(computed.memo, lowest, highest):
        before, after = (price_of(computed.memo, key, number) for number in (volume - 1, volume))
        saving = None if before is None or after is None else before - after
        if quantities[key]:
            found.append(RungStep(volume, key, rung, saving))
    return tuple(found)


def _reels(computed: Computed) -> tuple[Reel, ...]:
    found = []
    for line in computed.rollup.cost.lines:
        part = computed.opened.snapshot.parts.get(line.part)
        if part is None or part.moq is None or part.multiple is None or line.order is None or line.order_base is None:
            continue
        if line.excess_per_year is None or line.excess_life_per_vehicle is None or not line.excess_per_year:
            continue
        found.append(
            Reel(
                line.part,
                line.order_base,
                line.order,
                part.moq,
                part.multiple,
                line.excess_per_year,
                line.excess_life_per_vehicle,
            )
        )
    return tuple(sorted(found, key=lambda reel: (-reel.left_over, -reel.tied_up, reel.part)))


def next_volumes(computed: Computed, volume: int) -> tuple[tuple[int, str], ...]:
    """Return the volumes above one at which parts reach another rung, with what they are, the nearest ones first."""
    steps: dict[int, list[str]] = {}
    for number, key, rung in rung_steps(computed.memo, volume, volume * SPREAD):
        steps.setdefault(number, []).append(f"{key} from {rung}")
    return tuple((number, f": {listed(keys, NAMED)}") for number, keys in sorted(steps.items())[:NEAREST])


def stock_text(side: AtVolume) -> str:
    """Say which parts' left-over pieces cost more than at the volume before; empty where none do."""
    return f"stock: {listed(side.dearer_stock, NAMED)}" if side.dearer_stock else ""


def crossing_text(crossing: Crossing, names: tuple[str, str]) -> str:
    """Say which variant is cheaper from a volume on."""
    cheaper = {"first": f"{names[0]} is cheaper", "second": f"{names[1]} is cheaper", "same": "both cost the same"}
    return f"from {crossing.volume} vehicles a year on {cheaper[crossing.cheaper]}"
