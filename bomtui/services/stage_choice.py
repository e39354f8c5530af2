"""Which FETs to put behind a pre-driver: the picker for the power stage of a load."""

from collections.abc import Mapping

from bomtui.edit.edits.device import AddDevice
from bomtui.edit.edits.group import Group
from bomtui.edit.edits.placement import Place
from bomtui.edit.wiring import next_references
from bomtui.model.finding import Review
from bomtui.model.ids import Address
from bomtui.model.part import Part
from bomtui.services.effects import basis_of
from bomtui.services.errors import UnknownNameError
from bomtui.services.fit_reasons import part_reasons
from bomtui.services.part_choice import Need, PartChoices, choice_of, judged, quantity_of, ranked
from bomtui.services.power_stage import FET, stage_channels
from bomtui.services.rollup import Computed


def stage_choices(
    computed: Computed, load_id: str, parts: Mapping[str, Part], count: int, known: Review | None = None
) -> PartChoices:
    """Return the FETs that could be added behind the channels of a load, beside those that are there.

    Args:
        computed: The variant as it is.
        load_id: A load placed on channels of a pre-driver.
        parts: Parts of the catalog by key.
        count: How many FETs.
        known: The review of the variant, where it is at hand.

    Raises:
        UnknownNameError: The load is placed on no channel.
    """
    snapshot = computed.opened.snapshot
    variant = snapshot.proposal.variants[computed.variant]
    channels = stage_channels(variant, load_id)
    if not channels:
        raise UnknownNameError(f"the load '{load_id}' is placed on no channel")
    module_id = channels[0].module
    module, placement = variant.modules[module_id], variant.placements[load_id]
    offered = {**parts, **snapshot.parts}
    found = []
    for key, part in offered.items():
        if part.kind != FET:
            continue
        refs = next_references(module, part, count)
        added = tuple(AddDevice(variant=computed.variant, module_id=module_id, part=key, ref=ref) for ref in refs)
        stage = (*placement.stage, *(str(Address(module_id, ref)) for ref in refs))
        place = Place(variant=computed.variant, load_id=load_id, on=placement.on, joined=placement.joined, stage=stage)
        words = f"add {' and '.join(refs)} ({key}) as power stage of {load_id}"
        edit = Group(edits=(*added, place), words=words)
        reasons = part_reasons(key, part, snapshot.proposal, offered)
        device = str(Address(module_id, refs[0]))
        found.append(choice_of(computed, key, part, quantity_of(computed, key) + count, reasons, edit, device))
    name = f" {snapshot.proposal.loads[load_id].name}".rstrip()
    need = Need(f"{count} FETs for {load_id}{name} behind {' and '.join(map(str, channels))}", (), (load_id,), (FET,))
    before = basis_of(computed, known)
    return PartChoices(need, module_id, judged(ranked(found), before, module_id), before)
