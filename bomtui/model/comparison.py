"""What two computed variants, or two revisions, differ in: their scope, their cost by cause, their parts."""

from collections.abc import Callable, Iterable
from decimal import Decimal

from bomtui.model.base import Base
from bomtui.model.money import exact_sum
from bomtui.model.rollup import COST_ELEMENTS

OWN_CAUSES = tuple(element for element in COST_ELEMENTS if element != "parts")
"""Cost elements whose own rate can be another one."""

CAUSES = ("scope", "architecture", "part_change", "rung", "quoted_price", "rate", *OWN_CAUSES, "one_side_unknown")
"""Why two totals differ.

scope: loads that only one side serves, or that are other loads on each side; architecture: other quantities for the
same loads; part_change: a part in the very place of another one; rung: the same part at another price rung;
quoted_price: another price ladder of the same part; rate: the exchange rate; a cost element: its own rate;
one_side_unknown: amounts that are known on one side only, which is no saving.
"""


class Scope(Base, frozen=True):
    """Which loads both sides serve.

    Attributes:
        only_first: Loads that the first serves and the second does not, in natural order.
        only_second: The other way round.
        changed: Loads that both serve, but with other values of what their wires and channels depend on.
        both: How many loads both serve.
    """

    only_first: tuple[str, ...]
    only_second: tuple[str, ...]
    changed: tuple[str, ...]
    both: int

    @property
    def is_same(self) -> bool:
        """Whether both serve the same loads; only then do two totals say which is better."""
        return not self.only_first and not self.only_second


class Share(Base, frozen=True):
    """One step of the difference.

    Attributes:
        cause: One of `CAUSES`.
        element: Cost element that it is in.
        what: Catalog key of a part; empty where the element is not the cost of parts.
        amount: Exact amount, second less first.
    """

    cause: str
    element: str
    what: str
    amount: Decimal


class Difference(Base, frozen=True):
    """Cost of the second less cost of the first, per average vehicle.

    Attributes:
        total: The whole, of what is known.
        unknown_first: How many terms the first total lacks.
        unknown_second: The same of the second.
        shares: Steps that add to the total, exactly.
    """

    total: Decimal
    unknown_first: int
    unknown_second: int
    shares: tuple[Share, ...]

    @property
    def is_known(self) -> bool:
        """Whether neither side lacks a term, so that the total has a sign one can rely on."""
        return not self.unknown_first and not self.unknown_second

    @property
    def by_cause(self) -> dict[str, Decimal]:
        """Amount of each cause, in their order; they add to the total."""
        return self._summed(CAUSES, lambda share: share.cause)

    @property
    def by_element(self) -> dict[str, Decimal]:
        """Amount in each cost element, in their order; they add to the total."""
        return self._summed(COST_ELEMENTS, lambda share: share.element)

    def _summed(self, names: Iterable[str], name_of: Callable[[Share], str]) -> dict[str, Decimal]:
        return {name: exact_sum(share.amount for share in self.shares if name_of(share) == name) for name in names}


class PartChange(Base, frozen=True):
    """A part of which quantity, price or rung differ.

    Attributes:
        part: Catalog key.
        first: Quantity per vehicle on the first side; None where it has no such part.
        second: The same on the second.
        rung_first: Price rung; None where it has none.
        rung_second: The same on the second.
        price_first: Unit price; None where unknown or absent.
        price_second: The same on the second.
        amount: Its line price, second less first; None where one of them is unknown.
    """

    part: str
    first: Decimal | None
    second: Decimal | None
    rung_first: int | None
    rung_second: int | None
    price_first: Decimal | None
    price_second: Decimal | None
    amount: Decimal | None
