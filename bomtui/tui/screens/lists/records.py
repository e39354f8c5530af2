"""Which edits add, remove and rename a record of each of the lists: of the vehicle, and the feeds of a variant."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from bomtui.edit.edit import Edit
from bomtui.edit.edits.assumption import RemoveAssumption, RenameAssumption
from bomtui.edit.edits.decomposition import RemoveDecomposition, RenameDecomposition
from bomtui.edit.edits.exchange import RemoveExchange
from bomtui.edit.edits.feed import AddFeed, RemoveFeed, RenameFeed
from bomtui.edit.edits.habit import DropHabit
from bomtui.edit.edits.vehicle import (
    AddMode,
    AddSubsystem,
    AddZone,
    RemoveMode,
    RemovePair,
    RemoveSubsystem,
    RemoveZone,
    RenameMode,
    RenamePair,
    RenameSubsystem,
    RenameZone,
)

PAIRS = "pairs"
DECOMPOSITIONS = "decompositions"
ASSUMPTIONS = "assumptions"
HABITS = "settings.drives"
EXCHANGE = "programme.exchange"
VOLUMES = "programme.volumes"


@dataclass(frozen=True, slots=True)
class RecordEdits:
    """How the records of one list are changed.

    Attributes:
        word: What a record is.
        add: Adds one by its id alone; None where more must be said first.
        remove: Removes one.
        rename: Gives one another id.
    """

    word: str
    add: Callable[[str], Edit] | None
    remove: Callable[[str], Edit]
    rename: Callable[[str, str], Edit]


RECORDS: Mapping[str, RecordEdits] = {
    "zones": RecordEdits(
        "zone",
        lambda key: AddZone(zone_id=key),
        lambda key: RemoveZone(zone_id=key),
        lambda key, new: RenameZone(zone_id=key, new_id=new),
    ),
    "modes": RecordEdits(
        "mode",
        lambda key: AddMode(mode_id=key),
        lambda key: RemoveMode(mode_id=key),
        lambda key, new: RenameMode(mode_id=key, new_id=new),
    ),
    "subsystems": RecordEdits(
        "subsystem",
        lambda key: AddSubsystem(subsystem_id=key),
        lambda key: RemoveSubsystem(subsystem_id=key),
        lambda key, new: RenameSubsystem(subsystem_id=key, new_id=new),
    ),
    PAIRS: RecordEdits(
        "pair",
        None,
        lambda key: RemovePair(pair_id=key),
        lambda key, new: RenamePair(pair_id=key, new_id=new),
    ),
    DECOMPOSITIONS: RecordEdits(
        "decomposition",
        None,
        lambda key: RemoveDecomposition(decomposition_id=key),
        lambda key, new: RenameDecomposition(decomposition_id=key, new_id=new),
    ),
    ASSUMPTIONS: RecordEdits(
        "assumption",
        None,
        lambda key: RemoveAssumption(assumption_id=key),
        lambda key, new: RenameAssumption(assumption_id=key, new_id=new),
    ),
}


NAMES = (*RECORDS, "feeds")
"""Lists to which records are added."""


def list_at(place: str) -> str:
    """Return the list in which a place stands: `zones`, `variants.zone.feeds`."""
    pieces = place.split(".")
    return ".".join(pieces[:3]) if pieces[0] == "variants" else pieces[0]


def edits_of(table: str) -> RecordEdits | None:
    """Return how the records of a list are changed; None for no such list."""
    if table in RECORDS:
        return RECORDS[table]
    first, _, rest = table.partition(".")
    variant, _, name = rest.partition(".")
    if (first, name) != ("variants", "feeds"):
        return None
    return RecordEdits(
        "feed",
        lambda key: AddFeed(variant=variant, feed_id=key),
        lambda key: RemoveFeed(variant=variant, feed_id=key),
        lambda key, new: RenameFeed(variant=variant, feed_id=key, new_id=new),
    )


def removal(place: str) -> Edit | None:
    """Return the edit that removes the record at a place; None where it is not removed by itself."""
    table, _, key = place.rpartition(".")
    if table == HABITS:
        return DropHabit(drive=key)
    if table == EXCHANGE:
        return RemoveExchange(currency=key)
    edits = edits_of(table)
    return None if edits is None else edits.remove(key)
