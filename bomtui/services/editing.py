"""What a person types or chooses as edits, and the fields of a proposal as texts to type over."""

import datetime
from collections.abc import Mapping
from dataclasses import dataclass

from bomtui.edit.edit import Edit, Refusal, RefusedError
from bomtui.edit.edits.field import SetField, scope_of, why_not_by_itself
from bomtui.edit.edits.finding import AcceptFinding
from bomtui.edit.edits.group import Group
from bomtui.edit.edits.item import SetQuantity
from bomtui.edit.edits.part import FreezePart
from bomtui.edit.place import field_place, value_at
from bomtui.model.fields import FieldInfo
from bomtui.model.finding import Finding
from bomtui.model.ids import natural_key
from bomtui.model.part import Part
from bomtui.model.proposal import Proposal, Snapshot
from bomtui.model.quantity import dimension_named
from bomtui.model.variant import Item
from bomtui.services.errors import UnknownNameError
from bomtui.storage.field_text import FieldError, expected_text, read_field, write_cell

__all__ = [
    "Edit",
    "FieldNote",
    "Refusal",
    "accepted",
    "field_note",
    "field_text",
    "lawful_ids",
    "typed",
    "with_parts",
]


@dataclass(frozen=True, slots=True)
class FieldNote:
    """What a field says of itself.

    Attributes:
        words: What people call it: `rated power of L11`.
        help: One sentence.
        expected: What it takes.
        choices: Lawful values; empty where any will do.
        refers_to: What an id in it names; empty where it names nothing.
        unit: Unit of its numbers; empty for anything else.
        optional: Whether it may be unknown.
        required: Whether a record cannot be without it.
        fixed: Why it is not set by itself, and how it is changed; empty for a field that can be set.
        example: How a list is typed; empty for a field that is none.
    """

    words: str
    help: str
    expected: str
    choices: tuple[str, ...]
    refers_to: str
    unit: str
    optional: bool
    required: bool
    fixed: str
    example: str


BETWEEN = "; "
"""Stands between the entries of a list that is typed on one line."""

_EXAMPLES = {
    "diagnosis": ("short", "open"),
    "must_keep": ("hs24-4x22", "ls-2x40"),
    "forbidden": ("hs24-4x22", "ls-2x40"),
    "approved_makers": ("First Maker", "Second Maker"),
    "refused_packages": ("BGA", "LGA"),
}
"""Entries by which people see how a list is typed, by the key of its field."""


def _expected(info: FieldInfo) -> str:
    if info.shape == "text" and info.refers_to:
        return f"the id of a {info.refers_to}"
    if info.shape == "texts":
        of = f"any of {', '.join(info.choices)}" if info.choices else "one text or several"
        return f"{of}, with a ';' between two: {_example(info)}"
    # A line to type in takes text as it is, where a file asks for quotes.
    return "text" if info.shape == "text" and not info.choices else expected_text(info)


def _example(info: FieldInfo) -> str:
    """How a list is typed; empty for a field that is none."""
    if info.shape != "texts":
        return ""
    return BETWEEN.join(_EXAMPLES.get(info.key, info.choices[:2] or ("one", "another")))


def field_note(place: str) -> FieldNote:
    """Return what a field says of itself.

    Raises:
        UnknownNameError: A proposal has no such field.
    """
    try:
        field = field_place(place)
    except RefusedError as error:
        raise UnknownNameError(str(error)) from None
    info = field.info
    return FieldNote(
        words=field.words,
        help=info.help,
        expected=_expected(info),
        choices=info.choices,
        refers_to=info.refers_to,
        unit=dimension_named(info.dimension).home_unit if info.dimension else "",
        optional=info.optional or bool(field.entry),
        required=info.required,
        fixed=why_not_by_itself(field),
        example=_example(info),
    )


def field_text(proposal: Proposal, place: str) -> str:
    """Return the text of a field, as `typed` reads it; empty where it is unknown or absent.

    Raises:
        UnknownNameError: The proposal has no such field, or its value has no text on one line.
    """
    try:
        field = field_place(place)
        value = value_at(proposal, field)
        return "" if value is None else write_cell(field.info, value)
    except (RefusedError, ValueError) as error:
        raise UnknownNameError(str(error)) from None


def lawful_ids(snapshot: Snapshot, place: str) -> tuple[str, ...]:
    """Return what a field that names something may name, in the order in which people read ids.

    A field that names a part may name others, too; these are the frozen ones.

    Raises:
        UnknownNameError: The proposal has no such field.
    """
    try:
        field = field_place(place)
        kind = field.info.refers_to
        known = snapshot.parts if kind == "part" else scope_of(snapshot, field).ids(kind)
    except RefusedError as error:
        raise UnknownNameError(str(error)) from None
    return tuple(sorted(known, key=natural_key))


def typed(place: str, text: str, default_unit: str | None = None) -> Edit | Refusal:
    """Read what was typed into a field.

    Args:
        place: The field as files name it.
        text: What was typed; nothing makes the field unknown, or what an absent key stands for.
        default_unit: Unit of a bare number, where the header of its column shows one.

    Returns:
        The edit, or a refusal that says what is expected.
    """
    try:
        field = field_place(place)
    except RefusedError as error:
        return error.refusal
    if not text.strip() and field.info.shape != "text":
        return SetField(place=place)
    try:
        value = read_field(field.info, text, default_unit=default_unit)
    except FieldError as error:
        return Refusal(sentence=f"{field.words}: {error}")
    if field.owner is Item and field.info.shape == "amount":
        _, variant, _, module_id, _, part, _ = field.pieces
        return SetQuantity(variant=variant, module_id=module_id, part=part, quantity=value)
    return SetField(place=place, value=value)


def with_parts(snapshot: Snapshot, edit: Edit, parts: Mapping[str, Part]) -> Edit:
    """Return an edit that first freezes the parts which it uses and which are not frozen yet.

    A part that is frozen keeps its data, whatever the catalog says of it by now.

    Args:
        snapshot: Proposal and frozen parts.
        edit: What is to be done.
        parts: Parts that it uses, by catalog key, as the catalog has them.
    """
    new = tuple(FreezePart(key=key, part=part) for key, part in parts.items() if key not in snapshot.parts)
    return Group(edits=(*new, edit), words=edit.label) if new else edit


def accepted(variant: str, finding: Finding, reason: str, by: str, day: datetime.date) -> AcceptFinding:
    """Return the edit that accepts a finding at the numbers that it has now.

    Args:
        variant: The variant that was reviewed.
        finding: The finding.
        reason: Why it is accepted.
        by: Who accepts it.
        day: Today.
    """
    # Rules are loaded at the first review, not at the start of the program.
    from bomtui.rules.wording import printed

    return AcceptFinding(
        variant=variant,
        rule=finding.rule,
        place=finding.place,
        reason=reason,
        by=by,
        date=day,
        measured=printed(finding.measured, finding.unit),
        limit=printed(finding.limit, finding.unit),
    )
