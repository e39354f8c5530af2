"""First estimates by wire and chip price, which choose what is costed exactly, and unit prices at the rung reached."""

from collections.abc import Mapping
from decimal import Decimal

from bomtui.engine.calc import PLAIN
from bomtui.engine.difference import rough_cost
from bomtui.engine.exchange import own_amount
from bomtui.engine.load_current import load_columns
from bomtui.engine.price import part_line
from bomtui.engine.wiring import module_wiring
from bomtui.model.load import Load
from bomtui.model.part import Part
from bomtui.model.proposal import Proposal
from bomtui.model.rollup import PartLine


def line_at(proposal: Proposal, key: str, part: Part | None, quantity: Decimal) -> PartLine:
    """Return the line of a part at a quantity per vehicle: its order, rung and unit price."""
    rates, currency = proposal.settings.rates, proposal.proposal.currency
    return part_line(PLAIN, key, part, quantity, proposal.vehicle, rates, currency, proposal.programme)


class RoughCosts:
    """First estimates of what it costs to serve one load in a zone.

    Args:
        proposal: For zones, settings and volume.
        load: The load.
        parts: Parts by catalog key.
        quantities: How much of each part the variant uses.
    """

    def __init__(
        self, proposal: Proposal, load: Load, parts: Mapping[str, Part], quantities: Mapping[str, Decimal]
    ) -> None:
        self._proposal, self._load, self._parts, self._quantities = proposal, load, parts, quantities
        self._wires_m: dict[str, Decimal | None] = {}
        self._prices: dict[tuple[str, int], Decimal | None] = {}

    def of(self, zone: str, key: str, pieces: int) -> Decimal | None:
        """Return the estimate for a module in a zone; None where a length or price is not known.

        Args:
            zone: Zone of the module.
            key: Part of the devices that have to be added.
            pieces: How many; 0 where none has to.
        """
        if zone not in self._wires_m:
            columns = load_columns(PLAIN, {"": self._load}, self._proposal.vehicle)
            wiring = module_wiring(PLAIN, zone, [self._load], columns.test_a, self._proposal)
            self._wires_m[zone] = wiring.loads[0].length_m
        proposal = self._proposal
        rate = own_amount(PLAIN, proposal.settings.rates.wire_per_metre, proposal.programme, proposal.proposal.currency)
        return PLAIN.exact(
            rough_cost,
            wires_m=self._wires_m[zone],
            wire_rate=rate,
            pieces=pieces,
            unit_price=self._unit_price(key, pieces) if pieces else Decimal(0),
        )

    def _unit_price(self, key: str, pieces: int) -> Decimal | None:
        if (key, pieces) not in self._prices:
            there = [quantity for part, quantity in self._quantities.items() if part == key]
            quantity = sum(there, Decimal(pieces))
            self._prices[key, pieces] = line_at(self._proposal, key, self._parts.get(key), quantity).unit_price
        return self._prices[key, pieces]
