"""What the loads of stand-in pairs have in common, without walking through the rest of the variant."""

from bomtui.engine.failure_walk import Dependencies, common_causes, is_served
from bomtui.model.failure import CommonCauses
from bomtui.model.ids import natural_key
from bomtui.model.proposal import Snapshot


def pair_causes(snapshot: Snapshot, variant_id: str) -> tuple[CommonCauses, ...]:
    """Return the common causes of each stand-in pair whose loads modules of the variant serve.

    Args:
        snapshot: Proposal and frozen parts.
        variant_id: The variant.
    """
    proposal = snapshot.proposal
    variant = proposal.variants[variant_id]
    pairs = {key: proposal.pairs[key] for key in sorted(proposal.pairs, key=natural_key)}
    loads = {load_id for pair in pairs.values() for load_id in (pair.primary, pair.stand_in)}
    graph = Dependencies(variant, snapshot.parts, proposal.loads)
    needs = {load_id: graph.needs(load_id) for load_id in loads if is_served(variant, load_id)}
    return tuple(
        common_causes(key, pair.primary, pair.stand_in, needs, is_together=pair.stand_in_duty_ratio == 0)
        for key, pair in pairs.items()
        if pair.primary in needs and pair.stand_in in needs
    )
