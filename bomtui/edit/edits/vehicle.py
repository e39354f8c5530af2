"""Subsystems, zones, operating modes and stand-in pairs of the vehicle."""

from typing import Any

import msgspec

from bomtui.edit.edit import Edit, RefusedError
from bomtui.edit.references import Mentions, followed_everywhere
from bomtui.edit.tree import check_new_id, counted, entry_of, listed, with_entry, with_key, with_proposal, without
from bomtui.edit.values import Scope, check_record
from bomtui.model.base import Base
from bomtui.model.proposal import Proposal, Snapshot
from bomtui.model.vehicle import Mode, Pair, Subsystem, Zone


class AddSubsystem(Edit, frozen=True):
    """Add a group of functions."""

    subsystem_id: str
    name: str = ""

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"add subsystem {self.subsystem_id}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot with the subsystem."""
        return _added(snapshot, "subsystem", self.subsystem_id, Subsystem(name=self.name))


class RemoveSubsystem(Edit, frozen=True):
    """Remove a group of functions that owns no load."""

    subsystem_id: str

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"remove subsystem {self.subsystem_id}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot without the subsystem."""
        owned = [key for key, load in snapshot.proposal.loads.items() if load.subsystem == self.subsystem_id]
        if owned:
            raise RefusedError(
                f"the subsystem {self.subsystem_id} owns {counted(len(owned), 'load')} ({listed(owned)}); "
                "give them to another one first"
            )
        return _removed(snapshot, "subsystem", self.subsystem_id, retry=None)


class RenameSubsystem(Edit, frozen=True):
    """Give a subsystem another id; its loads follow."""

    subsystem_id: str
    new_id: str

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"rename subsystem {self.subsystem_id} to {self.new_id}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot with the subsystem under its new id."""
        return _renamed(snapshot, "subsystem", self.subsystem_id, self.new_id)


class AddZone(Edit, frozen=True):
    """Add a mounting place of which nothing is known yet."""

    zone_id: str
    name: str = ""

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"add zone {self.zone_id}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot with the zone."""
        return _added(snapshot, "zone", self.zone_id, Zone(name=self.name))


class RemoveZone(Edit, frozen=True):
    """Remove a mounting place.

    Attributes:
        zone_id: The zone.
        take_along: Whether what names it may lose its zone.
    """

    zone_id: str
    take_along: bool = False

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"remove zone {self.zone_id}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot without the zone."""
        retry = None if self.take_along else msgspec.structs.replace(self, take_along=True)
        return _removed(snapshot, "zone", self.zone_id, retry)


class RenameZone(Edit, frozen=True):
    """Give a zone another id; everything that names it follows."""

    zone_id: str
    new_id: str

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"rename zone {self.zone_id} to {self.new_id}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot with the zone under its new id."""
        return _renamed(snapshot, "zone", self.zone_id, self.new_id)


class AddMode(Edit, frozen=True):
    """Add an operating mode; how long each load is on in it is unknown."""

    mode_id: str
    name: str = ""

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"add mode {self.mode_id}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot with the mode."""
        return _added(snapshot, "mode", self.mode_id, Mode(name=self.name))


class RemoveMode(Edit, frozen=True):
    """Remove an operating mode.

    Attributes:
        mode_id: The mode.
        take_along: Whether the shares and duties of the loads in it may go with it.
    """

    mode_id: str
    take_along: bool = False

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"remove mode {self.mode_id}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot without the mode."""
        retry = None if self.take_along else msgspec.structs.replace(self, take_along=True)
        return _removed(snapshot, "mode", self.mode_id, retry)


class RenameMode(Edit, frozen=True):
    """Give a mode another id; the shares and duties of the loads follow."""

    mode_id: str
    new_id: str

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"rename mode {self.mode_id} to {self.new_id}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot with the mode under its new id."""
        return _renamed(snapshot, "mode", self.mode_id, self.new_id)


class AddPair(Edit, frozen=True):
    """Name the load that takes over when another fails."""

    pair_id: str
    pair: Pair

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"add pair {self.pair_id} of {self.pair.primary} and {self.pair.stand_in}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot with the pair."""
        if self.pair.primary == self.pair.stand_in:
            raise RefusedError(f"the load {self.pair.primary} cannot stand in for itself")
        return _added(snapshot, "pair", self.pair_id, self.pair)


class RemovePair(Edit, frozen=True):
    """Remove a pair.

    Attributes:
        pair_id: The pair.
        take_along: Whether findings accepted for it may go with it.
    """

    pair_id: str
    take_along: bool = False

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"remove pair {self.pair_id}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot without the pair."""
        retry = None if self.take_along else msgspec.structs.replace(self, take_along=True)
        return _removed(snapshot, "pair", self.pair_id, retry)


def _table(kind: str) -> str:
    return f"{kind}s"


def _place(kind: str, key: str) -> str:
    """Place of a finding about it: pairs stand for themselves, what stands in no module is named with its table."""
    return key if kind == "pair" else f"{_table(kind)}.{key}"


def _added(snapshot: Snapshot, kind: str, key: str, record: Base) -> Snapshot:
    table = getattr(snapshot.proposal, _table(kind))
    check_new_id(table, key, kind)
    check_record(record, Scope(snapshot), key)
    return with_proposal(snapshot, **{_table(kind): with_entry(table, key, record)})


def _removed(snapshot: Snapshot, kind: str, key: str, retry: Edit | None) -> Snapshot:
    """Remove a record and what names it; without a retry the person has agreed, or nothing can name it."""
    entry_of(getattr(snapshot.proposal, _table(kind)), key, kind)
    mentions = Mentions(kind, key, None)
    proposal = mentions.record(snapshot.proposal)
    variants = followed_everywhere(proposal, _place(kind, key), None, mentions.touched)
    if mentions.touched and retry is not None:
        raise RefusedError(
            f"with the {kind} {key} would go what names it: {counted(len(mentions.touched), 'place')}",
            tuple(mentions.touched),
            retry,
        )
    proposal = msgspec.structs.replace(proposal, variants=variants)
    table = without(getattr(proposal, _table(kind)), (key,))
    return with_proposal(snapshot, **{**_fields(proposal), _table(kind): table})


def _renamed(snapshot: Snapshot, kind: str, key: str, new_key: str) -> Snapshot:
    table = getattr(snapshot.proposal, _table(kind))
    entry_of(table, key, kind)
    check_new_id(table, new_key, kind, renamed=key)
    if new_key == key:
        return snapshot
    proposal = Mentions(kind, key, new_key).record(snapshot.proposal)
    variants = followed_everywhere(proposal, _place(kind, key), _place(kind, new_key), [])
    proposal = msgspec.structs.replace(proposal, variants=variants)
    return with_proposal(
        snapshot, **{**_fields(proposal), _table(kind): with_key(getattr(proposal, _table(kind)), key, new_key)}
    )


def _fields(proposal: Proposal) -> dict[str, Any]:
    return {name: getattr(proposal, name) for name in Proposal.__struct_fields__}
