"""What so many more drivers of a part cost, by the rollup's own cost: line at its rung, ratios on it, placement."""

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal

from bomtui.engine.calc import PLAIN
from bomtui.engine.cost_elements import cost_elements
from bomtui.engine.price import part_line
from bomtui.engine.quantities import Amounts
from bomtui.engine.rollup import Computed
from bomtui.model.money import LINE_DIGITS, Total, ceiling
from bomtui.model.part import Part

STEP = Decimal(1).scaleb(-LINE_DIGITS)
"""Step of money in which packings are compared: that of a printed line."""


class Priced:
    """Costs of drivers beside everything else of a variant.

    Args:
        computed: The variant as it is.
        removed: Pieces of each part that a packing takes out before it puts any in.
        parts: Parts by catalog key.
    """

    def __init__(self, computed: Computed, removed: Mapping[str, int], parts: Mapping[str, Part]) -> None:
        self._computed = computed
        self._parts = parts
        self._amounts: dict[str, Amounts] = {module: own.average for module, own in computed.cost.quantities.items()}
        self._kept: dict[str, Decimal] = {}
        for key, need in computed.cost.needs.items():
            self._kept[key] = PLAIN.counted(need.average, f"quantity of {key}") - removed.get(key, 0)
        self._base = PLAIN.money(
            ("parts", "less what goes"),
            (
                computed.result.cost.elements["parts"].amount,
                *(self._change(key, count) for key, count in removed.items()),
            ),
        ).amount

    def _change(self, key: str, count: int) -> Decimal:
        """Return what the line of a part changes by when pieces go, less than nothing where it becomes cheaper."""
        after, now = self._line(key, self._kept[key]), self._line(key, self._kept[key] + count)
        return after - now if after is not None and now is not None else Decimal(0)

    def table(self, key: str, most: int) -> tuple[int, ...] | None:
        """Return what 0, 1, ... further pieces of a part cost, in steps; None where the part has no price.

        Args:
            key: Catalog key.
            most: Pieces up to which it goes.
        """
        before = self._kept.get(key, Decimal(0))
        if most and self._line(key, before + most) is None:
            return None
        rest = self._line(key, before)
        if rest is None:
            return None
        found = []
        for count in range(most + 1):
            line = self._line(key, before + count)
            if line is None:
                return None
            added = self._elements(line - rest, count) - self._elements(Decimal(0), 0)
            found.append(ceiling((added / STEP).to_integral_value()))
        return tuple(found)

    def _line(self, key: str, quantity: Decimal) -> Decimal | None:
        """Return the price of a line; None where the part has no price that counts, and nothing for no piece."""
        if not quantity:
            return Decimal(0)
        proposal = self._computed.snapshot.proposal
        return part_line(
            PLAIN,
            key,
            self._parts.get(key),
            quantity,
            proposal.vehicle,
            proposal.settings.rates,
            proposal.proposal.currency,
            proposal.programme,
        ).line_price

    def _elements(self, more: Decimal, pieces: int) -> Decimal:
        """Return all cost elements of the variant without its changing drivers, and with further parts and pieces."""
        proposal = self._computed.snapshot.proposal
        amounts = dict(self._amounts)
        if amounts and pieces:
            first = next(iter(amounts))
            amounts[first] = replace(amounts[first], placed_pieces=amounts[first].placed_pieces + pieces)
        elements = cost_elements(
            PLAIN, proposal, Total(amount=self._base + more), (), amounts, self._computed.cost.one_off
        )
        return sum((total.amount for _, total, _ in elements), Decimal(0))
