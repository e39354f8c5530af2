"""Which inputs move the difference of two sides most."""

from decimal import Decimal

from bomtui.model.base import Base


class Sensitivity(Base, frozen=True):
    """One input moved down and up by a share of itself, all others as they are.

    Attributes:
        place: Field that is moved, as files name it.
        down: Difference, second less first, with the input lower.
        up: The same with the input higher.
        swing: How far apart these two are.
        turns: Whether another side is the cheaper one with the input at one of its ends.
    """

    place: str
    down: Decimal
    up: Decimal
    swing: Decimal
    turns: bool
