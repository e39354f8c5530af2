"""All candidates of some modules."""

from collections.abc import Iterator, Mapping, Sequence

from bomtui.model.part import Part
from bomtui.model.proposal import Snapshot
from bomtui.packing.chips.candidate import Candidate, Ground
from bomtui.packing.chips.companions import companions
from bomtui.packing.chips.controllers import controllers
from bomtui.packing.chips.families import families
from bomtui.packing.chips.memories import memories
from bomtui.packing.chips.supplies import supplies


def candidates(
    snapshot: Snapshot, variant_id: str, modules: Sequence[str], parts: Mapping[str, Part]
) -> Iterator[Candidate]:
    """Yield every change that might make some modules cheaper; a frozen part keeps its frozen data.

    Args:
        snapshot: Proposal and frozen parts.
        variant_id: Id of the variant.
        modules: Modules that may change.
        parts: Parts of which chips may be made beside the frozen ones, by catalog key.
    """
    ground = Ground(snapshot, variant_id, {**parts, **snapshot.parts}, tuple(modules))
    for kind in (controllers, companions, supplies, memories, families):
        yield from kind(ground)
