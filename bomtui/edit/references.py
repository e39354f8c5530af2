"""Everything in a proposal that names a thing: renamed with it, or dropped with it.

The field table says which fields name what, so a field that is added later is followed without a line here.
"""

from collections.abc import Callable
from functools import cache
from typing import Any, TypeVar

import msgspec

from bomtui.edit.tree import with_entry, with_key, without
from bomtui.model.base import Base
from bomtui.model.fields import FieldInfo, field_table
from bomtui.model.ids import Address, parse_address
from bomtui.model.proposal import Proposal
from bomtui.model.variant import Acceptance, Placement, Variant

RecordT = TypeVar("RecordT", bound=Base)

_GONE: Any = msgspec.UNSET


class Mentions:
    """One pass that renames an id, or drops what names it.

    Attributes:
        touched: Places of all that was changed or dropped, in the order of the file.
    """

    def __init__(self, kind: str, old: str, new: str | None) -> None:
        """Begin a pass.

        Args:
            kind: What the id names ("load", "zone", ...), as fields say it in `refers_to`.
            old: The id.
            new: Its new spelling; None where the thing goes.
        """
        self.touched: list[str] = []
        self._kind = kind
        self._old = old
        self._new = new

    def record(self, record: RecordT, path: str = "") -> RecordT:
        """Return a record that may not go itself, with all its mentions followed; the same one where there are none."""
        followed = self._followed(record, path)
        if followed is _GONE:
            raise ValueError(f"{path} cannot be without its {self._kind}")
        return followed

    def _followed(self, record: RecordT, path: str) -> RecordT:
        changed: dict[str, Any] = {}
        for info in _mentioning(type(record), self._kind):
            value = getattr(record, info.name)
            followed = self._field(info, value, f"{path}.{info.key}" if path else info.key)
            if followed is _GONE:
                return _GONE  # type: ignore[no-any-return]
            if followed is not value:
                changed[info.name] = followed
        return msgspec.structs.replace(record, **changed) if changed else record

    def _field(self, info: FieldInfo, value: Any, path: str) -> Any:  # noqa: ANN401 - a value has the type of its field
        if info.shape == "record":
            return self.record(value, path)
        if info.shape == "records":
            return self._records(info, value, path)
        if info.shape == "texts":
            return self._texts(value, path)
        if isinstance(value, dict):
            return self._entries(info, value, path)
        if value != self._old:
            return value
        if self._new is not None:
            return self._new
        if info.required:
            return _GONE
        self.touched.append(path)
        return info.default

    def _records(self, info: FieldInfo, table: dict[str, Base], path: str) -> dict[str, Base]:
        changed = table
        for key, record in table.items():
            where = f"{path}.{key}"
            if info.refers_to == self._kind and key == self._old:
                if self._new is None:
                    self.touched.append(where)
                    changed = without(changed, (key,))
                else:
                    changed = with_key(changed, key, self._new)
                continue
            followed = self._followed(record, where)
            if followed is _GONE:
                self.touched.append(where)
                changed = without(changed, (key,))
            elif followed is not record:
                changed = with_entry(changed, key, followed)
        return changed

    def _texts(self, texts: tuple[str, ...], path: str) -> tuple[str, ...]:
        if self._old not in texts:
            return texts
        if self._new is not None:
            return tuple(self._new if text == self._old else text for text in texts)
        self.touched.append(path)
        return tuple(text for text in texts if text != self._old)

    def _entries(self, info: FieldInfo, entries: dict[str, Any], path: str) -> dict[str, Any]:
        """Follow a table: quantities name something by their keys, words by their values."""
        named = [key for key, value in entries.items() if (key if info.dimension else value) == self._old]
        if not named:
            return entries
        if self._new is None:
            self.touched += [f"{path}.{key}" for key in named]
            return without(entries, named)
        if info.dimension:
            return with_key(entries, self._old, self._new)
        return {key: self._new if value == self._old else value for key, value in entries.items()}


def followed_places(variant: Variant, old: str, new: str | None, path: str, touched: list[str]) -> Variant:
    """Return a variant whose acceptances follow a place and all places below it; they go where it goes.

    Args:
        variant: The variant.
        old: Former place: an id or address.
        new: New place; None where it goes.
        path: Place of the variant in the file.
        touched: Takes the places of the acceptances that go.
    """
    changed = variant.accepted
    for key, acceptance in variant.accepted.items():
        if acceptance.place != old and not acceptance.place.startswith(f"{old}."):
            continue
        if new is None:
            touched.append(f"{path}.accepted.{key}")
            changed = without(changed, (key,))
        else:
            place = new + acceptance.place[len(old) :]
            moved: Acceptance = msgspec.structs.replace(acceptance, place=place)
            changed = with_entry(changed, key, moved)
    return variant if changed is variant.accepted else msgspec.structs.replace(variant, accepted=changed)


def followed_module(variant: Variant, old: str, new: str) -> Variant:
    """Return a variant whose placements, switches of feeds and acceptances follow the new id of a module."""
    placed = with_addresses(variant, lambda own: own._replace(module=new) if own.module == old else own)
    return followed_places(placed, old, new, "", [])


def followed_device(variant: Variant, module: str, old: str, new: str) -> Variant:
    """Return a variant whose placements, switches of feeds and acceptances follow the new reference of a device."""
    placed = with_addresses(
        variant, lambda own: own._replace(device=new) if (own.module, own.device) == (module, old) else own
    )
    return followed_places(placed, f"{module}.{old}", f"{module}.{new}", "", [])


