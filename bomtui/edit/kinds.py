"""Every kind of edit by the name that its record carries."""

from collections.abc import Mapping

from bomtui.edit.edit import Edit
from bomtui.edit.edits.assumption import AddAssumption, RemoveAssumption, RenameAssumption
from bomtui.edit.edits.decomposition import AddDecomposition, RemoveDecomposition, RenameDecomposition
from bomtui.edit.edits.device import AddDevice, RemoveDevice, RenameDevice, SwapDevice
from bomtui.edit.edits.everywhere import MoveSubsystem, SwapPart
from bomtui.edit.edits.exchange import AddExchange, RemoveExchange
from bomtui.edit.edits.feed import AddFeed, FeedModule, RemoveFeed, RenameFeed
from bomtui.edit.edits.field import SetField
from bomtui.edit.edits.finding import AcceptFinding, WithdrawAcceptance
from bomtui.edit.edits.group import Group
from bomtui.edit.edits.habit import DropHabit
from bomtui.edit.edits.item import AddItem, AddRail, RemoveItem, RemoveRail, RenameRail, SetQuantity
from bomtui.edit.edits.load import AddLoad, RemoveLoad, RenameLoad
from bomtui.edit.edits.merge import MergeModules
from bomtui.edit.edits.module import AddModule, CopyModule, MoveModule, RemoveModule, RenameModule
from bomtui.edit.edits.network import (
    AddMessage,
    AddNetwork,
    AddNode,
    RemoveMessage,
    RemoveNetwork,
    RemoveNode,
    RenameMessage,
    RenameNetwork,
    RenameNode,
)
from bomtui.edit.edits.part import DropUnusedParts, FreezePart, RefreshPart
from bomtui.edit.edits.placement import Join, Pin, Place, PlaceAll, TakeOff
from bomtui.edit.edits.state import RestoreState
from bomtui.edit.edits.variant import AddVariant, CopyVariant, DeleteVariant, RenameVariant
from bomtui.edit.edits.vehicle import (
    AddMode,
    AddPair,
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

KINDS: tuple[type[Edit], ...] = (
    SetField,
    *(AddLoad, RemoveLoad, RenameLoad),
    *(AddSubsystem, RemoveSubsystem, RenameSubsystem),
    *(AddZone, RemoveZone, RenameZone),
    *(AddMode, RemoveMode, RenameMode),
    *(AddPair, RemovePair, RenamePair),
    *(AddDecomposition, RemoveDecomposition, RenameDecomposition),
    *(AddAssumption, RemoveAssumption, RenameAssumption),
    DropHabit,
    *(AddExchange, RemoveExchange),
    *(AddModule, CopyModule, MoveModule, RenameModule, RemoveModule),
    *(AddDevice, SwapDevice, RenameDevice, RemoveDevice),
    *(AddItem, SetQuantity, RemoveItem, AddRail, RenameRail, RemoveRail),
    *(AddNetwork, RenameNetwork, RemoveNetwork, AddNode, RenameNode, RemoveNode),
    *(AddMessage, RenameMessage, RemoveMessage),
    *(AddFeed, RenameFeed, RemoveFeed, FeedModule),
    *(Place, PlaceAll, TakeOff, Join, Pin),
    *(AddVariant, CopyVariant, RenameVariant, DeleteVariant),
    *(AcceptFinding, WithdrawAcceptance),
    *(FreezePart, RefreshPart, DropUnusedParts),
    *(SwapPart, MoveSubsystem, MergeModules),
    *(Group, RestoreState),
)


def kind_name(kind: type[Edit]) -> str:
    """Return the name under which records carry a kind: `set_field`."""
    return str(kind.__struct_config__.tag)


EDITS: Mapping[str, type[Edit]] = {kind_name(kind): kind for kind in KINDS}
"""Kinds by that name."""
