"""A part of the catalog field by field, and a change of it that is checked and told before it is written.

`fields_of_part` gives every field, those without a value too; `draft_of` checks texts and says what they change;
`write_draft` writes that, unless somebody else has changed the part since it was looked at.
"""

import datetime
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from bomtui.model.fields import FieldInfo, field_table
from bomtui.model.ids import natural_key
from bomtui.model.part import PART_KINDS, Part
from bomtui.services.catalog import opened, part_fields
from bomtui.services.catalog_upkeep import with_fields
from bomtui.services.errors import BomtuiError, UnknownNameError
from bomtui.services.refresh import WORDS, FieldChange, field_changes, group_of
from bomtui.storage.field_text import expected_text
from bomtui.storage.field_writing import SIDES, is_left_out, write_cell

IDENTITY_FIELDS = ("kind", "family", "maker", "mpn", "description", "package")
GROUPS = {"identity": "what it is", **WORDS}
"""Groups of fields, in the order in which they are shown."""
_ORIGIN = "edited"
_LIST_EXAMPLES = {
    "breaks": "1000: 1.62; 10000: 1.36",
    "alternates": "one-key; another-key",
    "invented": "rds_on.max; price_date",
}


@dataclass(frozen=True, slots=True)
class PartField:
    """One field of a part, or one side of a parameter.

    Attributes:
        group: One of `GROUPS`.
        key: Its name, as filters and `catalog set` take it.
        text: What stands in it, as it is typed; empty where it says nothing.
        shown: The same for reading.
        help: What it means, in one sentence.
        expected: What it takes.
        choices: Lawful values; empty where any will do.
        is_fixed: Whether it is not changed by itself.
        parts: Keys of other parts that it names.
        is_invented: Whether the part says that its value is an invented one.
    """

    group: str
    key: str
    text: str
    shown: str
    help: str
    expected: str
    choices: tuple[str, ...]
    is_fixed: bool
    parts: tuple[str, ...]
    is_invented: bool


@dataclass(frozen=True, slots=True)
class PartDraft:
    """A change of one part that is not written yet.

    Attributes:
        key: Its key.
        before: What the catalog held when it was looked at; None for a new part.
        after: What is to be written.
        changes: What differs, prices first.
    """

    key: str
    before: Part | None
    after: Part
    changes: tuple[FieldChange, ...]


def fields_of_part(part: Part) -> tuple[PartField, ...]:
    """Return every field of a part in the order of its groups, those that say nothing too."""
    given = dict(part_fields(part))
    found = [own for info in field_table(Part) for own in _fields(part, info, given)]
    found = [replace(own, is_invented=_is_among(own.key, part.invented) and own.text != "") for own in found]
    order = list(GROUPS)
    return tuple(sorted(found, key=lambda own: order.index(own.group)))


def draft_of(key: str, before: Part | None, fields: Mapping[str, str], kind: str = "") -> PartDraft:
    """Return a change of a part with other texts in some fields; nothing is written.

    Args:
        key: Its key.
        before: The part as it was looked at; None for a new one.
        fields: Texts of fields by name; an empty text takes a field away.
        kind: Kind of a new part.

    Raises:
        UnknownNameError: There is no such kind.
        BomtuiError: A field cannot be read; its problems say which and what is expected.
    """
    if before is None and kind not in PART_KINDS:
        raise UnknownNameError(f"there is no kind '{kind}'; the kinds are {', '.join(PART_KINDS)}")
    start = Part(kind=kind) if before is None else before
    after = with_fields(key, start, fields)
    if after.kind != start.kind:
        raise BomtuiError(f"the kind of a part does not change: expected {start.kind}, found {after.kind}")
    return PartDraft(key, before, after, field_changes(start, after))


def write_draft(draft: PartDraft, place: str | None = None) -> None:
    """Write a change as one step of the catalog's history.

    Args:
        draft: The change.
        place: Where the catalog is; None for the usual place.

    Raises:
        UnknownNameError: A new part has the key of one that is there.
        BomtuiError: Somebody else has changed the part since it was looked at, or the catalog cannot be written.
    """
    with opened(place) as catalog:
        if draft.before is None and catalog.get(draft.key) is not None:
            raise UnknownNameError(f"the catalog has a part '{draft.key}' already")
        made_at = datetime.datetime.now(datetime.UTC).isoformat(timespec="seconds")
        catalog.build({draft.key: draft.after}, _ORIGIN, seen={draft.key: draft.before}, made_at=made_at)


def _fields(part: Part, info: FieldInfo, given: Mapping[str, str]) -> Iterator[PartField]:
    value = getattr(part, info.name)
    if info.record is not None and info.shape == "records":
        for name in sorted(value, key=natural_key):
            for inner in field_table(info.record):
                entry = getattr(value[name], inner.name)
                yield from _sided(inner, f"{info.key}.{name}.{inner.key}", entry, given)
    elif info.shape == "words":
        for name in sorted(value, key=natural_key):
            key = f"{info.key}.{name}"
            yield _field(info, key, str(value[name]), given.get(key, ""))
    else:
        yield from _sided(info, info.key, value, given)


def _sided(info: FieldInfo, key: str, value: Any, given: Mapping[str, str]) -> Iterator[PartField]:  # noqa: ANN401
    if info.shape == "parameter":
        for side in SIDES:
            shown = given.get(f"{key}.{side}", "")
            yield _field(info, f"{key}.{side}", shown, shown)
        return
    text = "" if value is None or is_left_out(info, value) else write_cell(info, value)
    parts = tuple(value) if info.refers_to == "part" and isinstance(value, tuple) else ()
    yield _field(info, key, text, given.get(key, ""), parts)


def _field(info: FieldInfo, key: str, text: str, shown: str, parts: tuple[str, ...] = ()) -> PartField:
    name = key.partition(".")[0]
    # A line to type in takes text as it is, where a file asks for quotes.
    expected = "text" if info.shape == "text" and not info.choices else expected_text(info)
    if info.shape == "words":
        expected = "a whole number"
    if info.shape in {"breaks", "texts"}:
        example = _LIST_EXAMPLES.get(info.key, "; ".join(info.choices[:2]) or "one; another")
        expected = f"entries with a ';' between two, such as {example}"
    return PartField(
        group="identity" if name in IDENTITY_FIELDS else group_of(key),
        key=key,
        text=text,
        shown=shown,
        help=info.help,
        expected=expected,
        choices=("true", "false") if info.shape == "flag" else info.choices if info.shape == "choice" else (),
        is_fixed=info.key == "kind",
        parts=parts,
        is_invented=False,
    )


def _is_among(key: str, names: tuple[str, ...]) -> bool:
    return any(key == name or key.startswith(f"{name}.") for name in names)
