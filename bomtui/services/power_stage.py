"""The power stage of a load: the FETs behind the channels that it has on a pre-driver."""

from bomtui.edit.edits.placement import Place
from bomtui.model.ids import Address, natural_key, parse_address
from bomtui.model.proposal import Snapshot
from bomtui.model.variant import Variant

PRE_DRIVEN = "GDF"
"""Drive code of loads that FETs behind a pre-driver carry."""
FET = "fet"


def stage_channels(variant: Variant, load_id: str) -> tuple[Address, ...]:
    """Return the channels that a load is placed on."""
    placement = variant.placements.get(load_id)
    on = () if placement is None else map(parse_address, placement.on)
    return tuple(address for address in on if address.channel)


def takes_stage(snapshot: Snapshot, variant_id: str, load_id: str) -> bool:
    """Tell whether a load is driven by a pre-driver and has its channels, so that FETs can be put behind them."""
    load = snapshot.proposal.loads.get(load_id)
    variant = snapshot.proposal.variants.get(variant_id)
    if load is None or variant is None:
        return False
    return load.drive == PRE_DRIVEN and bool(stage_channels(variant, load_id))


def fets_of(snapshot: Snapshot, variant_id: str, load_id: str) -> tuple[str, ...]:
    """Return the references of the FETs in the module of a placed load, in natural order."""
    variant = snapshot.proposal.variants[variant_id]
    devices = variant.modules[stage_channels(variant, load_id)[0].module].devices
    kinds = {ref: snapshot.parts.get(device.part) for ref, device in devices.items()}
    return tuple(sorted((ref for ref, part in kinds.items() if part is not None and part.kind == FET), key=natural_key))


def staged(snapshot: Snapshot, variant_id: str, load_id: str, refs: tuple[str, ...]) -> Place:
    """Return the edit that puts FETs of the module behind the channels of a load, in place of those that are there.

    Args:
        snapshot: Proposal and frozen parts.
        variant_id: The variant.
        load_id: A load placed on channels.
        refs: References of the FETs.
    """
    variant = snapshot.proposal.variants[variant_id]
    placement = variant.placements[load_id]
    module_id = stage_channels(variant, load_id)[0].module
    stage = tuple(str(Address(module_id, ref)) for ref in refs)
    return Place(variant=variant_id, load_id=load_id, on=placement.on, joined=placement.joined, stage=stage)
