"""Which variant stands on the second side when nobody has said."""

from bomtui.model.proposal import Proposal
from bomtui.services.errors import BomtuiError
from bomtui.services.rollup import chosen_variant, variant_ids


def other_variant(proposal: Proposal, first: str, *, is_same_file: bool) -> str:
    """Return the variant of the second side.

    Args:
        proposal: Proposal of the second side.
        first: Variant of the first side.
        is_same_file: Whether both sides are of one proposal: then it is the next variant, else that of the same id.

    Raises:
        BomtuiError: There is no other variant in the same proposal.
    """
    known = variant_ids(proposal)
    if not is_same_file:
        return first if first in known else chosen_variant(proposal, None)
    others = [name for name in known if name != first]
    if not others:
        raise BomtuiError(f"the proposal has no variant beside {first} to compare it with; name another file")
    return others[0]
