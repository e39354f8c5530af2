"""Whether a load fits a channel: the one comparison that rules, candidates and placing ask."""

from dataclasses import dataclass
from typing import Literal

from bomtui.model.bound import Value
from bomtui.model.load import Load
from bomtui.model.part import DRIVER_KINDS, Part
from bomtui.model.settings import Settings

Check = Literal["channels", "side"]

NO_SIDE = "no load"
"""What a part drives that has no channels for loads."""


@dataclass(frozen=True, slots=True)
class Misfit:
    """One thing in which a load and a channel do not fit together.

    Attributes:
        check: channels: fewer than its drive code needs; side: the part does not drive loads of its drive code.
        measured: What the channel, or the number of channels, gives; None where that is not known.
        limit: What the load needs.
        unit: Unit of both; empty for words and counts.
        certain: False where something unknown decides whether they fit.
    """

    check: Check
    measured: Value | str
    limit: Value | str
    unit: str = ""
    certain: bool = True


def misfits(load: Load, part: Part | None, channels: int, settings: Settings) -> tuple[Misfit, ...]:
    """Return everything in which a load does not fit the channels that it is given; empty where it fits.

    The side is compared only where there is a channel to compare: a load that is given none lacks channels, and that
    alone is said.

    Args:
        load: The load.
        part: Part of the device that has the channels; None where nothing is known of it.
        channels: Channels that the load is given, over all devices that serve it.
        settings: For the channels that a drive code needs.

    Source: common practice; the channels per drive code are settings of the proposal, the sides are data of the part.
    """
    found = []
    needed = settings.habit(load.drive).channels
    if channels < needed:
        found.append(Misfit("channels", channels, needed))
    if channels:
        side = _side_misfit(load, part)
        if side is not None:
            found.append(side)
    return tuple(found)


def _side_misfit(load: Load, part: Part | None) -> Misfit | None:
    if part is None or (not part.sides and part.kind in DRIVER_KINDS):
        return Misfit("side", None, load.drive, certain=False)
    if load.drive in part.sides:
        return None
    return Misfit("side", " ".join(part.sides) if part.sides else NO_SIDE, load.drive)
