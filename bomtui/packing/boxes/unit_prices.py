"""What one more piece of a part costs: the order in which parts are tried; what a plan costs, the rollup says."""

from collections.abc import Mapping
from decimal import Decimal

from bomtui.engine.calc import PLAIN
from bomtui.engine.price import part_line
from bomtui.engine.rollup import Computed
from bomtui.model.part import Part


class UnitPrices:
    """Unit prices at the quantity of now and one piece more.

    Args:
        computed: The variant as it is.
        parts: Parts by catalog key.
    """

    def __init__(self, computed: Computed, parts: Mapping[str, Part]) -> None:
        self._proposal = computed.snapshot.proposal
        self._now = {line.part: line.quantity for line in computed.result.cost.lines}
        self._parts = parts
        self._known: dict[str, Decimal | None] = {}

    def of(self, key: str) -> Decimal | None:
        """Return the unit price of a part; None where it has none that counts."""
        if key not in self._known:
            quantity = PLAIN.counted({"now": self._now.get(key, Decimal(0)), "one more": Decimal(1)}, key)
            proposal = self._proposal
            self._known[key] = part_line(
                PLAIN,
                key,
                self._parts.get(key),
                quantity,
                proposal.vehicle,
                proposal.settings.rates,
                proposal.proposal.currency,
                proposal.programme,
            ).unit_price
        return self._known[key]

    def cheapest_first(self, keys: tuple[str, ...]) -> tuple[str, ...]:
        """Return those of some parts that have a price, the cheapest first."""
        priced = [(price, key) for key in keys if (price := self.of(key)) is not None]
        return tuple(key for _, key in sorted(priced))
