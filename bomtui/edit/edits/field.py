"""One field of the proposal."""

from decimal import Decimal
from typing import Any

import msgspec

from bomtui.edit.edit import Edit, RefusedError
from bomtui.edit.edits.network import check_site
from bomtui.edit.place import FieldPlace, field_place, value_at, with_value
from bomtui.edit.tree import entry_of, module_of, quoted, variant_of, with_proposal
from bomtui.edit.values import Scope, check_key, check_switch, check_value
from bomtui.model.feed import Feed
from bomtui.model.ids import parse_address
from bomtui.model.network import Message, Node
from bomtui.model.programme import Exchange
from bomtui.model.proposal import Proposal, Snapshot
from bomtui.model.variant import Device, Item, Module, Placement, Rail, Variant
from bomtui.model.vehicle import Zone

_OTHER_EDITS = {
    (Device, "part"): "a device changes its part by swapping it",
    (Placement, "on"): "a load moves by placing it",
    (Placement, "stage"): "a power stage is chosen by placing the load",
}
"""Fields on which something else hangs, and how they are changed."""


_LOWEST, _HIGHEST = Decimal("0.2"), Decimal(5)
"""How far a new exchange rate may be from the one before without being asked about (common practice, no source)."""


class SetField(Edit, frozen=True):
    """Give a field a value.

    Attributes:
        place: The field as files name it: `loads.L11.rated_power`, `zones.Z1.distance.Z2`.
        value: Its value as the model holds it; None makes it unknown, or what an absent key stands for, and removes an
            entry of a table.
        sure: Whether somebody has agreed to a value that is far from what it was.
    """

    place: str
    value: Any = None
    sure: bool = False

    @property
    def label(self) -> str:
        """What it does, in words."""
        verb = "clear" if self.value is None else "set"
        return f"{verb} {field_place(self.place).words}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot with the field set."""
        place = field_place(self.place)
        info = place.info
        if sentence := why_not_by_itself(place):
            raise RefusedError(sentence)
        former = value_at(snapshot.proposal, place)
        scope = scope_of(snapshot, place)
        if place.entry:
            check_key(info, place.entry, scope, place.words)
        check_value(info, self.value, scope, place.words)
        if place.owner is Node and info.key == "at" and self.value is not None:
            check_site(snapshot, variant_of(snapshot, place.ids[0]), self.value)
        if place.owner is Feed and info.name == "switch":
            check_switch(self.value or "", scope, place.words)
        if place.owner is Placement and info.key == "fail_safe" and self.value:
            _check_device(variant_of(snapshot, place.ids[0]), self.value, place.words)
        if not self.sure and _is_far(place, former, self.value):
            raise RefusedError(
                f"the {place.words} was {former.amount:f} and would be {self.value.amount:f}: is it upside down?",
                retry=msgspec.structs.replace(self, sure=True),
            )
        if place.owner is Zone and info.key == "distance":
            return _with_distances(snapshot, place, former, self.value)
        return _with_proposal(snapshot, with_value(snapshot.proposal, place, self.value))


def _check_device(variant: Variant, text: str, words: str) -> None:
    """Refuse what is not the address of a device."""
    try:
        address = parse_address(text)
    except ValueError as error:
        raise RefusedError(f"the {words} takes a device MODULE.REF, found {quoted(text)}") from error
    module = variant.modules.get(address.module)
    if address.channel or module is None or address.device not in module.devices:
        raise RefusedError(f"the {words} takes a device MODULE.REF of this variant, found {quoted(text)}")


def _is_far(place: FieldPlace, former: Any, value: Any) -> bool:  # noqa: ANN401 - values of any field
    """Tell whether an exchange rate is so far from the one before that it may be written upside down."""
    if (place.owner, place.info.name) != (Exchange, "worth") or former is None or value is None:
        return False
    if former.currency != value.currency or former.amount <= 0:
        return False
    return not former.amount * _LOWEST <= value.amount <= former.amount * _HIGHEST


def why_not_by_itself(place: FieldPlace) -> str:
    """Say why a field is not set by itself, and how it is changed; empty for a field that can be set."""
    how = _OTHER_EDITS.get((place.owner, place.info.name))
    return f"the {place.words} is not set by itself: {how}" if how else ""


def scope_of(snapshot: Snapshot, place: FieldPlace) -> Scope:
    """Return what a field may name.

    Raises:
        RefusedError: It stands in a module, or a network, that does not exist.
    """
    if place.owner is Message:
        variant_id, network_id = place.ids[:2]
        networks = variant_of(snapshot, variant_id).networks
        return Scope(snapshot, network=entry_of(networks, network_id, "network", f"variant {variant_id}"))
    if place.owner is Placement:
        variant_id, load_id = place.ids[:2]
        variant = variant_of(snapshot, variant_id)
        placement = variant.placements.get(load_id)
        home = parse_address(placement.on[0]).module if placement is not None and placement.on else ""
        return Scope(snapshot, variant.modules.get(home), variant=variant)
    if place.pieces[0] != "variants" or not place.ids:
        return Scope(snapshot)
    variant = variant_of(snapshot, place.ids[0])
    inside = place.owner in {Device, Rail, Item, Module}
    return Scope(snapshot, module_of(snapshot, *place.ids[:2]) if inside else None, variant=variant)


def _with_proposal(snapshot: Snapshot, proposal: Proposal) -> Snapshot:
    return with_proposal(snapshot, **{name: getattr(proposal, name) for name in Proposal.__struct_fields__})


def _with_distances(snapshot: Snapshot, place: FieldPlace, former: Any, value: Any) -> Snapshot:  # noqa: ANN401
    """Set the run between two zones, which has one length whichever of the two zones it stands at."""
    zone, other = place.ids[0], place.entry
    if not other:
        raise RefusedError(f"the {place.words} is set zone by zone, as {quoted(f'{place.text}.ZONE')}")
    zones = snapshot.proposal.zones
    back = field_place(f"zones.{other}.distance.{zone}")
    stands_there = other != zone and zone in zones[other].distance_m
    proposal = snapshot.proposal
    if former is not None or not stands_there:
        proposal = with_value(proposal, place, value)
    if stands_there:
        proposal = with_value(proposal, back, value)
    return _with_proposal(snapshot, proposal)
