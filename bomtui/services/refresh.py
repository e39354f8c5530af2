"""What the catalog says now of the parts that a proposal is computed with, and what taking it would change.

A proposal keeps the data it was quoted with. Nothing here changes a figure until a part is taken.
"""

from collections.abc import Collection
from dataclasses import dataclass
from pathlib import Path

from bomtui.edit.edit import Edit, Refusal
from bomtui.edit.edits.group import Group
from bomtui.edit.edits.part import RefreshPart
from bomtui.model.ids import natural_key
from bomtui.model.part import Part
from bomtui.model.variant import Variant
from bomtui.services.catalog import opened, part_fields
from bomtui.services.effects import Basis, Effect, basis_of, effect_of
from bomtui.services.errors import UnknownNameError
from bomtui.services.one_step import session_of, write_step
from bomtui.services.review import Reviewed

PRICE_FIELDS = ("currency", "breaks", "price_date", "price_valid_to", "moq", "multiple", "sale_unit")
LIFE_FIELDS = ("life_cycle", "last_order", "available_until", "lead_weeks", "alternates")
WORDS = {"price": "price and order", "life": "life cycle and supply", "data": "parameters"}
"""Groups of changed fields, in the order in which they are told."""


@dataclass(frozen=True, slots=True)
class FieldChange:
    """One field of a part that says something else now.

    Attributes:
        group: One of `WORDS`.
        field: Key of the field.
        before: As the proposal has it; empty where it says nothing.
        now: As the catalog has it; empty where it says nothing.
    """

    group: str
    field: str
    before: str
    now: str


@dataclass(frozen=True, slots=True)
class PartRefresh:
    """One part of which the catalog says something else.

    Attributes:
        key: Its key.
        changes: What differs, by group.
        edit: The edit that takes it.
        effect: What taking it alone does to the variant; the sentence of a refusal where it cannot be taken.
        places: Devices and items of the variant that it is in.
    """

    key: str
    changes: tuple[FieldChange, ...]
    edit: Edit
    effect: Effect | Refusal
    places: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Refresh:
    """All frozen parts of a proposal beside the catalog.

    Attributes:
        changed: Parts of which the catalog says something else.
        same: Keys of parts of which it says the same.
        missing: Keys of parts that it does not have.
        together: What taking all of them does to the variant; None where there is nothing to take.
        basis: The variant as it is.
    """

    changed: tuple[PartRefresh, ...]
    same: tuple[str, ...]
    missing: tuple[str, ...]
    together: Effect | Refusal | None
    basis: Basis


def compare_with_catalog(reviewed: Reviewed, place: str | None = None) -> Refresh:
    """Compare every frozen part with the catalog.

    Args:
        reviewed: The variant whose figures and findings tell the effect.
        place: Where the catalog is; None for the usual place.

    Raises:
        BomtuiError: The catalog cannot be used.
    """
    frozen = reviewed.computed.opened.snapshot.parts
    with opened(place) as catalog:
        there = catalog.get_many(frozen)
    basis = basis_of(reviewed.computed, reviewed.review)
    differing = sorted((key for key in there if there[key] != frozen[key]), key=natural_key)
    changed = tuple(_refresh(basis, key, frozen[key], there[key]) for key in differing)
    return Refresh(
        changed=changed,
        same=tuple(sorted((key for key in there if there[key] == frozen[key]), key=natural_key)),
        missing=tuple(sorted(frozen.keys() - there.keys(), key=natural_key)),
        together=effect_of(basis, taking(changed)) if changed else None,
        basis=basis,
    )


def taking(parts: Collection[PartRefresh]) -> Edit:
    """Return the edit that takes some parts as one step."""
    edits = tuple(own.edit for own in parts)
    if len(edits) == 1:
        return edits[0]
    return Group(edits=edits, words=f"refresh {len(edits)} parts")


def chosen(refresh: Refresh, keys: Collection[str]) -> tuple[PartRefresh, ...]:
    """Return the changed parts of some keys.

    Raises:
        UnknownNameError: A key is none of a part that the catalog says something else of.
    """
    by_key = {own.key: own for own in refresh.changed}
    for key in keys:
        if key in by_key:
            continue
        if key in refresh.same:
            raise UnknownNameError(f"the catalog says nothing else of the part '{key}' than the proposal")
        if key in refresh.missing:
            raise UnknownNameError(f"the catalog has no part '{key}'; the proposal keeps what it has of it")
        raise UnknownNameError(f"the proposal has no part '{key}'")
    return tuple(own for own in refresh.changed if own.key in keys)


def take_parts(
    target: Path, parts: Collection[PartRefresh], *, losing: bool = False, folder: Path | None = None
) -> None:
    """Take some parts into a proposal file as one step, all of them or none.

    Args:
        target: The proposal.
        parts: What to take.
        losing: Whether to save although comments of the files would be lost.
        folder: Folder of the journals; None for the person's own.

    Raises:
        BomtuiError: The proposal cannot be read or written, or holds steps that somebody has not saved.
    """
    with session_of(target, folder) as session:
        write_step(session, taking(parts), "nothing was taken", losing=losing)


def _refresh(basis: Basis, key: str, before: Part, now: Part) -> PartRefresh:
    edit = RefreshPart(key=key, part=now)
    computed = basis.computed
    return PartRefresh(
        key=key,
        changes=field_changes(before, now),
        edit=edit,
        effect=effect_of(basis, edit),
        places=places_of(computed.opened.snapshot.proposal.variants[computed.variant], key),
    )


def field_changes(before: Part, now: Part) -> tuple[FieldChange, ...]:
    """Return the fields in which two copies of a part differ, prices first."""
    old, new = dict(part_fields(before)), dict(part_fields(now))
    keys = list(dict.fromkeys([*new, *old]))
    changes = [
        FieldChange(group_of(key), key, old.get(key, ""), new.get(key, ""))
        for key in keys
        if old.get(key) != new.get(key)
    ]
    order = list(WORDS)
    return tuple(sorted(changes, key=lambda change: order.index(change.group)))


def group_of(key: str) -> str:
    """Return which of `WORDS` a field of a part belongs to."""
    name = key.partition(".")[0]
    if name in PRICE_FIELDS:
        return "price"
    return "life" if name in LIFE_FIELDS else "data"


def places_of(variant: Variant, key: str) -> tuple[str, ...]:
    """Return the devices and items of a variant that are made of a part, in natural order."""
    found = []
    for module_id, module in variant.modules.items():
        found += [f"{module_id}.{ref}" for ref, device in module.devices.items() if device.part == key]
        if key in module.items:
            found.append(f"{module_id} (item)")
    return tuple(sorted(found, key=natural_key))
