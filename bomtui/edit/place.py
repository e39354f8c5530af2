"""The place of one field as files name it (`loads.L11.rated_power`): what it is, its value, and a changed copy."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache, lru_cache
from typing import Any

import msgspec

from bomtui.edit.edit import RefusedError
from bomtui.edit.tree import quoted, with_entry, without
from bomtui.model.base import Base
from bomtui.model.fields import FieldInfo, fields_by_key
from bomtui.model.ids import ID_RULE, is_id
from bomtui.model.proposal import Proposal
from bomtui.model.settings import DRIVE_HABITS, DriveHabit

CACHED_PLACES = 65_536
"""Places kept: a grid of fields asks for the same ones at every paint."""

_VARIANTS = "variants"


@dataclass(frozen=True, slots=True)
class FieldPlace:
    """A field of a proposal, whether or not the records on the way to it exist.

    Attributes:
        text: The place.
        pieces: Keys from the top of the file to the field; the key of one entry behind it.
        info: Row of the field table; for one entry of a table, that of its value.
        owner: Type of the record that holds the field.
        entry: Key of the entry; empty where the whole field is meant.
        ids: Ids on the way to the field.
    """

    text: str
    pieces: tuple[str, ...]
    info: FieldInfo
    owner: type[Base]
    entry: str
    ids: tuple[str, ...]

    @property
    def owner_pieces(self) -> tuple[str, ...]:
        """Keys from the top of the file to the record that holds the field."""
        return self.pieces[: -2 if self.entry else -1]

    @property
    def words(self) -> str:
        """What people call it: `rated power of L11`, `time share PARK of L11`, `part of ZREA.U6`."""
        name = " ".join(filter(None, (self.pieces[-2 if self.entry else -1].replace("_", " "), self.entry)))
        ids = self.ids[1:] if self.pieces[0] == _VARIANTS and len(self.ids) > 1 else self.ids
        return f"{name} of {'.'.join(ids)}" if ids else name


@lru_cache(maxsize=CACHED_PLACES)
def field_place(text: str) -> FieldPlace:
    """Look up what stands at a place, without looking at any proposal.

    Raises:
        RefusedError: No field has this place.
    """
    pieces = tuple(text.split("."))
    record: type[Base] = Proposal
    ids: list[str] = []
    position = 0
    while position < len(pieces):
        info = _by_key(record).get(pieces[position])
        if info is None:
            break
        position += 1
        inner = info.record if info.shape in {"record", "records"} else None
        if inner is None:
            return _leaf(text, pieces, position, info, record, tuple(ids))
        if info.shape == "records" and position < len(pieces):
            ids.append(pieces[position])
            position += 1
        record = inner
    raise _no_field(text)


def value_at(proposal: Proposal, place: FieldPlace) -> Any:  # noqa: ANN401 - a value has the type of its field
    """Return the value of a field; None for an entry that is absent.

    Raises:
        RefusedError: A record on the way to it does not exist.
    """
    record = _owner(proposal, place)
    name = _by_key(place.owner)[place.pieces[len(place.owner_pieces)]].name
    value = getattr(record, name)
    return value.get(place.entry) if place.entry else value


def with_value(proposal: Proposal, place: FieldPlace, value: Any) -> Proposal:  # noqa: ANN401 - type of the field
    """Return a proposal with another value of one field.

    Args:
        proposal: The former one.
        place: Which field.
        value: The value; None makes it unknown, or what an absent key stands for, and removes an entry.

    Returns:
        The same proposal where the field has this value already.

    Raises:
        RefusedError: A record on the way does not exist, or the field cannot be without a value.
    """
    if place.info.required and value is None and not place.entry:
        raise RefusedError(f"the {place.words} cannot be left out")
    if value is None and not place.entry and not place.info.optional:
        value = place.info.default
    if _is_equal(value_at(proposal, place), value):
        return proposal
    changed: Proposal = _set(proposal, place, 0, value)
    return changed


def _leaf(
    text: str, pieces: tuple[str, ...], position: int, info: FieldInfo, record: type[Base], ids: tuple[str, ...]
) -> FieldPlace:
    rest = pieces[position:]
    if not rest:
        return FieldPlace(text, pieces, info, record, "", ids)
    if info.shape not in {"quantities", "words"} or len(rest) > 1:
        raise _no_field(text)
    if not is_id(rest[0]):
        raise RefusedError(f"expected an id of {ID_RULE}, found {quoted(rest[0])} in {quoted(text)}")
    # One entry may always be absent, and its value is never unknown.
    value = replace(info, shape=info.values or "text", optional=False, required=False, default=None)
    return FieldPlace(text, pieces, value, record, rest[0], ids)


def _owner(proposal: Proposal, place: FieldPlace) -> Base:
    pieces = place.owner_pieces
    record: Base = proposal
    position = 0
    while position < len(pieces):
        info = _by_key(type(record))[pieces[position]]
        inner = getattr(record, info.name)
        position += 1
        if info.shape == "records":
            inner = _record(inner, pieces[position], place)
            position += 1
        record = inner
    return record


def _set(record: Any, place: FieldPlace, position: int, value: Any) -> Any:  # noqa: ANN401 - a record and its field
    pieces = place.pieces
    kind: type[Base] = type(record)
    info = _by_key(kind)[pieces[position]]
    former = getattr(record, info.name)
    if position == len(place.owner_pieces):
        if not place.entry:
            changed = value
        else:
            changed = without(former, (place.entry,)) if value is None else with_entry(former, place.entry, value)
    elif info.shape == "records":
        key = pieces[position + 1]
        changed = with_entry(former, key, _set(_record(former, key, place), place, position + 2, value))
    else:
        changed = _set(former, place, position + 1, value)
    return msgspec.structs.replace(record, **{info.name: changed})


def _record(table: Mapping[str, Base], key: str, place: FieldPlace) -> Base:
    """Return a record of a table; a habit that the proposal does not have yet begins as that of the trade."""
    if key in table:
        return table[key]
    if place.owner is DriveHabit and key in DRIVE_HABITS:
        return DRIVE_HABITS[key]
    raise RefusedError(f"there is no {quoted('.'.join(place.owner_pieces))} in this proposal")


def _is_equal(one: object, other: object) -> bool:
    # 1 == True and 0.0 == -0.0, but they are written differently.
    return type(one) is type(other) and one == other and repr(one) == repr(other)


def _no_field(text: str) -> RefusedError:
    return RefusedError(f"there is no field {quoted(text)} in a proposal")


@cache
def _by_key(record: type[Base]) -> Mapping[str, FieldInfo]:
    return fields_by_key(record)
