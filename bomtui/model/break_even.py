"""Where two sides cost the same."""

from decimal import Decimal

from bomtui.model.base import Base


class WireBreakEven(Base, frozen=True):
    """Wires in one zone that would make up for the dearer side.

    Attributes:
        zone: Where the wires would end.
        wires: How many.
        saving: What each costs less on the dearer side.
        earned: What all of them do, at least the gap.
    """

    zone: str
    wires: int
    saving: Decimal
    earned: Decimal


class Crossing(Base, frozen=True):
    """A volume at which another side becomes the cheaper one.

    Attributes:
        volume: The first vehicles a year at which it is.
        cheaper: `first`, `second`, or `same` where both cost the same.
    """

    volume: int
    cheaper: str
