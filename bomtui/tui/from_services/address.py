"""The line of the sheet, and the field or record, that an edit is about."""

from bomtui.edit.edit import Edit
from bomtui.edit.edits.field import SetField
from bomtui.edit.edits.group import Group
from bomtui.edit.edits.habit import DropHabit
from bomtui.edit.edits.item import AddItem, AddRail, RemoveItem, RemoveRail, RenameRail, SetQuantity

TABLES = {
    "load_id": "loads",
    "subsystem_id": "subsystems",
    "zone_id": "zones",
    "mode_id": "modes",
    "pair_id": "pairs",
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
    return ""


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
    new_id = "" if is_undone else str(getattr(edit, "new_id", ""))
    for name, table in TABLES.items():
        if key := getattr(edit, name, ""):
            return f"{table}.{new_id or key}"
    if hasattr(edit, "module_id"):
        return ""
    variant = new_id or getattr(edit, "variant", "")
    return f"variants.{variant}" if variant else ""