def without_place(variant: Variant, module: str, device: str, path: str, touched: list[str]) -> Variant:
    """Return a variant in which nothing is placed on a module, or a device of it, that goes.

    Args:
        variant: The variant; the module itself is left to the caller.
        module: Id of the module.
        device: Reference of the device; empty where the whole module goes.
        path: Place of the variant in the file.
        touched: Takes the places of all that goes along.
    """
    placements: dict[str, Placement] = dict(variant.placements)
    for load_id, placement in variant.placements.items():
        where = f"{path}.placements.{load_id}"
        if any(_leads_to(address, module, device) for address in placement.on):
            touched.append(where)
            del placements[load_id]
            continue
        stage = tuple(address for address in placement.stage if not _leads_to(address, module, device))
        if len(stage) != len(placement.stage):
            touched.append(f"{where}.stage")
            placements[load_id] = msgspec.structs.replace(placement, stage=stage)
        if placement.fail_safe and _leads_to(placement.fail_safe, module, device):
            touched.append(f"{where}.fail_safe")
            placements[load_id] = msgspec.structs.replace(placements[load_id], fail_safe="")
    if placements != variant.placements:
        variant = msgspec.structs.replace(variant, placements=placements)
    variant = _without_switch(variant, module, device, path, touched)
    return followed_places(variant, f"{module}.{device}" if device else module, None, path, touched)


def _without_switch(variant: Variant, module: str, device: str, path: str, touched: list[str]) -> Variant:
    """Return a variant in which no feed is switched by a module, or a device of it, that goes."""
    feeds = variant.feeds
    for feed_id, feed in variant.feeds.items():
        if feed.switch and _leads_to(feed.switch, module, device):
            touched.append(f"{path}.feeds.{feed_id}.switch")
            feeds = with_entry(feeds, feed_id, msgspec.structs.replace(feed, switch=""))
    return variant if feeds is variant.feeds else msgspec.structs.replace(variant, feeds=feeds)


def without_rail_of_loads(variant: Variant, module: str, rail: str, path: str, touched: list[str]) -> Variant:
    """Return a variant in which no load of a module is fed from a rail that goes.

    Args:
        variant: The variant.
        module: Id of the module.
        rail: The rail.
        path: Place of the variant in the file.
        touched: Takes the places of the loads that lose it.
    """
    fed = _fed_from(variant, module, rail)
    touched += [f"{path}.placements.{load_id}.rail" for load_id in fed]
    return _with_rail(variant, fed, "")


def followed_rail_of_loads(variant: Variant, module: str, old: str, new: str) -> Variant:
    """Return a variant whose loads in a module follow the new id of the rail that feeds them."""
    return _with_rail(variant, _fed_from(variant, module, old), new)


def _fed_from(variant: Variant, module: str, rail: str) -> list[str]:
    return [
        load_id
        for load_id, placement in variant.placements.items()
        if placement.rail == rail and placement.on and parse_address(placement.on[0]).module == module
    ]


def _with_rail(variant: Variant, loads: list[str], rail: str) -> Variant:
    placements = variant.placements
    for load_id in loads:
        placements = with_entry(placements, load_id, msgspec.structs.replace(placements[load_id], rail=rail))
    return msgspec.structs.replace(variant, placements=placements) if loads else variant


def with_addresses(variant: Variant, moved: Callable[[Address], Address]) -> Variant:
    """Return a variant with the addresses of its placements and switches changed; the same one where none changes."""
    feeds = variant.feeds
    for feed_id, feed in variant.feeds.items():
        switch = str(moved(parse_address(feed.switch))) if feed.switch else ""
        if switch != feed.switch:
            feeds = with_entry(feeds, feed_id, msgspec.structs.replace(feed, switch=switch))
    placements = variant.placements
    for load_id, placement in variant.placements.items():
        on, stage = (
            tuple(str(moved(parse_address(address))) for address in addresses)
            for addresses in (placement.on, placement.stage)
        )
        kept = placement.fail_safe and str(moved(parse_address(placement.fail_safe)))
        if (on, stage, kept) != (placement.on, placement.stage, placement.fail_safe):
            followed = msgspec.structs.replace(placement, on=on, stage=stage, fail_safe=kept)
            placements = with_entry(placements, load_id, followed)
    if placements is variant.placements and feeds is variant.feeds:
        return variant
    return msgspec.structs.replace(variant, placements=placements, feeds=feeds)


def _leads_to(text: str, module: str, device: str) -> bool:
    address = parse_address(text)
    return address.module == module and (not device or address.device == device)


@cache
def _mentioning(record: type[Base], kind: str) -> tuple[FieldInfo, ...]:
    """Fields of a record that can name a thing of this kind, or hold records that can."""
    return tuple(
        info
        for info in field_table(record)
        if info.refers_to == kind
        or (info.shape in {"record", "records"} and info.record is not None and _mentioning(info.record, kind))
    )


def followed_everywhere(proposal: Proposal, old: str, new: str | None, touched: list[str]) -> dict[str, Variant]:
    """Return all variants with their acceptances following the place of something that belongs to the vehicle.

    A place that could also be that of a module keeps its old spelling when it is renamed: the finding opens again,
    instead of an acceptance passing to what it was not written for.

    Args:
        proposal: The proposal.
        old: Former place: an id, or table and id.
        new: New place; None where it goes.
        touched: Takes the places of the acceptances that go.
    """
    variants = proposal.variants
    for variant_id, variant in proposal.variants.items():
        if new is not None and old in variant.modules:
            continue
        followed = followed_places(variant, old, new, f"variants.{variant_id}", touched)
        if followed is not variant:
            variants = with_entry(variants, variant_id, followed)
    return variants
