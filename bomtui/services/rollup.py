"""Compute one variant of an open proposal."""

from dataclasses import dataclass

from bomtui.engine import rollup as engine
from bomtui.model.ids import natural_key
from bomtui.model.proposal import Proposal
from bomtui.model.rollup import Rollup
from bomtui.services.errors import BomtuiError, UnknownNameError
from bomtui.services.open import Opened


@dataclass(frozen=True, slots=True)
class Computed:
    """A variant with all its figures.

    Attributes:
        opened: What it was computed from.
        variant: Id of the variant.
        rollup: The figures.
        memo: What lets the next rollup of this variant reuse modules that did not change.
    """

    opened: Opened
    variant: str
    rollup: Rollup
    memo: engine.Computed


def compute(opened: Opened, variant_id: str | None = None, previous: Computed | None = None) -> Computed:
    """Compute a variant.

    Args:
        opened: An open proposal.
        variant_id: Id of the variant; None for the one that the proposal shows first.
        previous: A former result of the same variant, to reuse what did not change.

    Raises:
        UnknownNameError: There is no such variant.
        BomtuiError: There is none at all.
    """
    variant = chosen_variant(opened.snapshot.proposal, variant_id)
    memo = engine.rollup(opened.snapshot, variant, None if previous is None else previous.memo)
    return Computed(opened, variant, memo.result, memo)


def chosen_variant(proposal: Proposal, variant_id: str | None) -> str:
    """Return the id of the variant that is meant.

    Raises:
        UnknownNameError: The proposal has no such variant.
        BomtuiError: It has none at all.
    """
    known = variant_ids(proposal)
    if not known:
        raise BomtuiError("this proposal has no variant: a table [variants.ID] with its modules is expected")
    if variant_id is None:
        return known[0]
    if variant_id not in known:
        raise UnknownNameError(f"there is no variant '{variant_id}'; the variants are {', '.join(known)}")
    return variant_id


def variant_ids(proposal: Proposal) -> tuple[str, ...]:
    """Return the ids of the variants: the one that is shown first, then the others in natural order."""
    first = proposal.proposal.default_variant
    ids = sorted(proposal.variants, key=natural_key)
    return (first, *(name for name in ids if name != first)) if first in proposal.variants else tuple(ids)
