"""A parameter of a part: minimum, typical and maximum."""

from bomtui.model.base import Base


class Parameter(Base, frozen=True):
    """A parameter with up to three values in one SI unit; None is unknown.

    Where a side is not given, the next value towards the middle stands in for it: the figure then rests on one value,
    which the rollup lists (`single_values`) as an assumption.

    Attributes:
        min: Smallest value over the operating range.
        typ: Typical value.
        max: Largest value over the operating range.
    """

    min: float | None = None
    typ: float | None = None
    max: float | None = None

    @property
    def middle(self) -> float | None:
        """Typical value, or the one given value where no typical one is."""
        if self.typ is not None:
            return self.typ
        return self.max if self.max is not None else self.min

    @property
    def upper(self) -> float | None:
        """Largest value, or the typical one where no largest is given."""
        return self.max if self.max is not None else self.middle

    @property
    def lower(self) -> float | None:
        """Smallest value, or the typical one where no smallest is given."""
        return self.min if self.min is not None else self.middle

    @property
    def given(self) -> int:
        """How many of the three values are given."""
        return sum(value is not None for value in (self.min, self.typ, self.max))
