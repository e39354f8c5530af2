"""What a module asks of all its drivers together: channels to spare, and controller pins that are there at all."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from bomtui.model.limits import Limits
from bomtui.model.part import Part
from bomtui.model.rollup import ModuleResult
from bomtui.packing.kept import Mark
from bomtui.packing.problem import Floor


@dataclass(frozen=True, slots=True)
class ModuleNow:
    """A module before it is packed.

    Attributes:
        result: What was computed for it.
        marks: What findings it and its devices have.
        changing: Parts of the drivers that may change.
        channels: Channels that their loads take now.
    """

    result: ModuleResult
    marks: frozenset[Mark]
    changing: Sequence[Part]
    channels: int


def floors_of(
    module: ModuleNow, place: int, chips: Sequence[tuple[int, Part]], count: int, limits: Limits, *, with_reserve: bool
) -> Iterator[Floor]:
    """Yield what a module asks of its drivers, as far as it is met now and known.

    Args:
        module: The module as it is.
        place: Its number.
        chips: Numbers and parts of the chips that may stand there.
        count: How many chips there are in all places.
        limits: For the shares that are to be spare.
        with_reserve: Whether a share has to be spare, or being there is enough.
    """
    name = module.result.id
    use = module.result.channels
    if with_reserve and not use.unknown and ("reserve.channels", "failed") not in module.marks:
        spare = Fraction(str(limits.spare_channels_ratio))
        # Free is total less used, and at least a share of the total: in whole numbers of that share.
        per_channel, per_total = spare.denominator, spare.denominator - spare.numerator
        stays = use.total - sum(_channels(part) for part in module.changing)
        weights = _weights(count, [(index, per_total * _channels(part)) for index, part in chips])
        least = per_channel * (use.used - module.channels) - per_total * stays
        yield Floor(f"spare channels of {name}", place, weights, least, per_channel)
    pins = module.result.pins
    if not pins.unknown and pins.total and not pins.short:
        usable = pins.total
        if with_reserve and ("reserve.pins", "failed") not in module.marks:
            usable = int(pins.total * (1 - Fraction(str(limits.spare_pins_ratio))))
        stays = pins.used - sum(_pins(part) for part in module.changing)
        weights = _weights(count, [(index, -_pins(part)) for index, part in chips])
        yield Floor(f"controller pins of {name}", place, weights, stays - usable)


def _channels(part: Part) -> int:
    return 0 if part.channels is None else part.channels


def _pins(part: Part) -> int:
    """Pins that a driver takes of its controller whatever its loads are."""
    return sum(part.pin_needs.values())


def _weights(count: int, own: Sequence[tuple[int, int]]) -> tuple[int, ...]:
    weights = [0] * count
    for index, weight in own:
        weights[index] = weight
    return tuple(weights)
