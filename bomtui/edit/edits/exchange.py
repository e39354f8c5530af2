"""Other currencies and what they are worth."""

import msgspec

from bomtui.edit.edit import Edit, RefusedError
from bomtui.edit.tree import check_new_id, entry_of, quoted, with_entry, with_proposal, without
from bomtui.model.money import is_currency
from bomtui.model.programme import Exchange
from bomtui.model.proposal import Snapshot


class AddExchange(Edit, frozen=True):
    """Name another currency, of which nothing is known yet."""

    currency: str

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"add currency {self.currency}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot with the currency."""
        programme, own = snapshot.proposal.programme, snapshot.proposal.proposal.currency
        if not is_currency(self.currency):
            raise RefusedError(
                f"expected a currency of three capital letters (ISO 4217), found {quoted(self.currency)}"
            )
        if self.currency == own:
            raise RefusedError(f"{own} is the currency of the proposal itself")
        check_new_id(programme.exchange, self.currency, "currency")
        exchange = with_entry(programme.exchange, self.currency, Exchange())
        return with_proposal(snapshot, programme=msgspec.structs.replace(programme, exchange=exchange))


class RemoveExchange(Edit, frozen=True):
    """Remove a currency with its rate; prices in it are unknown then."""

    currency: str

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"remove currency {self.currency}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot without the currency."""
        programme = snapshot.proposal.programme
        entry_of(programme.exchange, self.currency, "currency")
        exchange = without(programme.exchange, (self.currency,))
        return with_proposal(snapshot, programme=msgspec.structs.replace(programme, exchange=exchange))
