"""The line of the sheet, and the field or record, that an edit is about."""

from bomtui.edit.edit import Edit
from bomtui.edit.edits.feed import AddFeed, RemoveFeed, RenameFeed
from bomtui.edit.edits.field import SetField
from bomtui.edit.edits.group import Group
from bomtui.edit.edits.habit import DropHabit
from bomtui.edit.edits.item import AddItem, AddRail, RemoveItem, RemoveRail, RenameRail, SetQuantity
from bomtui.tui.from_services.names import MESSAGE, NETWORK, NODE

TABLES = {
    "load_id": "loads",
    "subsystem_id": "subsystems",
    "zone_id": "zones",
    "mode_id": "modes",
    "pair_id": "pairs",
    "decomposition_id": "decompositions",
    "assumption_id": "assumptions",
    "currency": "programme.exchange",
}
"""Table of the records that an edit names by this attribute."""


def address_of(edit: Edit, *, is_undone: bool = False) -> str:
    """Return the address of the line that an edit is about; empty where no line of the sheet shows it.

    Args:
        edit: The edit.
        is_undone: Whether it was just taken back, so that what it renamed has its old name again.
    """
    if isinstance(edit, Group):
        found = (address_of(own, is_undone=is_undone) for own in reversed(edit.edits))
        return next((address for address in found if address), "")
    if hasattr(edit, "network_id"):
        return _of_place(_network_place(edit, is_undone=is_undone).split("."))
    return "" if isinstance(edit, AddFeed | RenameFeed | RemoveFeed) else _own_address(edit, is_undone=is_undone)


def _own_address(edit: Edit, *, is_undone: bool) -> str:
    new_id = str(getattr(edit, "new_id", ""))
    if new_id and not is_undone and not isinstance(edit, RenameRail):
        return new_id
    if isinstance(edit, SetField):
        return _of_place(edit.place.split("."))
    module, ref = getattr(edit, "module_id", ""), getattr(edit, "ref", "")
    new_ref = getattr(edit, "new_ref", "")
    if isinstance(edit, AddRail | RenameRail | RemoveRail | AddItem | SetQuantity | RemoveItem):
        return f"{module}.{_inside(edit, is_undone=is_undone)}"
    if new_ref and not is_undone:
        return f"{module}.{new_ref}"
    if module:
        return f"{module}.{ref}" if ref else str(module)
    loads = getattr(edit, "loads", ())
    owner = getattr(edit, "load_id", "") or getattr(edit, "subsystem_id", "")
    return str(owner or (loads[0] if loads else ""))


def _inside(edit: AddRail | RenameRail | RemoveRail | AddItem | SetQuantity | RemoveItem, *, is_undone: bool) -> str:
    if isinstance(edit, AddItem | SetQuantity | RemoveItem):
        return f"item {edit.part}"
    return f"rail {edit.new_id if isinstance(edit, RenameRail) and not is_undone else edit.rail_id}"


def _of_place(pieces: list[str]) -> str:
    section, *rest = pieces
    if section in {"loads", "subsystems"} and rest:
        return rest[0]
    if section == "variants" and len(rest) > 2 and rest[1] == "modules":
        module_id, kind, *inside = [*rest[2:], ""]
        line = {"devices": "", "items": "item ", "rails": "rail "}.get(kind)
        return module_id if line is None or not inside[0] else f"{module_id}.{line}{inside[0]}"
    if section == "variants" and len(rest) > 2 and rest[1] == "placements":
        return rest[2]
    if section == "variants" and len(rest) > 2 and rest[1] == "networks":
        network_id, kind, *inside = [*rest[2:], ""]
        line = {"nodes": NODE, "messages": MESSAGE}.get(kind)
        own = f"{NETWORK}{network_id}"
        return own if line is None or not inside[0] else f"{own}.{line}{inside[0]}"
    return ""


def _network_place(edit: Edit, *, is_undone: bool) -> str:
    """Return the network, node or message that an edit is about, as files name it."""
    network_id, new_id = getattr(edit, "network_id", ""), "" if is_undone else getattr(edit, "new_id", "")
    table = f"variants.{getattr(edit, 'variant', '')}.networks"
    for attribute, kind in (("node_id", "nodes"), ("message_id", "messages")):
        if own := getattr(edit, attribute, ""):
            return f"{table}.{network_id}.{kind}.{new_id or own}"
    return f"{table}.{new_id or network_id}"


def place_of(edit: Edit, *, is_undone: bool = False) -> str:
    """Return the field or record that an edit is about, as files name it; empty for what concerns several.

    Args:
        edit: The edit.
        is_undone: Whether it was just taken back, so that what it renamed has its old name again.
    """
    if isinstance(edit, Group):
        found = (place_of(own, is_undone=is_undone) for own in reversed(edit.edits))
        return next((place for place in found if place), "")
    if isinstance(edit, SetField):
        return edit.place
    if isinstance(edit, DropHabit):
        return f"settings.drives.{edit.drive}"
    if isinstance(edit, SetQuantity):
        return f"variants.{edit.variant}.modules.{edit.module_id}.items.{edit.part}.quantity"
    if hasattr(edit, "network_id"):
        return _network_place(edit, is_undone=is_undone)
    return _table_place(edit, is_undone=is_undone)


def _table_place(edit: Edit, *, is_undone: bool) -> str:
    new_id = "" if is_undone else str(getattr(edit, "new_id", ""))
    if isinstance(edit, AddFeed | RenameFeed | RemoveFeed):
        return f"variants.{edit.variant}.feeds.{new_id or edit.feed_id}"
    for name, table in TABLES.items():
        if key := getattr(edit, name, ""):
            return f"{table}.{new_id or key}"
    if hasattr(edit, "module_id"):
        return ""
    variant = new_id or getattr(edit, "variant", "")
    return f"variants.{variant}" if variant else ""
