"""Subsystems, zones, operating modes and stand-in pairs of the vehicle."""

import msgspec

from bomtui.edit.edit import Edit, RefusedError
from bomtui.edit.top_tables import with_added, with_removed, with_renamed
from bomtui.edit.tree import counted, listed
from bomtui.model.proposal import Snapshot
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
        return with_added(snapshot, "subsystem", self.subsystem_id, Subsystem(name=self.name))


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
        return with_removed(snapshot, "subsystem", self.subsystem_id, retry=None)


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
        return with_renamed(snapshot, "subsystem", self.subsystem_id, self.new_id)


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
        return with_added(snapshot, "zone", self.zone_id, Zone(name=self.name))


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
        return with_removed(snapshot, "zone", self.zone_id, retry)


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
        return with_renamed(snapshot, "zone", self.zone_id, self.new_id)


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
        return with_added(snapshot, "mode", self.mode_id, Mode(name=self.name))


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
        return with_removed(snapshot, "mode", self.mode_id, retry)


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
        return with_renamed(snapshot, "mode", self.mode_id, self.new_id)


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
        return with_added(snapshot, "pair", self.pair_id, self.pair)


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
        return with_removed(snapshot, "pair", self.pair_id, retry)


class RenamePair(Edit, frozen=True):
    """Give a pair another id; findings accepted for it follow."""

    pair_id: str
    new_id: str

    @property
    def label(self) -> str:
        """What it does, in words."""
        return f"rename pair {self.pair_id} to {self.new_id}"

    def changed(self, snapshot: Snapshot) -> Snapshot:
        """Return the snapshot with the pair under its new id."""
        return with_renamed(snapshot, "pair", self.pair_id, self.new_id)
