"""Findings that somebody accepts."""

import datetime

from bomtui.edit.edit import Edit, RefusedError
from bomtui.edit.tree import entry_of, variant_of, with_entry, with_variant, without
from bomtui.edit.values import Scope, check_record
from bomtui.model.proposal import Snapshot
from bomtui.model.variant import Acceptance


class AcceptFinding(Edit, frozen=True):
    """Accept a finding at the numbers that it has now.

    Attributes:
        variant: The variant.
        rule: Rule that found it.
        place: Where.
        reason: Why it is accepted.
        by: Who accepts it.
        date: Today.
        measured: Measured value as printed; the acceptance lapses when it changes.
        limit: Limit as printed; likewise.
    """

    variant: str
    rule: str
    place: str
    reason: str
    by: str
    date: datetime.date
    measured: str
    limit: str

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"accept {self.rule} at {self.place}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot with the acceptance under the next free id."""
        accepted = variant_of(snapshot, self.variant).accepted
        for value, words in ((self.reason, "the reason why"), (self.by, "the name of who accepts it")):
            if not value.strip():
                raise RefusedError(f"a finding is accepted with a reason and a name: {words} is missing")
        acceptance = Acceptance(
            rule=self.rule,
            place=self.place,
            reason=self.reason,
            by=self.by,
            date=self.date,
            measured=self.measured,
            limit=self.limit,
        )
        check_record(acceptance, Scope(snapshot), self.place)
        for key, other in accepted.items():
            if (other.rule, other.place, other.measured, other.limit) == (
                self.rule,
                self.place,
                self.measured,
                self.limit,
            ):
                raise RefusedError(f"{self.rule} at {self.place} is accepted already ({key})")
        return with_variant(snapshot, self.variant, accepted=with_entry(accepted, _next_id(accepted), acceptance))


class WithdrawAcceptance(Edit, frozen=True):
    """Let a finding be open again.

    Attributes:
        variant: The variant.
        accepted_id: Id of the acceptance.
    """

    variant: str
    accepted_id: str

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"withdraw acceptance {self.accepted_id}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot without the acceptance."""
        accepted = variant_of(snapshot, self.variant).accepted
        entry_of(accepted, self.accepted_id, "acceptance", f"variant {self.variant}")
        return with_variant(snapshot, self.variant, accepted=without(accepted, (self.accepted_id,)))


def _next_id(accepted: dict[str, Acceptance]) -> str:
    taken = {key.casefold() for key in accepted}
    number = 1
    while f"a{number:02}" in taken:
        number += 1
    return f"A{number:02}"
