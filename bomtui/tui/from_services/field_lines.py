"""Every field of a record as a line: all of it from the field table, whatever the record is."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from bomtui.model.base import Base
from bomtui.model.fields import FieldInfo, field_table, fields_by_key
from bomtui.model.ids import natural_key
from bomtui.model.proposal import Proposal, Snapshot
from bomtui.model.settings import DRIVE_HABITS, DriveHabit
from bomtui.model.variant import Device, Module, Variant
from bomtui.model.vehicle import Zone
from bomtui.services.editing import field_note, field_text, lawful_ids
from bomtui.services.errors import UnknownNameError
from bomtui.tui.field_view import FieldChoice, FieldHelp, FieldLine, FieldsView
from bomtui.tui.from_services.names import MESSAGE, NETWORK, NODE, VEHICLE

HAVE_LINES_OF_THEIR_OWN = frozenset(
    (
        *((Proposal, "loads"), (Proposal, "variants"), (Module, "devices"), (Module, "items")),
        *((Variant, "modules"), (Variant, "placements"), (Variant, "accepted")),
    )
)
"""What the working sheet shows line by line, each with fields of its own."""
UNKNOWN = "unknown"
NOT_GIVEN = "not given"
NONE = "none"
DEFAULT = "default"
WHOLE = "Vehicle, lists and settings"


def fields_of(snapshot: Snapshot, variant: str, place: str) -> FieldsView | None:
    """Return the fields of a record; None where the proposal has no such record.

    Args:
        snapshot: Proposal and frozen parts.
        variant: Id of the variant that is shown: how a load is placed in it stands with the load.
        place: The record as files name it; empty for all that belongs to the vehicle.
    """
    record = _record_at(snapshot.proposal, place)
    if record is None:
        return None
    walk = _Walk(snapshot)
    lines = walk.fields(record, place)
    table, _, key = place.partition(".")
    placement = f"variants.{variant}.placements.{key}"
    if not place and variant in snapshot.proposal.variants:
        feeds = f"variants.{variant}.feeds"
        lines = (*lines, walk.table(snapshot.proposal.variants[variant], "feeds", feeds, f"feeds of variant {variant}"))
    if table == "loads" and (placed := _record_at(snapshot.proposal, placement)) is not None:
        inside = walk.fields(placed, placement)
        lines = (*lines, FieldLine(placement, f"placement in variant {variant}", "fields", children=inside))
    return FieldsView(_title(place, record), lines)


def help_of(place: str) -> FieldHelp:
    """Return what a field says of itself."""
    note = field_note(place)
    return FieldHelp(note.words, note.help, note.expected, note.fixed, note.example)


def choices_of(snapshot: Snapshot, place: str) -> tuple[FieldChoice, ...]:
    """Return what a field may be set to, where that is one of a few."""
    note = field_note(place)
    if note.choices:
        found = [FieldChoice(choice, choice) for choice in note.choices]
    else:
        tables = _named(snapshot, place)
        found = [FieldChoice(key, key, tables.get(key, "")) for key in lawful_ids(snapshot, place)]
    if note.optional:
        return (FieldChoice("", UNKNOWN), *found)
    may_be_none = note.refers_to and not note.choices and not note.required
    return (FieldChoice("", NONE), *found) if may_be_none else tuple(found)


def _named(snapshot: Snapshot, place: str) -> dict[str, str]:
    """What tells the things that a field may name from each other."""
    kind = field_note(place).refers_to
    if kind == "part":
        return {key: part.description for key, part in snapshot.parts.items()}
    if kind == "device":
        module: Any = _record_at(snapshot.proposal, ".".join(place.split(".")[:4]))
        return {ref: device.part for ref, device in module.devices.items()}
    return {key: record.name for key, record in getattr(snapshot.proposal, f"{kind}s", {}).items()}


def _record_at(proposal: Proposal, place: str) -> Base | None:
    record: Any = proposal
    pieces = place.split(".") if place else []
    while pieces:
        info = fields_by_key(type(record))[pieces.pop(0)]
        record = getattr(record, info.name)
        if info.shape == "records":
            record = record.get(pieces.pop(0))
        if record is None:
            return None
    found: Base = record
    return found


def _title(place: str, record: Base) -> str:
    """What a record is, in words: `Load L11 stop lamp left`, `Device ZREA.U3 hs24-4x50`."""
    if not place:
        return WHOLE
    pieces = place.split(".")
    kind, ids = pieces[-2].removesuffix("s"), pieces[1::2]
    if pieces[0] == "variants":
        ids = ids[1:]
    name = getattr(record, "name", "") or getattr(record, "part", "")
    return f"{kind.capitalize()} {'.'.join(ids)} {name}".rstrip()


class _Walk:
    """Walks through the records of one snapshot."""

    def __init__(self, snapshot: Snapshot) -> None:
        self._snapshot = snapshot
        self._proposal = snapshot.proposal

    def fields(self, record: Base, place: str) -> tuple[FieldLine, ...]:
        """Return a line for each field of a record, records inside it with theirs."""
        kind = type(record)
        prefix = f"{place}." if place else ""
        return tuple(
            self._field(record, info, f"{prefix}{info.key}")
            for info in field_table(kind)
            if (kind, info.key) not in HAVE_LINES_OF_THEIR_OWN
        )

    def table(self, record: Base, key: str, place: str, title: str) -> FieldLine:
        """Return one table of a record under a title of its own."""
        return replace(self._field(record, fields_by_key(type(record))[key], place), title=title)

    def _field(self, record: Base, info: FieldInfo, place: str) -> FieldLine:
        title, value = info.key.replace("_", " "), getattr(record, info.name)
        if info.shape == "record":
            return FieldLine(place, title, "fields", children=self.fields(value, place))
        if info.shape == "records":
            inside = self._records(info, value, place)
            own = " own" if info.record is DriveHabit else ""
            return FieldLine(place, title, "table", shown=f"{len(value)}{own}" if value else NONE, children=inside)
        if info.shape in {"quantities", "words"}:
            inside = tuple(self._entry(record, info, value, place, key) for key in self._keys(record, info, value))
            given = sum(line.text != "" for line in inside)
            return FieldLine(place, title, "fields", shown=f"{given} of {len(inside)} given", children=inside)
        return self._leaf(record, info, value, place)

    def _records(self, info: FieldInfo, table: Mapping[str, Base], place: str) -> tuple[FieldLine, ...]:
        # A habit that the proposal does not have of its own is that of the trade.
        known: Mapping[str, Base] = {**DRIVE_HABITS, **table} if info.record is DriveHabit else table
        lines = []
        for key in sorted(known, key=natural_key):
            inside = self.fields(known[key], f"{place}.{key}")
            remark = "own habit" if info.record is DriveHabit and key in table else ""
            lines.append(
                FieldLine(f"{place}.{key}", key, "record", None, _summary(known[key], inside), remark, None, inside)
            )
        return tuple(lines)

    def _keys(self, record: Base, info: FieldInfo, table: Mapping[str, Any]) -> Iterable[str]:
        """Ids that a table has, or could have, an entry for."""
        known: set[str] = set(table)
        if info.dimension:
            known |= getattr(self._proposal, f"{info.refers_to}s").keys()
        elif isinstance(record, Device) and record.part in self._snapshot.parts:
            known |= self._snapshot.parts[record.part].supplies.keys()
        return sorted(known, key=natural_key)

    def _entry(self, record: Base, info: FieldInfo, table: Mapping[str, Any], place: str, key: str) -> FieldLine:
        one = replace(info, shape=info.values or "text", optional=True, required=False, default=None)
        own_place = f"{place}.{key}"
        value, from_place = table.get(key), own_place
        if isinstance(record, Zone) and value is None:
            # A run has one length, whichever of its two zones it stands at.
            own_id = place.split(".")[1]
            other = self._proposal.zones.get(key)
            value = None if other is None else other.distance_m.get(own_id)
            from_place = f"zones.{key}.distance.{own_id}"
        line = self._leaf(record, one, value, own_place, from_place)
        # Without any entry the field as a whole is not given, which has a meaning of its own.
        shown = NOT_GIVEN if value is None and not table else line.shown
        return replace(line, title=key, shown=shown)

    def _leaf(self, record: Base, info: FieldInfo, value: Any, place: str, from_place: str = "") -> FieldLine:  # noqa: ANN401
        title = info.key.replace("_", " ")
        cleared = None
        is_default = not info.required and value == info.default
        if isinstance(record, DriveHabit):
            cleared = getattr(DRIVE_HABITS[place.split(".")[2]], info.name)
            is_default = value == cleared
        try:
            text: str | None = "" if value is None else field_text(self._proposal, from_place or place)
        except UnknownNameError:
            text = None
        shown = _shown(info, value, text)
        remark = DEFAULT if is_default and value not in (None, "", ()) else ""
        if info.shape == "flag":
            return FieldLine(place, title, "flag", text, shown, remark, cleared)
        is_choice = info.shape == "choice" or (info.shape == "text" and bool(info.refers_to))
        return FieldLine(place, title, "choice" if is_choice else "text", text, shown, remark, cleared)


def _shown(info: FieldInfo, value: Any, text: str | None) -> str:  # noqa: ANN401 - a value has the type of its field
    if value is None:
        return UNKNOWN
    if isinstance(value, bool):
        return "yes" if value else "no"
    if value == () or (value == "" and info.refers_to):
        return NONE
    return ", ".join(map(str, value)) if text is None else text


def _summary(record: Base, lines: tuple[FieldLine, ...]) -> str:
    """What a record is at a glance: what it cannot be without, or its name."""
    table = field_table(type(record))
    needed = [line.shown for info, line in zip(table, lines, strict=False) if info.required]
    return ", ".join(needed) if needed else str(getattr(record, "name", ""))


def record_at(snapshot: Snapshot, variant_id: str, address: str) -> str | None:
    """Return the record behind a line of the working sheet, as files name it.

    Returns:
        Empty for the whole vehicle; None for a line without fields.
    """
    if address == VEHICLE:
        return ""
    proposal = snapshot.proposal
    variant = proposal.variants.get(variant_id, Variant())
    if address.startswith(NETWORK):
        return _of_network(variant_id, address)
    module_id, _, inside = address.partition(".")
    if module_id in variant.modules:
        place = f"variants.{variant_id}.modules.{module_id}"
        if inside.startswith("item "):
            return f"{place}.items.{inside.removeprefix('item ')}"
        if inside.startswith("rail "):
            return f"{place}.rails.{inside.removeprefix('rail ')}"
        return f"{place}.devices.{inside}" if inside else place
    kind, _, key = address.rpartition(" ")
    if kind in {"", "load"} and key in proposal.loads:
        return f"loads.{key}"
    if kind in {"", "subsystem"} and key in proposal.subsystems:
        return f"subsystems.{key}"
    return None


def _of_network(variant_id: str, address: str) -> str:
    network_id, _, inside = address.removeprefix(NETWORK).partition(".")
    place = f"variants.{variant_id}.networks.{network_id}"
    if inside.startswith(NODE):
        return f"{place}.nodes.{inside.removeprefix(NODE)}"
    return f"{place}.messages.{inside.removeprefix(MESSAGE)}" if inside else place
