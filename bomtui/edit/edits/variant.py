"""Variants of a proposal."""

import msgspec

from bomtui.edit.edit import Edit, RefusedError
from bomtui.edit.references import Mentions
from bomtui.edit.top_tables import with_added
from bomtui.edit.tree import check_new_id, entry_of, variant_of, with_entry, with_key, with_proposal, without
from bomtui.edit.values import Scope, check_record
from bomtui.model.proposal import Snapshot
from bomtui.model.variant import Variant


class AddVariant(Edit, frozen=True):
    """Begin a variant without modules: none of the loads is served in it yet."""

    new_id: str
    name: str = ""

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"add variant {self.new_id}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot with the variant."""
        return with_added(snapshot, "variant", self.new_id, Variant(name=self.name))


class CopyVariant(Edit, frozen=True):
    """Begin a variant as the copy of another one."""

    variant: str
    new_id: str
    name: str = ""

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"copy variant {self.variant} to {self.new_id}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot with the copy; all its modules are shared with the first."""
        variants = snapshot.proposal.variants
        copy = msgspec.structs.replace(variant_of(snapshot, self.variant), name=self.name)
        check_new_id(variants, self.new_id, "variant")
        check_record(copy, Scope(snapshot), self.new_id)
        return with_proposal(snapshot, variants=with_entry(variants, self.new_id, copy))


class RenameVariant(Edit, frozen=True):
    """Give a variant another id."""

    variant: str
    new_id: str

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"rename variant {self.variant} to {self.new_id}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot with the variant under its new id."""
        variants = snapshot.proposal.variants
        entry_of(variants, self.variant, "variant")
        check_new_id(variants, self.new_id, "variant", renamed=self.variant)
        if self.new_id == self.variant:
            return snapshot
        proposal = Mentions("variant", self.variant, self.new_id).record(snapshot.proposal)
        return with_proposal(
            snapshot, proposal=proposal.proposal, variants=with_key(variants, self.variant, self.new_id)
        )


class DeleteVariant(Edit, frozen=True):
    """Delete a variant with its modules and placements; the loads belong to the vehicle and stay."""

    variant: str

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"delete variant {self.variant}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot without the variant."""
        variants = snapshot.proposal.variants
        entry_of(variants, self.variant, "variant")
        if len(variants) == 1:
            raise RefusedError(f"the variant {self.variant} is the only one; a proposal keeps at least one")
        proposal = Mentions("variant", self.variant, None).record(snapshot.proposal)
        return with_proposal(snapshot, proposal=proposal.proposal, variants=without(variants, (self.variant,)))
