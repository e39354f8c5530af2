"""Loads of the vehicle."""

import msgspec

from bomtui.edit.edit import Edit, RefusedError
from bomtui.edit.node_places import nodes_everywhere, of_place
from bomtui.edit.references import Mentions, followed_everywhere
from bomtui.edit.tree import check_new_id, counted, entry_of, with_entry, with_key, with_proposal, without
from bomtui.edit.values import Scope, check_record
from bomtui.model.load import Load
from bomtui.model.proposal import Proposal, Snapshot


class AddLoad(Edit, frozen=True):
    """Add a load, served by nothing yet."""

    load_id: str
    load: Load

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"add load {self.load_id}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot with the load."""
        loads = snapshot.proposal.loads
        check_new_id(loads, self.load_id, "load")
        check_record(self.load, Scope(snapshot), self.load_id)
        return with_proposal(snapshot, loads=with_entry(loads, self.load_id, self.load))


class RemoveLoad(Edit, frozen=True):
    """Remove a load from the vehicle.

    Attributes:
        load_id: The load.
        take_along: Whether its placements in all variants, its pairs and its accepted findings may go with it.
    """

    load_id: str
    take_along: bool = False

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"remove load {self.load_id}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot without the load."""
        entry_of(snapshot.proposal.loads, self.load_id, "load")
        mentions = Mentions("load", self.load_id, None)
        proposal = mentions.record(snapshot.proposal)
        touched = mentions.touched
        variants = followed_everywhere(proposal, self.load_id, None, touched)
        variants = nodes_everywhere(variants, of_place(self.load_id, None), touched)
        gone = [*(snapshot.proposal.pairs.keys() - proposal.pairs.keys())]
        lost = snapshot.proposal.decompositions.keys() - proposal.decompositions.keys()
        for place in (*gone, *(f"decompositions.{key}" for key in lost)):
            variants = followed_everywhere(_with_variants(proposal, variants), place, None, touched)
        if touched and not self.take_along:
            raise RefusedError(
                f"with the load {self.load_id} would go what names it: {counted(len(touched), 'place')}",
                tuple(touched),
                msgspec.structs.replace(self, take_along=True),
            )
        return with_proposal(
            snapshot,
            loads=without(proposal.loads, (self.load_id,)),
            pairs=proposal.pairs,
            decompositions=proposal.decompositions,
            variants=variants,
        )


class RenameLoad(Edit, frozen=True):
    """Give a load another id; everything that names it follows."""

    load_id: str
    new_id: str

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"rename load {self.load_id} to {self.new_id}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot with the load under its new id."""
        entry_of(snapshot.proposal.loads, self.load_id, "load")
        check_new_id(snapshot.proposal.loads, self.new_id, "load", renamed=self.load_id)
        if self.new_id == self.load_id:
            return snapshot
        proposal = Mentions("load", self.load_id, self.new_id).record(snapshot.proposal)
        variants = followed_everywhere(proposal, self.load_id, self.new_id, [])
        return with_proposal(
            snapshot,
            loads=with_key(proposal.loads, self.load_id, self.new_id),
            pairs=proposal.pairs,
            decompositions=proposal.decompositions,
            variants=nodes_everywhere(variants, of_place(self.load_id, self.new_id), []),
        )


def _with_variants(proposal: Proposal, variants: object) -> Proposal:
    return msgspec.structs.replace(proposal, variants=variants)
