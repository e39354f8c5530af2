"""The cost of a computed variant at other prices, rates or volumes: the same pieces and wires, priced anew."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

import msgspec

from bomtui.engine.calc import PLAIN
from bomtui.engine.cost import with_unserved
from bomtui.engine.cost_elements import cost_elements
from bomtui.engine.exchange import own_amount
from bomtui.engine.price import part_line
from bomtui.engine.rollup import Computed
from bomtui.model.money import Money, Total
from bomtui.model.part import Part
from bomtui.model.proposal import Proposal
from bomtui.model.rollup import PartLine


@dataclass(frozen=True, slots=True)
class Recosted:
    """Cost of a variant priced anew.

    Attributes:
        lines: Parts list by catalog key.
        elements: Cost elements per vehicle.
        total: Their sum.
    """

    lines: Mapping[str, PartLine]
    elements: Mapping[str, Total]
    total: Total

    @property
    def excess_life(self) -> Total:
        """Money in pieces left after the programme, per vehicle."""
        return PLAIN.money(list(self.lines), [line.excess_life_per_vehicle for line in self.lines.values()])


def recosted(
    side: Computed,
    proposal: Proposal | None = None,
    parts: Mapping[str, Part] | None = None,
    one_off: Money | None = None,
    kept: Mapping[str, PartLine] | None = None,
) -> Recosted:
    """Price a computed variant anew; what it takes of everything stays as it is.

    Args:
        side: The computed variant.
        proposal: With other rates, volume or programme; None for the same.
        parts: With other prices; None for the same.
        one_off: Another one-off cost of the variant; None for the same.
        kept: Lines that are known to stay as they are.
    """
    proposal = side.snapshot.proposal if proposal is None else proposal
    parts = side.snapshot.parts if parts is None else parts
    lines = {}
    for key, need in side.cost.needs.items():
        known = None if kept is None else kept.get(key)
        quantity = PLAIN.counted(need.average, f"quantity of {key}")
        lines[key] = known or part_line(
            PLAIN,
            key,
            parts.get(key),
            quantity,
            proposal.vehicle,
            proposal.settings.rates,
            proposal.proposal.currency,
            proposal.programme,
        )
    parts_cost = PLAIN.money(list(lines), [line.line_price for line in lines.values()])
    average = {module: amounts.average for module, amounts in side.cost.quantities.items()}
    own = side.cost.one_off if one_off is None else one_off
    elements = {
        name: with_unserved(name, total, side.cost.unserved.average)
        for name, total, _ in cost_elements(PLAIN, proposal, parts_cost, (), average, own)
    }
    return Recosted(lines, elements, PLAIN.totals(list(elements), list(elements.values())))


def at_volume(side: Computed, volume_per_year: int, kept: Mapping[str, PartLine] | None = None) -> Recosted:
    """Price a computed variant at another volume.

    Args:
        side: The computed variant.
        volume_per_year: Vehicles a year, above 0.
        kept: Lines of another volume with the same rungs, for who asks for nothing but prices.
    """
    proposal = side.snapshot.proposal
    vehicle = msgspec.structs.replace(proposal.vehicle, volume_per_year=volume_per_year)
    return recosted(side, msgspec.structs.replace(proposal, vehicle=vehicle), kept=kept)


def price_of(side: Computed, key: str, volume_per_year: int) -> Decimal | None:
    """Return the line price of one part at another volume; None where it is unknown."""
    proposal = side.snapshot.proposal
    return part_line(
        PLAIN,
        key,
        side.snapshot.parts.get(key),
        PLAIN.counted(side.cost.needs[key].average, f"quantity of {key}"),
        msgspec.structs.replace(proposal.vehicle, volume_per_year=volume_per_year),
        proposal.settings.rates,
        proposal.proposal.currency,
        proposal.programme,
    ).line_price


def spent_once(side: Computed) -> Decimal | None:
    """Return the one-off cost of a variant as a whole, in the currency of its proposal; None where it is unknown."""
    proposal = side.snapshot.proposal
    rates_own = proposal.settings.rates.one_off
    money = rates_own if side.cost.one_off is None else side.cost.one_off
    return own_amount(PLAIN, money, proposal.programme, proposal.proposal.currency)
