"""The target price of a proposal, and how far a variant is above it."""

from dataclasses import dataclass
from decimal import Decimal

from bomtui.engine.calc import PLAIN
from bomtui.engine.exchange import own_amount
from bomtui.model.money import Total
from bomtui.services.present import amount_text
from bomtui.services.rollup import Computed


@dataclass(frozen=True, slots=True)
class Gap:
    """How a variant stands to the target price.

    Attributes:
        target: Target price, in the currency of the proposal.
        gap: Cost less target: above 0 where the variant is too dear; at least that where the cost lacks terms.
    """

    target: Decimal
    gap: Total


def gap_to_target(computed: Computed) -> Gap | None:
    """Return the gap of a variant; None where no target is given, or one in a currency without a rate."""
    proposal = computed.opened.snapshot.proposal
    target = own_amount(PLAIN, proposal.programme.target_price, proposal.programme, proposal.proposal.currency)
    if target is None:
        return None
    cost = computed.rollup.cost.total
    gap = PLAIN.money(("cost", "less target"), (cost.amount, -target)).amount
    return Gap(target, Total(amount=gap, unknown=cost.unknown))


def gap_text(gap: Gap, currency: str) -> str:
    """Say how a variant stands to the target price."""
    amount = f"{amount_text(abs(gap.gap.amount))} {currency}"
    target = f"target price {amount_text(gap.target)} {currency}"
    if gap.gap.unknown:
        side = "above" if gap.gap.amount > 0 else "below"
        return f"{target}: what is known is {amount} {side} it, {gap.gap.unknown} unknown"
    if not gap.gap.amount:
        return f"{target}: reached exactly"
    return f"{target}: {amount} {'above' if gap.gap.amount > 0 else 'below'} it"
